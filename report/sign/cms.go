package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	_ "crypto/sha512" // SHA-384
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"math/big"
	"slices"
	"time"
)

// CMS signed data, RFC 5652, sections 3 and 5, as far as a signature over a document
// outside of it needs it.
type (
	contentInfo struct {
		Type    asn1.ObjectIdentifier
		Content asn1.RawValue // [0] EXPLICIT
	}
	signedData struct {
		Version      int
		Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
		Content      outside
		Certificates asn1.RawValue `asn1:"optional,tag:0"`
		CRLs         asn1.RawValue `asn1:"optional,tag:1"`
		Signers      []signerInfo  `asn1:"set"`
	}
	outside struct {
		Type    asn1.ObjectIdentifier
		Content asn1.RawValue `asn1:"optional,tag:0"`
	}
	signerInfo struct {
		Version   int
		ID        issuerAndSerial
		Digest    pkix.AlgorithmIdentifier
		Signed    asn1.RawValue `asn1:"optional,tag:0"`
		Algorithm pkix.AlgorithmIdentifier
		Signature []byte
		Unsigned  asn1.RawValue `asn1:"optional,tag:1"`
	}
	issuerAndSerial struct {
		Issuer asn1.RawValue
		Serial *big.Int
	}
	attribute struct {
		Type   asn1.ObjectIdentifier
		Values asn1.RawValue // SET
	}
)

// What binds a signature's surroundings into it: the certificates of the signer, RFC 5035,
// section 3, and the algorithms, RFC 6211, section 2.
type (
	signingCertificates struct {
		Certificates []boundCertificate
		Policies     asn1.RawValue `asn1:"optional"`
	}
	boundCertificate struct {
		Digest pkix.AlgorithmIdentifier `asn1:"optional"` // SHA-256 where it is left out
		Hash   []byte
		ID     asn1.RawValue `asn1:"optional"`
	}
	boundAlgorithms struct {
		Digest    pkix.AlgorithmIdentifier
		Signature pkix.AlgorithmIdentifier `asn1:"optional,tag:1"`
	}
)

var (
	oidData         = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	oidSignedData   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidContentType  = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidDigest       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidTime         = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 5}
	oidCertificates = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	oidAlgorithms   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 52}

	oidRSA         = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 1}
	oidRSASHA256   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 11}
	oidRSASHA384   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 12}
	oidRSASHA512   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 13}
	oidECDSASHA256 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}
	oidECDSASHA384 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 3}
	oidECDSASHA512 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 4}
)

// digests are the algorithms known for digests.
var digests = []struct {
	oid  asn1.ObjectIdentifier
	hash crypto.Hash
}{
	{asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}, crypto.SHA256},
	{asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 2}, crypto.SHA384},
	{asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 3}, crypto.SHA512},
}

func oidOf(h crypto.Hash) asn1.ObjectIdentifier {
	i := slices.IndexFunc(digests, func(d struct {
		oid  asn1.ObjectIdentifier
		hash crypto.Hash
	}) bool {
		return d.hash == h
	})
	return digests[i].oid
}

// sign makes the signed data over a document of which the digest is known.
func (id *Identity) sign(digest []byte, at time.Time) ([]byte, error) {
	used := pkix.AlgorithmIdentifier{Algorithm: oidOf(id.digest)}
	algorithm := pkix.AlgorithmIdentifier{Algorithm: oidRSA, Parameters: asn1.NullRawValue}
	if _, ok := id.key.Public().(*ecdsa.PublicKey); ok {
		algorithm = pkix.AlgorithmIdentifier{Algorithm: oidECDSASHA256}
		if id.digest == crypto.SHA384 {
			algorithm.Algorithm = oidECDSASHA384
		}
	}
	attributes, err := id.attributes(digest, at, boundAlgorithms{used, algorithm})
	if err != nil {
		return nil, err
	}
	// What is signed is the set of attributes under the tag of a set (section 5.4).
	set, err := asn1.Marshal(asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: attributes})
	if err != nil {
		return nil, err
	}
	h := id.digest.New()
	h.Write(set)
	signature, err := id.key.Sign(rand.Reader, h.Sum(nil), id.digest)
	if err != nil {
		return nil, err
	}
	own := id.chain[0]
	var certificates []byte
	for _, c := range id.chain {
		certificates = append(certificates, c.Raw...)
	}
	body, err := asn1.Marshal(signedData{
		Version: 1, Digests: []pkix.AlgorithmIdentifier{used}, Content: outside{Type: oidData},
		Certificates: asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: certificates},
		Signers: []signerInfo{{
			Version: 1, ID: issuerAndSerial{Issuer: asn1.RawValue{FullBytes: own.RawIssuer}, Serial: own.SerialNumber}, Digest: used,
			Signed:    asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: attributes},
			Algorithm: algorithm, Signature: signature,
		}},
	})
	if err != nil {
		return nil, err
	}
	return asn1.Marshal(contentInfo{oidSignedData, asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: body}})
}

// attributes are what is signed beside the document, in the order that DER wants.
func (id *Identity) attributes(digest []byte, at time.Time, algorithms boundAlgorithms) ([]byte, error) {
	var bound signingCertificates
	for _, c := range id.chain {
		sum := sha256.Sum256(c.Raw)
		bound.Certificates = append(bound.Certificates, boundCertificate{Hash: sum[:]})
	}
	var list [][]byte
	for _, a := range []struct {
		kind  asn1.ObjectIdentifier
		value any
	}{{oidContentType, oidData}, {oidTime, at.UTC().Truncate(time.Second)}, {oidDigest, digest}, {oidCertificates, bound}, {oidAlgorithms, algorithms}} {
		value, err := asn1.Marshal(a.value)
		if err != nil {
			return nil, err
		}
		one, err := asn1.Marshal(attribute{a.kind, asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: value}})
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	slices.SortFunc(list, bytes.Compare)
	return bytes.Join(list, nil), nil
}

// algorithms says which signature algorithm goes with a kind of key, a digest and the
// name that the signature gives it.
var algorithms = []struct {
	rsa  bool
	hash crypto.Hash
	oids []asn1.ObjectIdentifier
	is   x509.SignatureAlgorithm
}{
	{true, crypto.SHA256, []asn1.ObjectIdentifier{oidRSA, oidRSASHA256}, x509.SHA256WithRSA},
	{true, crypto.SHA384, []asn1.ObjectIdentifier{oidRSA, oidRSASHA384}, x509.SHA384WithRSA},
	{true, crypto.SHA512, []asn1.ObjectIdentifier{oidRSA, oidRSASHA512}, x509.SHA512WithRSA},
	{false, crypto.SHA256, []asn1.ObjectIdentifier{oidECDSASHA256}, x509.ECDSAWithSHA256},
	{false, crypto.SHA384, []asn1.ObjectIdentifier{oidECDSASHA384}, x509.ECDSAWithSHA384},
	{false, crypto.SHA512, []asn1.ObjectIdentifier{oidECDSASHA512}, x509.ECDSAWithSHA512},
}

// algorithm finds the signature algorithm; ok is false for one that is not known.
func algorithm(key crypto.PublicKey, hash crypto.Hash, named asn1.ObjectIdentifier) (is x509.SignatureAlgorithm, ok bool) {
	_, isRSA := key.(*rsa.PublicKey)
	for _, a := range algorithms {
		if a.rsa == isRSA && a.hash == hash && slices.ContainsFunc(a.oids, named.Equal) {
			return a.is, true
		}
	}
	return 0, false
}
