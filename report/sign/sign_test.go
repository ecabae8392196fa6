package sign

import (
	"bytes"
	"crypto"
	"crypto/elliptic"
	"crypto/x509"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// keys are of every kind that signs.
var keys = map[string]func(testing.TB) crypto.Signer{
	"P-256":    func(t testing.TB) crypto.Signer { return ecKey(t, elliptic.P256()) },
	"P-384":    func(t testing.TB) crypto.Signer { return ecKey(t, elliptic.P384()) },
	"RSA-2048": func(t testing.TB) crypto.Signer { return rsaKey(t, 2048) },
	"RSA-3072": func(t testing.TB) crypto.Signer { return rsaKey(t, 3072) },
	"RSA-4096": func(t testing.TB) crypto.Signer { return rsaKey(t, 4096) },
}

// TestTwoSignatures: every kind of key signs, what was there stays as it was, and a
// second signature keeps the first.
func TestTwoSignatures(t *testing.T) {
	pdf := document(t)
	for name, key := range keys {
		t.Run(name, func(t *testing.T) {
			maker, customer := identity(t, "Maker", key(t)), identity(t, "Customer", key(t))
			once := signed(t, pdf, maker)
			twice := signed(t, once, customer)
			if !bytes.HasPrefix(once, pdf) || !bytes.HasPrefix(twice, once) {
				t.Error("signing changed what was there before")
			}
			if !intact(once, 1) || !intact(twice, 2) {
				t.Error("a fresh signature does not hold")
			}
			list, err := Verify(twice)
			if err != nil || len(list) != 2 {
				t.Fatalf("%d signatures, error %v", len(list), err)
			}
			first, second := list[0], list[1]
			if !first.Certificate.Equal(maker.Certificate()) || !second.Certificate.Equal(customer.Certificate()) {
				t.Errorf("signed by %s and %s", first.Signer(), second.Signer())
			}
			if first.Covers != len(once) || first.Rest != len(twice)-len(once) || second.Covers != len(twice) {
				t.Errorf("they cover %d and %d of %d and %d bytes", first.Covers, second.Covers, len(once), len(twice))
			}
			if !first.Time.Equal(at) || first.Reason != "released" {
				t.Errorf("signed at %v for %q", first.Time, first.Reason)
			}
			t.Logf("%s: %d bytes added", name, len(once)-len(pdf))
		})
	}
}

// Debian's poppler and qpdf agree with this package.
func TestOtherProgramsAgree(t *testing.T) {
	pdf := document(t)
	for name, key := range keys {
		t.Run(name, func(t *testing.T) {
			once := signed(t, pdf, identity(t, "Maker", key(t)))
			twice := signed(t, once, identity(t, `Kunde Ŝ (Werk Ĩ) \ 漢`, key(t)))
			for n, data := range [][]byte{once, twice} {
				if out := run(t, data, "qpdf", "--check"); strings.Contains(out, "WARNING") || !strings.Contains(out, "No syntax or stream encoding errors found") {
					t.Errorf("qpdf says of %d signatures:\n%s", n+1, out)
				}
				out := run(t, data, "pdfsig")
				if got := strings.Count(out, "Signature is Valid."); got != n+1 {
					t.Errorf("pdfsig finds %d valid signatures, want %d:\n%s", got, n+1, out)
				}
				if strings.Count(out, "Total document signed") != 1 || !strings.Contains(out, fmt.Sprintf("Signature%d", n+1)) {
					t.Errorf("pdfsig says:\n%s", out)
				}
			}
		})
	}
}

// A name or a reason of any text comes back and breaks nothing.
func TestTextsOfSigners(t *testing.T) {
	key := ecKey(t, elliptic.P256())
	for _, text := range []string{"plain", `a (b \ c`, ")))", "Ŝ Ĩ 漢 (", "line\nfeed\r", "/ByteRange [0 1 2 3] /Contents <00>", ""} {
		id := identity(t, text, key)
		out, err := Sign(document(t), id, Options{Reason: text, Time: at})
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		list, err := Verify(out)
		if err != nil || !intact(out, 1) {
			t.Fatalf("%q: %+v, %v", text, list, err)
		}
		if got := list[0]; got.Reason != text || got.Certificate.Subject.CommonName != text {
			t.Errorf("signed by %q for %q, want %q", got.Certificate.Subject.CommonName, got.Reason, text)
		}
		if qpdf := run(t, out, "qpdf", "--check"); strings.Contains(qpdf, "WARNING") {
			t.Errorf("%q: qpdf says:\n%s", text, qpdf)
		}
	}
}

// TestEveryChangeShows changes bytes all over a signed file, seeded: no change passes
// for signed and whole.
func TestEveryChangeShows(t *testing.T) {
	once := signed(t, document(t), identity(t, "Maker", ecKey(t, elliptic.P256())))
	twice := signed(t, once, identity(t, "Customer", rsaKey(t, 2048)))
	r := rand.New(rand.NewPCG(1, 2026))
	for _, c := range []struct {
		name string
		pdf  []byte
		n    int
	}{{"one signature", once, 1}, {"two signatures", twice, 2}} {
		if !intact(c.pdf, c.n) {
			t.Fatal("the file is not signed to begin with")
		}
		for range 1500 {
			i, by := r.IntN(len(c.pdf)), byte(1+r.IntN(255))
			if intact(changed(c.pdf, i, by), c.n) {
				t.Errorf("%s: byte %d changed from %#x by %#x, and it passes", c.name, i, c.pdf[i], by)
			}
		}
	}
}

// TestEveryByteOfTheSignatureShows changes every byte of the signature itself, which it
// does not cover.
func TestEveryByteOfTheSignatureShows(t *testing.T) {
	for _, id := range []*Identity{identity(t, "Maker", ecKey(t, elliptic.P256())), identity(t, "Maker", rsaKey(t, 2048)), chained(t)} {
		pdf := signed(t, document(t), id)
		from := bytes.LastIndex(pdf, []byte("/Contents <")) + len("/Contents ")
		to := from + bytes.IndexByte(pdf[from:], '>') + 1
		r := rand.New(rand.NewPCG(2, 2026))
		for i := from; i < to; i++ {
			for _, by := range []byte{0x20, 1 << r.IntN(8), byte(1 + r.IntN(255))} {
				if intact(changed(pdf, i, by), 1) {
					t.Errorf("byte %d changed from %q by %#x, and it passes", i-from, pdf[i], by)
				}
			}
			// Any other digit.
			if other := "0123456789abcdef"[r.IntN(16)]; other != pdf[i] && intact(changed(pdf, i, other^pdf[i]), 1) {
				t.Errorf("byte %d changed from %q to %q, and it passes", i-from, pdf[i], other)
			}
		}
	}
}

// TestEveryBitOfTheSignedData changes the signed data itself, bit by bit: none of it can
// be changed unseen.
func TestEveryBitOfTheSignedData(t *testing.T) {
	for _, id := range []*Identity{identity(t, "Maker", ecKey(t, elliptic.P256())), chained(t)} {
		digest := make([]byte, id.digest.Size())
		der, err := id.sign(digest, at)
		if err != nil {
			t.Fatal(err)
		}
		holds := func(der []byte) bool {
			o, err := open(der)
			return err == nil && o.verify(digest) == nil
		}
		if !holds(der) {
			t.Fatal("it does not hold to begin with")
		}
		for i := range der {
			for _, by := range []byte{1, 2, 4, 8, 16, 32, 64, 128, 3, 10, 255} {
				if holds(changed(der, i, by)) {
					t.Errorf("byte %d changed from %#x by %#x, and it passes: % x", i, der[i], by, der[max(0, i-10):i+10])
				}
			}
		}
	}
}

func changed(pdf []byte, i int, by byte) []byte {
	data := bytes.Clone(pdf)
	data[i] ^= by
	return data
}

func TestCutAndAppended(t *testing.T) {
	pdf := document(t)
	once := signed(t, pdf, identity(t, "Maker", ecKey(t, elliptic.P256())))
	twice := signed(t, once, identity(t, "Customer", ecKey(t, elliptic.P256())))

	if list, err := Verify(pdf); err != nil || len(list) != 0 {
		t.Errorf("a file that is not signed has %d signatures, error %v", len(list), err)
	}
	if list, err := Verify(twice[:len(once)]); err != nil || len(list) != 1 || list[0].Err != nil {
		t.Errorf("the first signature does not hold without the second: %+v, %v", list, err)
	}
	for _, n := range []int{1, 10, 100, 3000} {
		if intact(twice[:len(twice)-n], 2) {
			t.Errorf("%d bytes cut off, and it passes", n)
		}
	}
	list, err := Verify(append(bytes.Clone(once), "% more\n"...))
	if err != nil || len(list) != 1 || list[0].Err != nil || list[0].Rest != len("% more\n") {
		t.Errorf("bytes behind the end: %+v, %v", list, err)
	}
	if _, err := Sign(append(bytes.Clone(once), "% more\n"...), identity(t, "Customer", ecKey(t, elliptic.P256())), Options{Time: at}); err == nil || !strings.Contains(err.Error(), "7 bytes stand behind its end") {
		t.Errorf("signing a file with bytes behind its end: error %v", err)
	}
	broken := changed(once, 20, 1)
	if _, err := Sign(broken, identity(t, "Customer", ecKey(t, elliptic.P256())), Options{Time: at}); !errors.Is(err, ErrChanged) || !strings.Contains(err.Error(), `signature 1, by "Maker"`) {
		t.Errorf("signing a file whose signature is broken: error %v", err)
	}
}

// TestKinds: what is wrong is told apart.
func TestKinds(t *testing.T) {
	pdf := document(t)
	maker, other := identity(t, "Maker", ecKey(t, elliptic.P256())), identity(t, "Maker", ecKey(t, elliptic.P256()))
	once := signed(t, pdf, maker)
	kind := func(data []byte) error {
		list, err := Verify(data)
		if err != nil || len(list) != 1 {
			t.Fatalf("%d signatures, error %v", len(list), err)
		}
		return list[0].Err
	}
	if err := kind(changed(once, 300, 1)); !errors.Is(err, ErrChanged) {
		t.Errorf("a changed byte gives %v", err)
	}
	// Someone else's key under the maker's certificate.
	forged := signed(t, pdf, &Identity{key: other.key, chain: maker.chain, digest: maker.digest})
	if err := kind(forged); !errors.Is(err, ErrSignature) {
		t.Errorf("a signature by another key gives %v", err)
	}
	late := &Identity{key: maker.key, chain: maker.chain, digest: maker.digest}
	der, err := late.sign(make([]byte, 32), at.AddDate(5, 0, 0))
	if err != nil {
		t.Fatal(err)
	}
	o, err := open(der)
	if err != nil {
		t.Fatal(err)
	}
	if err := o.verify(make([]byte, 32)); !errors.Is(err, ErrSignature) || !strings.Contains(err.Error(), "2031-11-20") {
		t.Errorf("a signature after the end of its certificate gives %v", err)
	}
	at := bytes.LastIndex(once, []byte("/Contents <"))
	if err := kind(changed(once, at+40, 0x20)); !errors.Is(err, ErrMalformed) && !errors.Is(err, ErrSignature) {
		t.Errorf("a signature tampered with gives %v", err)
	}
}

func TestKnown(t *testing.T) {
	ca, stranger := authority(t), authority(t)
	key := ecKey(t, elliptic.P256())
	leaf := issue(t, "Maker of the house", key, ca, nil)
	with, err := NewIdentity(key, leaf, ca.Certificate())
	if err != nil {
		t.Fatal(err)
	}
	without, err := NewIdentity(key, leaf)
	if err != nil {
		t.Fatal(err)
	}
	self := identity(t, "Maker", key)
	for _, c := range []struct {
		name   string
		id     *Identity
		pinned []*x509.Certificate
		want   bool
	}{
		{"its own", self, self.chain, true},
		{"none", self, nil, false},
		{"another of the same name", self, []*x509.Certificate{identity(t, "Maker", ecKey(t, elliptic.P256())).Certificate()}, false},
		{"another of the same key", self, []*x509.Certificate{leaf}, false},
		{"one of several", self, []*x509.Certificate{leaf, self.Certificate()}, true},
		{"its issuer, in the file", with, []*x509.Certificate{ca.Certificate()}, true},
		{"its issuer, not in the file", without, []*x509.Certificate{ca.Certificate()}, true},
		{"another authority of the same name", without, []*x509.Certificate{stranger.Certificate()}, false},
		{"itself, issued", with, []*x509.Certificate{leaf}, true},
	} {
		list, err := Verify(signed(t, document(t), c.id))
		if err != nil || len(list) != 1 || list[0].Err != nil {
			t.Fatalf("%s: %+v, %v", c.name, list, err)
		}
		if got := list[0].Known(c.pinned); got != c.want {
			t.Errorf("%s: known %v, want %v", c.name, got, c.want)
		}
	}
}

// OpenSSL reads what this package signs, and this package what OpenSSL signs.
func TestOpenSSL(t *testing.T) {
	if _, err := exec.LookPath("openssl"); err != nil {
		t.Skip("no openssl")
	}
	dir := t.TempDir()
	keyPath, certificatePath := filepath.Join(dir, "key.pem"), filepath.Join(dir, "certificate.pem")
	for _, kind := range [][]string{{"-newkey", "rsa:2048"}, {"-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-384"}} {
		args := append([]string{"req", "-x509", "-nodes", "-subj", "/CN=Maker", "-days", "30", "-keyout", keyPath, "-out", certificatePath}, kind...)
		if out, err := exec.Command("openssl", args...).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if err := os.Chmod(keyPath, 0o600); err != nil {
			t.Fatal(err)
		}
		id, err := Load(keyPath, certificatePath)
		if err != nil {
			t.Fatal(err)
		}
		pdf, g, err := withPlace(document(t), 4000, id, time.Now(), "")
		if err != nil {
			t.Fatal(err)
		}
		covered := filepath.Join(dir, "covered")
		if err := os.WriteFile(covered, append(bytes.Clone(pdf[:g.from]), pdf[g.to:]...), 0o600); err != nil {
			t.Fatal(err)
		}

		theirs := filepath.Join(dir, "theirs.der")
		if out, err := exec.Command("openssl", "cms", "-sign", "-binary", "-in", covered, "-signer", certificatePath, "-inkey", keyPath, "-outform", "DER", "-md", "sha512", "-nosmimecap", "-out", theirs).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		der, err := os.ReadFile(theirs)
		if err != nil {
			t.Fatal(err)
		}
		copy(pdf[g.from+1:], fmt.Appendf(nil, "%x", der))
		if !intact(pdf, 1) {
			list, err := Verify(pdf)
			t.Errorf("a signature by openssl: %+v, %v", list, err)
		}

		ours, err := id.sign(g.digest(pdf, id.digest), time.Now())
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(theirs, ours, 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("openssl", "cms", "-verify", "-binary", "-inform", "DER", "-in", theirs, "-content", covered, "-CAfile", certificatePath, "-purpose", "any", "-out", os.DevNull).CombinedOutput(); err != nil {
			t.Errorf("openssl: %v\n%s", err, out)
		}
	}
}

// FuzzVerify: nothing that can be read as a file or a signature breaks the reader.
func FuzzVerify(f *testing.F) {
	id := identity(f, "Maker", ecKey(f, elliptic.P256()))
	once := signed(f, document(f), id)
	f.Add(once)
	f.Add(signed(f, once, id))
	f.Add([]byte("%PDF-1.7\n"))
	f.Add([]byte("%PDF-1.3\nxref\n0 1\n0000000000 65535 f \ntrailer\n<</Root 1 0 R/Prev 9>>\nstartxref\n9\n%%EOF"))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := Verify(data)
		if err != nil && list != nil {
			t.Error("signatures beside an error")
		}
		for _, s := range list {
			if s.Err == nil && (s.Certificate == nil || s.Covers <= 0 || s.Covers > len(data)) {
				t.Errorf("a signature that holds: %+v", s)
			}
			s.Known([]*x509.Certificate{id.Certificate()})
		}
	})
}

// FuzzOpen: whatever reads as signed data is in DER, and says who signed.
func FuzzOpen(f *testing.F) {
	der, err := identity(f, "Maker", ecKey(f, elliptic.P256())).sign(make([]byte, 32), at)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(der)
	f.Add([]byte{0x30, 0x80})
	f.Fuzz(func(t *testing.T, data []byte) {
		if o, err := open(data); err == nil && (o.chain[0] == nil || o.hash == 0 || len(o.digest) == 0) {
			t.Errorf("%x reads as %+v", data, o)
		}
	})
}

func BenchmarkSign(b *testing.B) {
	pdf := document(b)
	for _, name := range []string{"P-256", "RSA-2048"} {
		id := identity(b, "Maker", keys[name](b))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				signed(b, pdf, id)
			}
		})
	}
}

func BenchmarkVerify(b *testing.B) {
	pdf := signed(b, document(b), identity(b, "Maker", keys["P-256"](b)))
	for b.Loop() {
		if !intact(pdf, 1) {
			b.Fatal("it does not hold")
		}
	}
}
