package report_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/internal/typeface"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// read returns all words of a report, without white space, as lines are broken
// where the page wants it.
func read(t *testing.T, data []byte) string {
	t.Helper()
	pages, err := pdftext.Pages(data)
	if err != nil {
		t.Fatal(err)
	}
	return squeeze(pdftext.Join(pages))
}

// squeeze takes the white space and the differences of print off a text.
func squeeze(text string) string {
	text, _ = typeface.Printable(text)
	return strings.NewReplacer(" ", "", "−", "-", "’", "'").Replace(text)
}

// Every result of the assessment stands in the report, on every sheet and in both
// systems of units.
func TestReportHoldsTheAssessment(t *testing.T) {
	for _, sheet := range sheets {
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			t.Run(nameOf(sheet)+" "+sys.String(), func(t *testing.T) {
				b := open(t, sheet)
				b.Job.Units = sys
				a := assessed(t, b)
				text := read(t, rendered(t, a, bare))
				want := func(what, s string) {
					t.Helper()
					if !strings.Contains(strings.ToLower(text), strings.ToLower(squeeze(s))) {
						t.Errorf("%s %q is not in the report", what, s)
					}
				}
				want("verdict", a.Verdict(sys))
				for _, s := range a.Working(sys) {
					want("step", s.Title)
					want("formula", s.Formula)
					want("numbers", s.Numbers)
					want("result", s.Result)
					want("source", s.Source)
				}
				for _, table := range []sizing.Table{a.DemandTable(sys), a.MarginTable(sys)} {
					want("caption", table.Caption)
				}
				for _, table := range []sizing.Table{a.InputTable(sys), a.DemandTable(sys), a.MarginTable(sys)} {
					for _, row := range table.Rows {
						for _, cell := range row {
							for line := range strings.SplitSeq(cell, "; ") {
								want("cell", line)
							}
						}
					}
				}
				// These are told apart by section there, so that names differ.
				for _, table := range []sizing.Table{a.InjectionTable(sys), a.SupplyTable(sys)} {
					for _, row := range table.Rows {
						cut := strings.NewReplacer(" of full motor voltage", "", " against ", "|", " at ", "|")
						for value := range strings.SplitSeq(cut.Replace(row[1]), "|") {
							want(row[0], value)
						}
					}
				}
				for _, x := range a.Assumptions {
					want("assumption", x.Text)
					want("source", x.Source)
					want("effect", x.Effect)
					want("field", x.Field)
				}
				for _, x := range a.Warnings {
					want("warning", x.Text)
				}
				for _, h := range a.Build.Fuel.Blend.Hazards() {
					want("flash point", quantity.Format(h.FlashPoint, sys))
					for _, s := range h.Sources {
						want("source", s.Citation)
					}
				}
				job := a.Build.Job
				for _, s := range []string{"Fuel system build report", job.Name, job.Customer, job.Maker, job.Engineer, job.Reference, job.Notes, "Revision" + job.Revision} {
					want("particular", s)
				}
			})
		}
	}
}

func TestGraveWarningsComeFirst(t *testing.T) {
	a := assess(t, shortSheet)
	text := read(t, rendered(t, a, report.Options{Figures: []figure.Figure{}}))
	lastGrave, firstOther := -1, len(text)
	cover := false
	for _, x := range a.Warnings {
		at := strings.Index(text, squeeze(x.Text))
		if at < 0 {
			t.Fatalf("warning %q is not in the report", x.Text)
		}
		if x.Grave {
			lastGrave = max(lastGrave, at)
			cover = true
		} else {
			firstOther = min(firstOther, at)
		}
	}
	if !cover || firstOther == len(text) {
		t.Fatal("the sheet is meant to give warnings of both kinds")
	}
	if lastGrave > firstOther {
		t.Error("a caution stands before a grave warning")
	}
	if summary := text[strings.Index(text, "Whattowatch"):]; !strings.HasPrefix(summary, "Whattowatch–▲Railsags.") || !strings.Contains(summary[:2000], "3ofthemgrave") {
		t.Errorf("the summary does not tell of the grave warnings first: %.200s", summary)
	}
}

// The fuel decides what safety notes there are and what the maps are over.
func TestContentFollowsTheFuel(t *testing.T) {
	for _, c := range []struct {
		sheet        string
		with, absent []string
	}{
		{demoSheet, []string{"alcohol-resistantfoam", "gasolinehasnolimit", "ethanol1000ppm", "ethanolcontent"}, []string{"methanol200ppm", "hardtoseeindaylight"}},
		{aspiratedSheet, []string{"gasolinehasnolimit", "gasolineof9psiReid"}, []string{"alcohol-resistantfoam", "ethanol1000ppm", "Alcoholandmaterials", "overboost"}},
		{methanolSheet, []string{"methanol200ppm", "hardtoseeindaylight", "alcohol-resistantfoam", "overboostandlambda"}, []string{"gasolinehasnolimit", "ethanolcontent", "Reid"}},
	} {
		text := read(t, rendered(t, assess(t, c.sheet), report.Options{}))
		for _, s := range c.with {
			if !strings.Contains(text, s) {
				t.Errorf("%s: %q is not in the report", c.sheet, s)
			}
		}
		for _, s := range c.absent {
			if strings.Contains(text, s) {
				t.Errorf("%s: %q is in the report", c.sheet, s)
			}
		}
	}
}

// Readers written by others find the same words and no fault.
func TestOtherReadersAgree(t *testing.T) {
	data := rendered(t, assess(t, demoSheet), report.Options{Version: "0.0"})
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Run("pdftotext", func(t *testing.T) {
		program, err := exec.LookPath("pdftotext")
		if err != nil {
			t.Skip("pdftotext (poppler-utils) is not installed; it would check that the words can be taken out of the file")
		}
		out, err := exec.Command(program, "-raw", "-enc", "UTF-8", path, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		text := squeeze(string(out))
		for _, s := range []string{"λ", "ρ/ρ_test", "●carries", "in³", "713.7hp", "Page1of", "MaudOkparo", "95°F", "±2%"} {
			if !strings.Contains(text, s) {
				t.Errorf("%q is not in what pdftotext reads", s)
			}
		}
	})
	t.Run("qpdf", func(t *testing.T) {
		program, err := exec.LookPath("qpdf")
		if err != nil {
			t.Skip("qpdf is not installed; it would check the structure of the file")
		}
		if out, err := exec.Command(program, "--check", path).CombinedOutput(); err != nil {
			t.Errorf("%v: %s", err, out)
		}
	})
	t.Run("pdfinfo", func(t *testing.T) {
		program, err := exec.LookPath("pdfinfo")
		if err != nil {
			t.Skip("pdfinfo (poppler-utils) is not installed; it would check the properties of the file")
		}
		out, err := exec.Command(program, "-isodates", path).Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{"Straight six for the harbour hillclimb", "Maud Okparo, Ternhaven Engine Works", "Railbook 0.0", "2026-11-20T00:00:00", "E70", "612 x 792 pts (letter)"} {
			if !bytes.Contains(out, []byte(s)) {
				t.Errorf("%q is not in the properties: %s", s, out)
			}
		}
	})
}
