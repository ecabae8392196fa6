package check_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.com/railbook/report"
	"example.com/railbook/report/check"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/results"
	"example.com/railbook/report/sign"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func TestEverythingHolds(t *testing.T) {
	maker, customer := identity(t, "Maker"), identity(t, "Customer")
	pdf := signed(t, signed(t, full(), maker), customer)
	c := check.Run(pdf, check.Options{Certificates: known(maker, customer)})
	const want = "file holds, attachments holds, version holds, sheet holds, results holds, printed holds, pages holds, additions holds, signature holds, signer holds, signature holds, signer holds"
	if got := says(c); got != want || c.Failed() != nil {
		t.Errorf("%s\nwant\n%s", got, want)
		t.Log(c)
	}
	for _, want := range []string{`byte for byte`, `signed by "Maker" on `, `“released”`, `up to the signature behind it`, `signed by "Customer" on`, `the whole file`, "signatures were appended (2), and nothing else"} {
		if !strings.Contains(fmt.Sprint(c.Findings), want) {
			t.Errorf("no finding says %q:\n%v", want, c.Findings)
		}
	}
}

// Every sheet of the tests gives a report that holds, in both systems of units.
func TestEverySheetHolds(t *testing.T) {
	var sheets []string
	for _, pattern := range []string{"../../testdata/sheets/*.toml", "../testdata/*.toml", "../../notebooks/first-build*.toml"} {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("%s: no sheets, %v", pattern, err)
		}
		sheets = append(sheets, paths...)
	}
	for _, sheet := range sheets {
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			b := open(t, sheet)
			b.Job.Units = sys
			c := check.Run(rendered(t, b, report.Options{Figures: none}), check.Options{Unsigned: true})
			if len(c.Failed()) > 0 || !strings.Contains(says(c), "pages holds") {
				t.Errorf("%s in %v: %s\n%v", sheet, sys, says(c), c.Findings)
			}
		}
	}
}

// TestEveryChangeOfAReportShows changes bytes all over a signed report, seeded: none
// passes for signed and whole, and none for a report that holds.
func TestEveryChangeOfAReportShows(t *testing.T) {
	maker := identity(t, "Maker")
	r := rand.New(rand.NewPCG(3, 2026))
	whole := func(pdf []byte) bool {
		list, err := sign.Verify(pdf)
		return err == nil && len(list) == 1 && list[0].Err == nil && list[0].Rest == 0
	}
	pdf := signed(t, full(), maker)
	if !whole(pdf) {
		t.Fatal("it is not signed to begin with")
	}
	for range 600 {
		i := r.IntN(len(pdf))
		changed := bytes.Clone(pdf)
		changed[i] ^= byte(1 + r.IntN(255))
		if whole(changed) {
			t.Errorf("byte %d changed, and it passes for signed and whole", i)
		}
	}
	pdf = signed(t, quick(), maker)
	for range 40 {
		i := r.IntN(len(pdf))
		changed := bytes.Clone(pdf)
		changed[i] ^= byte(1 + r.IntN(255))
		if c := check.Run(changed, check.Options{Certificates: known(maker)}); len(c.Failed()) == 0 {
			t.Errorf("byte %d changed, and it holds:\n%s", i, lines(c))
		}
	}
}

// A report with figures of its own, dated otherwise than its sheet, with parts lists.
func TestReportsMadeByCells(t *testing.T) {
	b := open(t, demoSheet)
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	o := report.Options{Figures: []figure.Figure{figure.OfHeadroom("own", a)}, Date: time.Date(2027, 1, 2, 0, 0, 0, 0, time.UTC)}
	c := check.Run(rendered(t, b, o), check.Options{Unsigned: true})
	if len(c.Failed()) > 0 || !strings.Contains(says(c), "pages skipped") {
		t.Errorf("%s", lines(c))
	}
	o = report.Options{Figures: none, Date: o.Date, Version: "7", Lists: []report.PartsList{{Name: "injectors.csv", Content: strings.NewReader("part\n")}}}
	c = check.Run(rendered(t, b, o), check.Options{Unsigned: true, Version: "7"})
	if len(c.Failed()) > 0 || !strings.Contains(says(c), "pages holds") || !strings.Contains(lines(c), "injectors.csv") {
		t.Errorf("%s", lines(c))
	}
}

func TestOutcomes(t *testing.T) {
	for o := check.Holds; o <= check.Fails; o++ {
		data, err := json.Marshal(check.Finding{Check: "x", Outcome: o})
		if err != nil {
			t.Fatal(err)
		}
		var back check.Finding
		if err := json.Unmarshal(data, &back); err != nil || back.Outcome != o {
			t.Errorf("%s reads as %v, %v", data, back, err)
		}
	}
	var o check.Outcome
	if err := o.UnmarshalText([]byte("maybe")); err == nil {
		t.Error("an outcome that is none reads")
	}
}

// Nothing that a report says of itself reaches a terminal as anything but text.
func TestNothingForTheTerminal(t *testing.T) {
	evil := "\x1b]0;x\x07\u202e\r\n\x00"
	pdf := quick()
	data := attached(t, pdf, report.ResultsName)
	r, err := results.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	r.Program.Version, r.Verdict, r.Report.Name = evil, evil, evil
	r.Tables[0].Caption, r.Tables[0].Rows[0].Cells[0].Text, r.Tables[0].Columns[0] = evil, evil, evil
	encoded, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	out, err := sign.Sign(swapped(t, pdf, map[string][]byte{report.ResultsName: encoded}), identity(t, "a\x1b[31mb\r\n"), sign.Options{Reason: evil})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range check.Run(out, check.Options{}).Findings {
		if regexp.MustCompile(`[\x00-\x1f\x7f-\x9f\x{202e}]`).MatchString(f.String()) {
			t.Errorf("%q", f.String())
		}
	}
}

// FuzzRun: no file breaks the check, and whatever is wrong is said in one line.
func FuzzRun(f *testing.F) {
	f.Add(quick())
	f.Add(signed(f, quick(), identity(f, "Maker")))
	f.Add([]byte("%PDF-1.3\nxref\n0 1\n0000000000 65535 f \ntrailer<</Root 1 0 R>>startxref 9 %%EOF"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c := check.Run(data, check.Options{})
		if len(c.Findings) == 0 {
			t.Error("nothing found")
		}
		for _, x := range c.Findings {
			if strings.ContainsAny(x.Text, "\n\r\x1b") || x.Text == "" {
				t.Errorf("%q", x.Text)
			}
		}
	})
}

func BenchmarkRun(b *testing.B) {
	pdf := signed(b, full(), identity(b, "Maker"))
	for b.Loop() {
		if c := check.Run(pdf, check.Options{}); len(c.Failed()) > 0 {
			b.Fatal(lines(c))
		}
	}
}
