package sign

import (
	"bytes"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

func pemOf(kind string, der []byte) []byte {
	return pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der})
}

// stored writes a file that only its owner can read, and returns its path.
func stored(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func TestLoad(t *testing.T) {
	ec, small := ecKey(t, elliptic.P256()), rsaKey(t, 2048)
	for _, c := range []struct {
		name string
		key  []byte
		of   []byte
	}{
		{"PKCS #8", pemOf("PRIVATE KEY", must(x509.MarshalPKCS8PrivateKey(ec))), issue(t, "Maker", ec, nil, nil).Raw},
		{"PKCS #1", pemOf("RSA PRIVATE KEY", x509.MarshalPKCS1PrivateKey(small.(*rsa.PrivateKey))), issue(t, "Maker", small, nil, nil).Raw},
		{"behind the parameters of a curve", append(pemOf("EC PARAMETERS", []byte{6, 0}), pemOf("PRIVATE KEY", must(x509.MarshalPKCS8PrivateKey(ec)))...), issue(t, "Maker", ec, nil, nil).Raw},
	} {
		t.Run(c.name, func(t *testing.T) {
			id, err := Load(stored(t, "key.pem", c.key), stored(t, "certificate.pem", pemOf("CERTIFICATE", c.of)))
			if err != nil {
				t.Fatal(err)
			}
			if !intact(signed(t, document(t), id), 1) || id.Certificate().Subject.CommonName != "Maker" {
				t.Error("what it signs does not hold")
			}
		})
	}
}

func TestLoadRefuses(t *testing.T) {
	ec := ecKey(t, elliptic.P256())
	key := pemOf("PRIVATE KEY", must(x509.MarshalPKCS8PrivateKey(ec)))
	own := pemOf("CERTIFICATE", issue(t, "Maker", ec, nil, nil).Raw)
	_, ed, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	// Too short for crypto/rsa to make; only its length counts.
	short := &rsa.PublicKey{N: new(big.Int).Lsh(big.NewInt(1), 1023), E: 65537}
	if _, err := suits(short); err == nil || !strings.Contains(err.Error(), "RSA of 1024 bits") {
		t.Errorf("a short key: error %v", err)
	}
	legacy := pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Headers: map[string]string{"Proc-Type": "4,ENCRYPTED", "DEK-Info": "AES-256-CBC,00"}, Bytes: []byte("secret")})
	change := func(f func(*x509.Certificate)) []byte { return pemOf("CERTIFICATE", issue(t, "Maker", ec, nil, f).Raw) }
	for _, c := range []struct {
		name             string
		key, certificate []byte
		says             string
	}{
		{"encrypted", pemOf("ENCRYPTED PRIVATE KEY", []byte("secret")), own, "the key is encrypted; write it without a pass phrase"},
		{"encrypted, of old", legacy, own, "the key is encrypted"},
		{"empty", nil, own, "no private key in PEM"},
		{"no PEM", []byte("secret"), own, "no private key in PEM"},
		{"only a certificate", own, own, "no private key in PEM"},
		{"damaged", pemOf("PRIVATE KEY", []byte("secret")), own, "a damaged private key, or one of another kind"},
		{"another kind", pemOf("PRIVATE KEY", must(x509.MarshalPKCS8PrivateKey(ed))), own, "neither RSA nor ECDSA; want RSA of 2048 to 4096 bits"},
		{"another curve", pemOf("PRIVATE KEY", must(x509.MarshalPKCS8PrivateKey(ecKey(t, elliptic.P521())))), own, "ECDSA on P-521"},
		{"another key's certificate", key, pemOf("CERTIFICATE", issue(t, "Other", ecKey(t, elliptic.P256()), nil, nil).Raw), `the certificate of "Other" is not that of the key`},
		{"no certificate", key, key, "no certificate in PEM"},
		{"a damaged certificate", key, pemOf("CERTIFICATE", []byte("x")), "certificate 1 cannot be read"},
		{"not for signatures", key, change(func(c *x509.Certificate) { c.KeyUsage = x509.KeyUsageKeyEncipherment }), "not for signatures"},
		{"not its issuer", key, append(bytes.Clone(own), change(func(c *x509.Certificate) { c.Subject.CommonName = "Other" })...), "certificate 2 in the file did not issue"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := stored(t, "key.pem", c.key)
			id, err := Load(path, stored(t, "certificate.pem", c.certificate))
			if !errors.Is(err, ErrKey) || !strings.Contains(err.Error(), c.says) || id != nil {
				t.Errorf("error %v, want one that says %q", err, c.says)
			}
			if strings.Contains(err.Error(), "secret") {
				t.Errorf("the error tells what is in the key: %v", err)
			}
		})
	}
	for name, of := range map[string][2]time.Time{
		"ended on 2026-11-19":       {at.AddDate(-1, 0, 0), at.AddDate(0, 0, -1)},
		"begins on 2026-11-21 only": {at.AddDate(0, 0, 1), at.AddDate(1, 0, 0)},
	} {
		id, err := Load(stored(t, "key.pem", key), stored(t, "certificate.pem", change(func(c *x509.Certificate) { c.NotBefore, c.NotAfter = of[0], of[1] })))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Sign(document(t), id, Options{Time: at}); !errors.Is(err, ErrKey) || !strings.Contains(err.Error(), name) {
			t.Errorf("error %v, want one that says %q", err, name)
		}
	}
	if _, err := Load("missing.pem", "missing.pem"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing key: error %v", err)
	}
	if _, err := Load(stored(t, "key.pem", key), "missing.pem"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing certificate: error %v", err)
	}
	if _, err := Load(t.TempDir(), "x"); !errors.Is(err, ErrKey) {
		t.Errorf("a folder for a key: error %v", err)
	}
}

