package sign

import (
	"bytes"
	"crypto"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"fmt"
	"time"
)

func malformed(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrMalformed, fmt.Sprintf(format, args...))
}

// opened is signed data that has been read.
type opened struct {
	signer      signerInfo
	hash        crypto.Hash
	chain       []*x509.Certificate // the signer's own first, its issuers behind it
	digest      []byte              // of the document, as signed
	certificate []boundCertificate  // as signed; may be none
	time        time.Time           // as signed; may be zero
}

// open reads signed data. It takes what [Identity.sign] writes and what other programs
// write that keep to DER and to one signer; whatever it does not make use of has to be
// as the standard wants it, so that no byte can be changed unseen.
func open(der []byte) (*opened, error) {
	var info contentInfo
	if rest, err := asn1.Unmarshal(der, &info); err != nil || len(rest) > 0 {
		return nil, malformed("no signed data in DER")
	}
	if again, err := asn1.Marshal(info); err != nil || !bytes.Equal(again, der) {
		return nil, malformed("not in DER")
	}
	if c := info.Content; !info.Type.Equal(oidSignedData) || c.Class != asn1.ClassContextSpecific || c.Tag != 0 || !c.IsCompound {
		return nil, malformed("no signed data")
	}
	var data signedData
	if rest, err := asn1.Unmarshal(info.Content.Bytes, &data); err != nil || len(rest) > 0 {
		return nil, malformed("no signed data in DER, or of a kind not known here")
	}
	if again, err := asn1.Marshal(data); err != nil || !bytes.Equal(again, info.Content.Bytes) {
		return nil, malformed("not in DER")
	}
	if n := len(data.Signers); n != 1 {
		return nil, malformed("%d signers, want one", n)
	}
	o := &opened{signer: data.Signers[0]}
	switch {
	case data.Version != 1 || o.signer.Version != 1:
		return nil, malformed("version %d and %d, want 1", data.Version, o.signer.Version)
	case !inTag(data.Certificates, 0) || !inTag(data.CRLs, 1) || !inTag(o.signer.Signed, 0) || !inTag(o.signer.Unsigned, 1):
		return nil, malformed("not in DER")
	case !data.Content.Type.Equal(oidData) || len(data.Content.Content.FullBytes) > 0:
		return nil, malformed("it holds a document of its own")
	case len(data.Digests) != 1 || !sameAlgorithm(data.Digests[0], o.signer.Digest):
		return nil, malformed("its digest algorithms contradict each other")
	case !plainParameters(o.signer.Digest) || !plainParameters(o.signer.Algorithm):
		return nil, malformed("an algorithm with parameters")
	}
	for _, d := range digests {
		if d.oid.Equal(o.signer.Digest.Algorithm) {
			o.hash = d.hash
		}
	}
	if o.hash == 0 {
		return nil, malformed("the digest algorithm %v is not known here", o.signer.Digest.Algorithm)
	}
	if err := o.attributes(); err != nil {
		return nil, err
	}
	return o, o.certificates(data.Certificates.Bytes)
}

// inTag reports whether a value is left out, or a list under a tag of its context, which
// encoding/asn1 does not make sure of.
func inTag(v asn1.RawValue, tag int) bool {
	return len(v.FullBytes) == 0 || v.Class == asn1.ClassContextSpecific && v.Tag == tag && v.IsCompound
}

func sameAlgorithm(a, b pkix.AlgorithmIdentifier) bool {
	return a.Algorithm.Equal(b.Algorithm) && bytes.Equal(a.Parameters.FullBytes, b.Parameters.FullBytes)
}

// plainParameters reports whether an algorithm has no parameters, or says so.
func plainParameters(a pkix.AlgorithmIdentifier) bool {
	p := a.Parameters.FullBytes
	return len(p) == 0 || bytes.Equal(p, asn1.NullBytes)
}

