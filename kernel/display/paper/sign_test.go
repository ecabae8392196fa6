package paper

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/check"
	"example.com/railbook/report/sign"
)

// A report that is signed once by its maker and once by its customer holds for whoever has
// both certificates, and no private key is left anywhere.
func TestSignOnce(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cell.OutVariable, dir)
	Report(display.Assess(display.Open("../testdata/bench.toml")), "bench.pdf")
	if c := Findings("bench.pdf"); len(c.Failed()) > 0 {
		t.Errorf("before it is signed: %v", c.Findings)
	}
	for _, by := range []string{"maker", "customer"} {
		if err := signOnce("bench.pdf", by+".pem", "The "+by, "released"); err != nil {
			t.Fatal(err)
		}
	}
	both := Findings("bench.pdf", "maker.pem", "customer.pem")
	signatures := 0
	for _, f := range both.Findings {
		if f.Check == "signature" && f.Outcome == check.Holds {
			signatures++
		}
	}
	if len(both.Failed()) > 0 || signatures != 2 {
		t.Errorf("%d signatures hold: %v", signatures, both.Findings)
	}
	if one := Findings("bench.pdf", "customer.pem"); len(one.Failed()) == 0 {
		t.Errorf("a signer without a certificate passes: %v", one.Findings)
	}
	files, err := os.ReadDir(dir)
	if err != nil || len(files) != 3 {
		t.Errorf("left are %v, %v", files, err)
	}
	for _, f := range files {
		if data, err := os.ReadFile(filepath.Join(dir, f.Name())); err != nil || bytes.Contains(data, []byte("PRIVATE KEY")) {
			t.Errorf("%s holds a private key, or: %v", f.Name(), err)
		}
	}
	// One byte of a page that is changed shows.
	path := filepath.Join(dir, "bench.pdf")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data[len(data)/3] ^= 1
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	if c := Findings("bench.pdf", "maker.pem", "customer.pem"); len(c.Failed()) == 0 {
		t.Errorf("a changed report holds: %v", c.Findings)
	}
}

// Sign takes a key that lies in a file.
func TestSign(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cell.OutVariable, dir)
	Report(display.Assess(display.Open("../testdata/bench.toml")), "bench.pdf")
	key, certificate := filepath.Join(dir, "key.pem"), filepath.Join(dir, "maker.pem")
	if _, err := sign.WriteSelfMade(sign.Subject{Name: "A maker", From: time.Now(), Years: 1}, key, certificate); err != nil {
		t.Fatal(err)
	}
	Sign("bench.pdf", key, certificate, "released")
	if c := Findings("bench.pdf", "maker.pem"); len(c.Failed()) > 0 {
		t.Errorf("%v", c.Findings)
	}
}

func TestSignMistakes(t *testing.T) {
	t.Setenv(cell.OutVariable, t.TempDir())
	if err := signOnce("bench.pdf", "../maker.pem", "A maker", ""); err == nil || !strings.Contains(err.Error(), "inside the output folder") {
		t.Errorf("a certificate outside: %v", err)
	}
	if err := signOnce("bench.pdf", "maker.pem", " ", ""); err == nil || !strings.Contains(err.Error(), "the name is missing") {
		t.Errorf("no holder: %v", err)
	}
	if _, err := findings("none.pdf", nil); err == nil || !strings.Contains(err.Error(), "none.pdf") {
		t.Errorf("no report: %v", err)
	}
	if _, err := findings("none.pdf", []string{"none.pem"}); err == nil || !strings.Contains(err.Error(), "none.pem") {
		t.Errorf("no certificate: %v", err)
	}
	if _, err := identity([]byte("no key"), nil); err == nil {
		t.Error("a key that is none")
	}
	if got := halves("AB:CD:EF:01"); got != "AB:CD EF:01" {
		t.Errorf("halves are %q", got)
	}
}
