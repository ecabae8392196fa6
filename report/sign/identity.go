package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rsa"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"time"
)

// Identity is a private key with its certificate.
type Identity struct {
	key    crypto.Signer
	chain  []*x509.Certificate // the signer's own first
	digest crypto.Hash
}

// String names the certificate, never the key.
func (id *Identity) String() string { return "the key of " + Describe(id.chain[0]) }

// Certificate returns the signer's certificate.
func (id *Identity) Certificate() *x509.Certificate { return id.chain[0] }

// NewIdentity makes an identity of a private key and its certificate, behind which those
// of its issuers may follow. The key is RSA of 2048 to 4096 bits, or ECDSA on P-256 or
// P-384; the certificate has to allow signing. The error wraps [ErrKey].
func NewIdentity(key crypto.Signer, chain ...*x509.Certificate) (*Identity, error) {
	digest, err := suits(key.Public())
	if err != nil {
		return nil, err
	}
	if len(chain) == 0 {
		return nil, fmt.Errorf("%w: no certificate", ErrKey)
	}
	own := chain[0]
	if k, ok := own.PublicKey.(interface{ Equal(crypto.PublicKey) bool }); !ok || !k.Equal(key.Public()) {
		return nil, fmt.Errorf("%w: the certificate of %s is not that of the key", ErrKey, Describe(own))
	}
	const signing = x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment
	if own.KeyUsage != 0 && own.KeyUsage&signing == 0 {
		return nil, fmt.Errorf("%w: the certificate of %s is not for signatures", ErrKey, Describe(own))
	}
	for i := 1; i < len(chain); i++ {
		if err := chain[i-1].CheckSignatureFrom(chain[i]); err != nil {
			return nil, fmt.Errorf("%w: certificate %d in the file did not issue the one before it: %v", ErrKey, i+1, err)
		}
	}
	return &Identity{key: key, chain: chain, digest: digest}, nil
}

// suits returns the digest that goes with a public key, or refuses the key.
func suits(public crypto.PublicKey) (crypto.Hash, error) {
	const accepted = "want RSA of 2048 to 4096 bits, or ECDSA on P-256 or P-384"
	switch k := public.(type) {
	case *rsa.PublicKey:
		if bits := k.N.BitLen(); bits < 2048 || bits > 4096 {
			return 0, fmt.Errorf("%w: the key is RSA of %d bits; %s", ErrKey, bits, accepted)
		}
		return crypto.SHA256, nil
	case *ecdsa.PublicKey:
		switch k.Curve {
		case elliptic.P256():
			return crypto.SHA256, nil
		case elliptic.P384():
			return crypto.SHA384, nil
		}
		return 0, fmt.Errorf("%w: the key is ECDSA on %s; %s", ErrKey, k.Params().Name, accepted)
	}
	return 0, fmt.Errorf("%w: the key is neither RSA nor ECDSA; %s", ErrKey, accepted)
}

// valid refuses a certificate that does not hold at a time.
func (id *Identity) valid(t time.Time) error {
	c := id.chain[0]
	switch {
	case t.Before(c.NotBefore):
		return fmt.Errorf("%w: the certificate of %s begins on %s only", ErrKey, Describe(c), c.NotBefore.Format(time.DateOnly))
	case t.After(c.NotAfter):
		return fmt.Errorf("%w: the certificate of %s ended on %s", ErrKey, Describe(c), c.NotAfter.Format(time.DateOnly))
	}
	return nil
}

// parseKey reads a private key in PEM: PKCS #8, PKCS #1 or SEC 1. No error says anything
// of what the file holds but its kind.
func parseKey(data []byte) (crypto.Signer, error) {
	for {
		var block *pem.Block
		if block, data = pem.Decode(data); block == nil {
			return nil, fmt.Errorf("%w: it holds no private key in PEM", ErrKey)
		}
		var key any
		var err error
		switch {
		case block.Type == "ENCRYPTED PRIVATE KEY", bytes.Contains([]byte(block.Headers["Proc-Type"]), []byte("ENCRYPTED")):
			return nil, fmt.Errorf("%w: the key is encrypted; write it without a pass phrase where only you can read it: (umask 077; openssl pkey -in KEY -out PLAINKEY)", ErrKey)
		case block.Type == "PRIVATE KEY":
			key, err = x509.ParsePKCS8PrivateKey(block.Bytes)
		case block.Type == "RSA PRIVATE KEY":
			key, err = x509.ParsePKCS1PrivateKey(block.Bytes)
		case block.Type == "EC PRIVATE KEY":
			key, err = x509.ParseECPrivateKey(block.Bytes)
		default:
			continue // such as the parameters of a curve, or a certificate
		}
		signer, ok := key.(crypto.Signer)
		if err != nil || !ok {
			return nil, fmt.Errorf("%w: it holds a damaged private key, or one of another kind", ErrKey)
		}
		return signer, nil
	}
}

// ParseCertificates reads certificates in PEM, in their order. The error wraps [ErrKey]
// where there is none, or one that cannot be read.
func ParseCertificates(data []byte) ([]*x509.Certificate, error) {
	var list []*x509.Certificate
	for {
		var block *pem.Block
		if block, data = pem.Decode(data); block == nil {
			break
		}
		if block.Type != "CERTIFICATE" {
			continue
		}
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return nil, fmt.Errorf("%w: certificate %d cannot be read: %v", ErrKey, len(list)+1, err)
		}
		list = append(list, c)
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%w: it holds no certificate in PEM", ErrKey)
	}
	return list, nil
}