// attributes reads what was signed beside the document.
func (o *opened) attributes() error {
	seen := map[string]bool{}
	kind := false
	for rest := o.signer.Signed.Bytes; len(rest) > 0; {
		var a attribute
		var err error
		if rest, err = asn1.Unmarshal(rest, &a); err != nil || a.Values.Tag != asn1.TagSet || a.Values.Class != asn1.ClassUniversal {
			return malformed("a signed attribute cannot be read")
		}
		if seen[a.Type.String()] {
			return malformed("a signed attribute twice")
		}
		seen[a.Type.String()] = true
		var into any
		var content asn1.ObjectIdentifier
		var bound signingCertificates
		var algorithms boundAlgorithms
		switch {
		case a.Type.Equal(oidContentType):
			into = &content
		case a.Type.Equal(oidDigest):
			into = &o.digest
		case a.Type.Equal(oidTime):
			into = &o.time
		case a.Type.Equal(oidCertificates):
			into = &bound
		case a.Type.Equal(oidAlgorithms):
			into = &algorithms
		default:
			continue // it is signed, whatever it says
		}
		if rest, err := asn1.Unmarshal(a.Values.Bytes, into); err != nil || len(rest) > 0 {
			return malformed("a signed attribute cannot be read")
		}
		kind = kind || content.Equal(oidData)
		switch into {
		case &bound:
			o.certificate = bound.Certificates
		case &algorithms:
			if !sameAlgorithm(algorithms.Digest, o.signer.Digest) || !sameAlgorithm(algorithms.Signature, o.signer.Algorithm) {
				return malformed("it was made with other algorithms than it names")
			}
		}
	}
	if !kind || len(o.digest) == 0 {
		return malformed("it does not say what it signs")
	}
	return nil
}

// certificates reads the certificates and puts the signer's and its issuers in order.
func (o *opened) certificates(raw []byte) error {
	list, err := x509.ParseCertificates(raw)
	if err != nil {
		return malformed("its certificates cannot be read")
	}
	var own *x509.Certificate
	for _, c := range list {
		if bytes.Equal(c.RawIssuer, o.signer.ID.Issuer.FullBytes) && c.SerialNumber.Cmp(o.signer.ID.Serial) == 0 {
			own = c
		}
	}
	if own == nil {
		return malformed("it does not hold the certificate of its signer")
	}
	if len(o.certificate) > 0 {
		if !o.certificate[0].is(own) {
			return malformed("it was made with another certificate than it holds")
		}
		// One that binds its issuers too binds all of them.
		if len(o.certificate) > 1 {
			for _, c := range list {
				bound := false
				for _, b := range o.certificate {
					bound = bound || b.is(c)
				}
				if !bound {
					return malformed("it holds a certificate that it was not made with")
				}
			}
		}
	}
	o.chain = []*x509.Certificate{own}
	for at := own; !SelfIssued(at) && len(o.chain) <= len(list); {
		var issuer *x509.Certificate
		for _, c := range list {
			if bytes.Equal(c.RawSubject, at.RawIssuer) && at.CheckSignatureFrom(c) == nil {
				issuer = c
			}
		}
		if issuer == nil {
			break
		}
		o.chain = append(o.chain, issuer)
		at = issuer
	}
	return nil
}

// is reports whether b binds a certificate.
func (b boundCertificate) is(c *x509.Certificate) bool {
	if len(b.Digest.Algorithm) > 0 && !b.Digest.Algorithm.Equal(oidOf(crypto.SHA256)) {
		for _, d := range digests {
			if d.oid.Equal(b.Digest.Algorithm) {
				h := d.hash.New()
				h.Write(c.Raw)
				return bytes.Equal(h.Sum(nil), b.Hash)
			}
		}
		return false
	}
	sum := sha256.Sum256(c.Raw)
	return bytes.Equal(sum[:], b.Hash)
}

// verify says whether the signature is that of a document with the digest, which is
// nil where it is.
func (o *opened) verify(digest []byte) error {
	own := o.chain[0]
	kind, ok := algorithm(own.PublicKey, o.hash, o.signer.Algorithm.Algorithm)
	if !ok {
		return malformed("the signature algorithm %v is not known here", o.signer.Algorithm.Algorithm)
	}
	set, err := asn1.Marshal(asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: o.signer.Signed.Bytes})
	if err != nil {
		return malformed("%v", err)
	}
	if err := own.CheckSignature(kind, set, o.signer.Signature); err != nil {
		return ErrSignature
	}
	if !bytes.Equal(digest, o.digest) {
		return ErrChanged
	}
	if !o.time.IsZero() && (o.time.Before(own.NotBefore) || o.time.After(own.NotAfter)) {
		return fmt.Errorf("%w: it says it was made on %s, when its certificate did not hold", ErrSignature, o.time.Format(time.DateOnly))
	}
	return nil
}
