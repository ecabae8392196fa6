package report_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// The sheet chooses units and paper, each by itself.
func TestUnitsAndPaper(t *testing.T) {
	box := regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`)
	for _, c := range []struct {
		units quantity.System
		paper sizing.Paper
		size  string // in points
		has   []string
		lacks []string
	}{
		{quantity.SI, sizing.PaperByUnits, "595.28 841.89", []string{"477.2kW", "inSIunits"}, []string{"640hp"}},
		{quantity.US, sizing.PaperByUnits, "612.0 792.0", []string{"640hp", "oftheUnitedStatestrade"}, []string{"477.2kW"}},
		{quantity.US, sizing.A4Paper, "595.28 841.89", []string{"640hp"}, []string{"477.2kW"}},
		{quantity.SI, sizing.LetterPaper, "612.0 792.0", []string{"477.2kW"}, []string{"640hp"}},
		{quantity.SIThenUS, sizing.PaperByUnits, "595.28 841.89", []string{"477.2kW(640hp)", "300kPa(43.51psi)", "withthoseoftheUnitedStatestradeinbrackets"}, nil},
		{quantity.USThenSI, sizing.PaperByUnits, "612.0 792.0", []string{"640hp(477.2kW)", "withSIinbrackets"}, nil},
	} {
		t.Run(fmt.Sprintf("%v on %v", c.units, c.paper), func(t *testing.T) {
			b := open(t, demoSheet)
			b.Job.Units, b.Job.Paper = c.units, c.paper
			pdf := rendered(t, assessed(t, b), bare)
			if m := box.FindSubmatch(pdf); m == nil || string(m[1])+" "+string(m[2]) != c.size {
				t.Errorf("the page is %s, want %s", m, c.size)
			}
			text := read(t, pdf)
			for _, s := range c.has {
				if !strings.Contains(text, s) {
					t.Errorf("%q is not in the report", s)
				}
			}
			for _, s := range c.lacks {
				if strings.Contains(text, s) {
					t.Errorf("%q is in the report", s)
				}
			}
		})
	}
}

func TestRevisions(t *testing.T) {
	b := open(t, demoSheet)
	if text := read(t, rendered(t, assessed(t, b), bare)); !strings.Contains(text, "thebuildsheetlistsnoearlierone") || !strings.Contains(text, "B20November2026MaudOkparoThisissue") {
		t.Error("a sheet without revisions has not this one alone in the table")
	}
	b.Job.Revision = ""
	b.Revisions = []sizing.Revision{{Mark: "A", Date: "2026-08-01", By: "Maud Okparo", What: "First issue"}, {Mark: "B", What: "Larger injectors"}}
	first := pageOne(t, rendered(t, assessed(t, b), bare))
	for _, s := range []string{"RevisionB", "A1August2026MaudOkparoFirstissue", "B––Largerinjectors", "Itreplaceseveryearlierone"} {
		if !strings.Contains(first, s) {
			t.Errorf("%q is not on the title page: %s", s, first)
		}
	}
}

func pageOne(t *testing.T, pdf []byte) string {
	t.Helper()
	pages, err := pdftext.Pages(pdf)
	if err != nil {
		t.Fatal(err)
	}
	return squeeze(strings.Join(pages[0], " "))
}

// The words of the glossary are used in the report, before the glossary.
func TestGlossaryExplainsWhatIsSaid(t *testing.T) {
	for _, sheet := range []string{demoSheet, aspiratedSheet, "../testdata/sheets/surge.toml", "../testdata/sheets/speed.toml"} {
		pages, err := pdftext.Placed(rendered(t, assess(t, sheet), bare))
		if err != nil {
			t.Fatal(err)
		}
		var before strings.Builder
		terms, in := 0, false
		for _, page := range pages {
			for _, p := range page {
				switch {
				case p.Text == "Glossary" && p.Size > headingSize:
					in = true
				case p.Text == "Units" && p.Size > headingSize:
					in = false
				case !in:
					before.WriteString(strings.ToLower(p.Text) + " ")
				case strings.Contains(p.Font, "Bold"):
					terms++
					word, _, _ := strings.Cut(strings.ToLower(p.Text), ",")
					word, _, _ = strings.Cut(word, " (")
					if !strings.Contains(before.String(), word) {
						t.Errorf("%s: the glossary explains %q, which the report does not say", sheet, p.Text)
					}
				}
			}
		}
		if terms < 15 {
			t.Errorf("%s: %d terms", sheet, terms)
		}
	}
}
