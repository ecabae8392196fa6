package check_test

import (
	"bytes"
	"crypto/x509"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/check"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/sign"
	"example.com/railbook/sizing"
)

const demoSheet = "../../notebooks/first-build.toml"

func open(t testing.TB, path string) sizing.Build {
	t.Helper()
	b, err := sizing.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func rendered(t testing.TB, b sizing.Build, o report.Options) []byte {
	t.Helper()
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := report.Render(&out, a, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

var none = []figure.Figure{}

// full is the report of the demo, and quick one without figures of the least sheet.
var (
	full  = sync.OnceValue(func() []byte { return rendered(&testing.B{}, open(&testing.B{}, demoSheet), report.Options{}) })
	quick = sync.OnceValue(func() []byte {
		b := open(&testing.B{}, "../../testdata/sheets/natural.toml")
		b.Job.Date = "2026-11-20"
		return rendered(&testing.B{}, b, report.Options{Figures: none})
	})
)

func identity(t testing.TB, name string) *sign.Identity {
	t.Helper()
	dir := t.TempDir()
	key, certificate := filepath.Join(dir, "key.pem"), filepath.Join(dir, "certificate.pem")
	if _, err := sign.WriteSelfMade(sign.Subject{Name: name, From: time.Now().Add(-time.Hour), Years: 1}, key, certificate); err != nil {
		t.Fatal(err)
	}
	id, err := sign.Load(key, certificate)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func signed(t testing.TB, pdf []byte, id *sign.Identity) []byte {
	t.Helper()
	out, err := sign.Sign(pdf, id, sign.Options{Reason: "released"})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func known(ids ...*sign.Identity) []*x509.Certificate {
	var list []*x509.Certificate
	for _, id := range ids {
		list = append(list, id.Certificate())
	}
	return list
}

// says lists the findings in short: what was checked, and what came of it.
func says(c check.Checked) string {
	var list []string
	for _, f := range c.Findings {
		list = append(list, f.Check+" "+f.Outcome.String())
	}
	return strings.Join(list, ", ")
}

func lines(c check.Checked) string {
	var b strings.Builder
	for _, f := range c.Findings {
		fmt.Fprintln(&b, f)
	}
	return b.String()
}

// base is a report as it was before its attachments were added.
func base(t testing.TB, pdf []byte) []byte {
	t.Helper()
	f, err := pdffile.Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	return pdf[:f.Revisions[0].End]
}

// swapped is a report with some of its attachments replaced, or taken out where the data
// are nil.
func swapped(t testing.TB, pdf []byte, by map[string][]byte) []byte {
	t.Helper()
	list, err := attach.Files(pdf)
	if err != nil {
		t.Fatal(err)
	}
	var kept []attach.File
	for _, f := range list {
		data, swap := by[f.Name]
		if swap {
			f.Data = data
		}
		if f.Data != nil {
			kept = append(kept, f)
		}
	}
	out, err := attach.Add(base(t, pdf), attach.About{Language: "en", Date: time.Unix(0, 0)}, kept)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func attached(t testing.TB, pdf []byte, name string) []byte {
	t.Helper()
	list, err := attach.Files(pdf)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if f.Name == name {
			return f.Data
		}
	}
	t.Fatalf("no %s", name)
	return nil
}

// appended is a report with a revision appended that sets objects.
func appended(t testing.TB, pdf []byte, change func(f *pdffile.File, u *pdffile.Update)) []byte {
	t.Helper()
	f, err := pdffile.Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Update()
	if err != nil {
		t.Fatal(err)
	}
	change(f, u)
	out, _ := u.Bytes()
	return out
}
