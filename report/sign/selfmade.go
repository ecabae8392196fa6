package sign

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"os"
	"strings"
	"time"
	"unicode/utf8"
)

// Subject says whom a self-made certificate is to name.
type Subject struct {
	Name         string // of a person or a shop; needed
	Organization string
	From         time.Time
	Years        int // for which it holds
}

// mostName is how many characters X.520 allows a common name or an organisation.
const mostName = 64

// Warning is what has to be said of self-made certificates.
const Warning = "a self-made certificate proves that a report is as it was signed, not who signed it: anyone can make one in any name. " +
	"Whoever is to rely on it needs its fingerprint from you by another way."

// SelfMade makes a private key on P-256 and a certificate for it that nobody vouches for,
// both in PEM; see [Warning].
func SelfMade(s Subject) (key, certificate []byte, err error) {
	for _, text := range []string{s.Name, s.Organization} {
		if utf8.RuneCountInString(text) > mostName || !utf8.ValidString(text) {
			return nil, nil, fmt.Errorf("the name %.70q: want no more than %d characters", text, mostName)
		}
	}
	if strings.TrimSpace(s.Name) == "" {
		return nil, nil, errors.New("the name is missing; want that of the person or shop that signs")
	}
	const longest = 30
	if s.Years < 1 || s.Years > longest {
		return nil, nil, fmt.Errorf("%d years; want 1 to %d", s.Years, longest)
	}
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, nil, err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		return nil, nil, err
	}
	subject := pkix.Name{CommonName: s.Name}
	if s.Organization != "" {
		subject.Organization = []string{s.Organization}
	}
	from := s.From.UTC().Truncate(time.Second)
	about := &x509.Certificate{
		SerialNumber: serial.Add(serial, big.NewInt(1)), Subject: subject,
		NotBefore: from, NotAfter: from.AddDate(s.Years, 0, 0),
		KeyUsage:              x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment,
		BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, about, about, private.Public(), private)
	if err != nil {
		return nil, nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		return nil, nil, err
	}
	return pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), nil
}

// WriteSelfMade makes a private key and a certificate as [SelfMade] does and writes them
// into two new files, the key readable by its owner alone. Files that are there already
// are left alone, and give an error.
func WriteSelfMade(s Subject, keyPath, certificatePath string) (*x509.Certificate, error) {
	key, certificate, err := SelfMade(s)
	if err != nil {
		return nil, err
	}
	chain, err := ParseCertificates(certificate)
	if err != nil {
		return nil, err
	}
	if err := writeNew(keyPath, key, 0o600); err != nil {
		return nil, err
	}
	if err := writeNew(certificatePath, certificate, 0o644); err != nil {
		return nil, errors.Join(err, os.Remove(keyPath))
	}
	return chain[0], nil
}

// writeNew writes a file that must not be there yet, and removes what it wrote of one
// that it could not finish.
func writeNew(path string, data []byte, perm os.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, perm)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		err = errors.Join(err, os.Remove(path))
	}
	return err
}

// Fingerprint is the SHA-256 of a certificate, in pairs of hexadecimal digits.
func Fingerprint(c *x509.Certificate) string {
	var b bytes.Buffer
	for i, v := range sha256.Sum256(c.Raw) {
		if i > 0 {
			b.WriteByte(':')
		}
		fmt.Fprintf(&b, "%02X", v)
	}
	return b.String()
}

// SelfIssued reports whether a certificate names itself as its issuer, so that nobody
// else vouches for it.
func SelfIssued(c *x509.Certificate) bool { return bytes.Equal(c.RawIssuer, c.RawSubject) }

// Describe names the holder of a certificate for a message, in quotes, so that nothing
// in the name can pass for something else.
func Describe(c *x509.Certificate) string {
	name := c.Subject.CommonName
	if name == "" {
		name = c.Subject.String()
	}
	if o := c.Subject.Organization; len(o) > 0 && o[0] != name {
		name += ", " + o[0]
	}
	return fmt.Sprintf("%.120q", name)
}
