package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/phpdave11/gofpdf"
)

// document is a PDF of two pages that is not signed.
func document(t testing.TB) []byte {
	t.Helper()
	pdf := gofpdf.New("P", "mm", "A4", "")
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(at)
	pdf.SetModificationDate(at)
	pdf.SetFont("Helvetica", "", 12)
	for _, text := range []string{"One page", "Another page"} {
		pdf.AddPage()
		pdf.Cell(40, 10, text)
	}
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// at is when the tests sign.
var at = time.Date(2026, 11, 20, 12, 30, 15, 0, time.UTC)

// issue makes a certificate for a key, by a parent, or by itself where that is nil.
func issue(t testing.TB, name string, key crypto.Signer, parent *Identity, change func(*x509.Certificate)) *x509.Certificate {
	t.Helper()
	about := &x509.Certificate{
		SerialNumber: big.NewInt(int64(len(name)) + 1000), Subject: pkix.Name{CommonName: name},
		NotBefore: at.AddDate(-1, 0, 0), NotAfter: at.AddDate(1, 0, 0),
		KeyUsage: x509.KeyUsageDigitalSignature, BasicConstraintsValid: true,
	}
	if change != nil {
		change(about)
	}
	by, signer := about, key
	if parent != nil {
		by, signer = parent.chain[0], parent.key
	}
	der, err := x509.CreateCertificate(rand.Reader, about, by, key.Public(), signer)
	if err != nil {
		t.Fatal(err)
	}
	c, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func ecKey(t testing.TB, curve elliptic.Curve) crypto.Signer {
	t.Helper()
	key, err := ecdsa.GenerateKey(curve, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

func rsaKey(t testing.TB, bits int) crypto.Signer {
	t.Helper()
	key, err := rsa.GenerateKey(rand.Reader, bits)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

// identity makes an identity whose certificate nobody vouches for.
func identity(t testing.TB, name string, key crypto.Signer) *Identity {
	t.Helper()
	id, err := NewIdentity(key, issue(t, name, key, nil, nil))
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// chained makes an identity whose certificate an authority issued.
func chained(t testing.TB) *Identity {
	t.Helper()
	ca, key := authority(t), rsaKey(t, 2048)
	id, err := NewIdentity(key, issue(t, "Maker of the house", key, ca, nil), ca.Certificate())
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// authority is one that issues certificates.
func authority(t testing.TB) *Identity {
	t.Helper()
	key := ecKey(t, elliptic.P384())
	return &Identity{key: key, digest: crypto.SHA384, chain: []*x509.Certificate{issue(t, "Authority", key, nil, func(c *x509.Certificate) {
		c.IsCA, c.KeyUsage = true, x509.KeyUsageCertSign
	})}}
}

func signed(t testing.TB, pdf []byte, id *Identity) []byte {
	t.Helper()
	out, err := Sign(pdf, id, Options{Reason: "released", Time: at})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// intact reports whether a file is signed n times, all of it, and every signature holds.
func intact(pdf []byte, n int) bool {
	list, err := Verify(pdf)
	if err != nil || len(list) != n {
		return false
	}
	for _, s := range list {
		if s.Err != nil {
			return false
		}
	}
	return list[n-1].Rest == 0
}

// run runs a tool of the system on a file, and skips the test where there is none.
func run(t *testing.T, pdf []byte, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Skipf("no %s", tool)
	}
	path := filepath.Join(t.TempDir(), "file.pdf")
	if err := os.WriteFile(path, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, append(args, path)...).CombinedOutput()
	if err != nil {
		t.Errorf("%s: %v\n%s", tool, err, out)
	}
	return string(out)
}