// TestKeysOfOthers: a key that group or others may use is not used.
func TestKeysOfOthers(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("permissions are of another kind")
	}
	ec := ecKey(t, elliptic.P256())
	certificate := stored(t, "certificate.pem", pemOf("CERTIFICATE", issue(t, "Maker", ec, nil, nil).Raw))
	path := stored(t, "key.pem", pemOf("PRIVATE KEY", must(x509.MarshalPKCS8PrivateKey(ec))))
	for mode := os.FileMode(0o400); mode <= 0o777; mode++ {
		if mode&0o400 == 0 {
			continue
		}
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		_, err := Load(path, certificate)
		switch {
		case mode&0o077 == 0 && err != nil:
			t.Errorf("mode %04o: error %v", mode, err)
		case mode&0o077 != 0 && (!errors.Is(err, ErrKey) || !strings.Contains(err.Error(), "chmod 600 "+path)):
			t.Errorf("mode %04o: error %v, want one that says what to do", mode, err)
		}
	}
}

// TestNothingOfTheKey: neither what is signed nor what is said of an identity holds
// anything of the private key.
func TestNothingOfTheKey(t *testing.T) {
	key, certificate, err := SelfMade(Subject{Name: "Maker", From: at, Years: 1})
	if err != nil {
		t.Fatal(err)
	}
	signer, err := parseKey(key)
	if err != nil {
		t.Fatal(err)
	}
	chain, err := ParseCertificates(certificate)
	if err != nil {
		t.Fatal(err)
	}
	id, err := NewIdentity(signer, chain...)
	if err != nil {
		t.Fatal(err)
	}
	block, _ := pem.Decode(key)
	// The private number stands in the PKCS #8 of a key on P-256 from byte 36 on.
	private := block.Bytes[36 : 36+32]
	out := signed(t, document(t), id)
	texts := [][]byte{out, certificate, []byte(id.String()), []byte(strings.Join(strings.Fields(string(out)), ""))}
	for _, form := range [][]byte{private, fmt.Appendf(nil, "%x", private), fmt.Appendf(nil, "%X", private), key[60:100]} {
		for i, text := range texts {
			if bytes.Contains(text, form) {
				t.Errorf("output %d holds the private key", i)
			}
		}
	}
}

func TestSelfMade(t *testing.T) {
	dir := t.TempDir()
	key, certificate := filepath.Join(dir, "key.pem"), filepath.Join(dir, "certificate.pem")
	c, err := WriteSelfMade(Subject{Name: "Maud Okparo", Organization: "Ternhaven Engine Works", From: at, Years: 2}, key, certificate)
	if err != nil {
		t.Fatal(err)
	}
	if Describe(c) != `"Maud Okparo, Ternhaven Engine Works"` || !SelfIssued(c) || c.IsCA || !c.NotAfter.Equal(at.AddDate(2, 0, 0)) || len(Fingerprint(c)) != 32*3-1 {
		t.Errorf("made %s, CA %v, to %v, %s", Describe(c), c.IsCA, c.NotAfter, Fingerprint(c))
	}
	if info, err := os.Stat(key); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key has mode %v, %v", info.Mode(), err)
	}
	id, err := Load(key, certificate)
	if err != nil {
		t.Fatal(err)
	}
	if !intact(signed(t, document(t), id), 1) {
		t.Error("what it signs does not hold")
	}
	if out, err := exec.Command("openssl", "x509", "-in", certificate, "-noout", "-fingerprint", "-sha256").Output(); err == nil && !strings.Contains(string(out), Fingerprint(c)) {
		t.Errorf("openssl says %s, this package %s", out, Fingerprint(c))
	}

	// Files that are there are left alone, and no key without its certificate.
	before, _ := os.ReadFile(key)
	if _, err := WriteSelfMade(Subject{Name: "x", From: at, Years: 1}, key, filepath.Join(dir, "other.pem")); !errors.Is(err, os.ErrExist) {
		t.Errorf("over a key: error %v", err)
	}
	if _, err := WriteSelfMade(Subject{Name: "x", From: at, Years: 1}, filepath.Join(dir, "other.pem"), certificate); !errors.Is(err, os.ErrExist) {
		t.Errorf("over a certificate: error %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "other.pem")); err == nil {
		t.Error("a key without its certificate is left")
	}
	if after, _ := os.ReadFile(key); !bytes.Equal(before, after) {
		t.Error("the key has changed")
	}
	for _, s := range []Subject{{}, {Name: " ", Years: 1}, {Name: strings.Repeat("x", 65), Years: 1}, {Name: "\xff", Years: 1}, {Name: "x"}, {Name: "x", Years: 31}, {Name: "x", Organization: strings.Repeat("x", 65), Years: 1}} {
		if _, _, err := SelfMade(s); err == nil {
			t.Errorf("%+v makes a certificate", s)
		}
	}
}
