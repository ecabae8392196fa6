package sizing_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// withJob is a whole sheet whose job is as given.
func withJob(t *testing.T, job string) []byte {
	t.Helper()
	rest, err := os.ReadFile("../testdata/sheets/natural.toml")
	if err != nil {
		t.Fatal(err)
	}
	return []byte(job + "\n" + string(rest))
}

func TestJobSheet(t *testing.T) {
	b, err := sizing.Read("", withJob(t, `
[job]
name = "one"
use = "Road"
units = "both"
paper = "letter"
[[revisions]]
mark = "A"
date = "2026-10-30"
by = "Maud Okparo"
what = "first issue"
[[revisions]]
mark = "B"
what = "larger pumps"
`))
	if err != nil {
		t.Fatal(err)
	}
	if b.Job.Use != sizing.RoadUse || b.Job.Units != quantity.SIThenUS || b.Job.Paper != sizing.LetterPaper || len(b.Revisions) != 2 || b.Revisions[1].What != "larger pumps" {
		t.Errorf("read %+v, %+v", b.Job, b.Revisions)
	}
	a := assess(t, b)
	if a.Build.Job.Revision != "B" {
		t.Errorf("revision %q, want that of the last one", a.Build.Job.Revision)
	}
	var text strings.Builder
	if err := a.Given().WriteSheet(&text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`use = "road"`, `units = "SI (US)"`, `paper = "letter"`, "[[revisions]]\nmark = \"A\"\ndate = \"2026-10-30\"\nby = \"Maud Okparo\"\nwhat = \"first issue\""} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the sheet written lacks %q:\n%s", want, text.String())
		}
	}
}

func TestPaperGoesByUnits(t *testing.T) {
	for _, c := range []struct {
		paper sizing.Paper
		units quantity.System
		want  sizing.Paper
	}{
		{sizing.PaperByUnits, quantity.SI, sizing.A4Paper},
		{sizing.PaperByUnits, quantity.US, sizing.LetterPaper},
		{sizing.PaperByUnits, quantity.SIThenUS, sizing.A4Paper},
		{sizing.PaperByUnits, quantity.USThenSI, sizing.LetterPaper},
		{sizing.A4Paper, quantity.US, sizing.A4Paper},
		{sizing.LetterPaper, quantity.SI, sizing.LetterPaper},
	} {
		if got := c.paper.OfUnits(c.units); got != c.want {
			t.Errorf("%v with %v: %v, want %v", c.paper, c.units, got, c.want)
		}
	}
}

func TestBadJobs(t *testing.T) {
	for _, c := range []struct{ name, job, field, value, says string }{
		{"units", "[job]\nunits = \"metric\"", "job.units", `"metric"`, `"both"`},
		{"paper", "[job]\npaper = \"A3\"", "job.paper", `"A3"`, `"letter"`},
		{"use", "[job]\nuse = \"sea\"", "job.use", `"sea"`, `"competition"`},
		{"a logo elsewhere", "[job]\nlogo = \"../logo.png\"", "job.logo", `"../logo.png"`, "a picture there, such as logo.png"},
		{"a logo from the root", "[job]\nlogo = \"/logo.png\"", "job.logo", `"/logo.png"`, "is not in the sheet's folder"},
		{"no mark", "[[revisions]]\nwhat = \"x\"", "revisions[1].mark", "", "mark"},
		{"an empty mark", "[[revisions]]\nmark = \" \"\nwhat = \"x\"", "revisions[1].mark", "", `"B"`},
		{"no words", "[[revisions]]\nmark = \"A\"\nwhat = \"\"", "revisions[1].what", "", "what was changed"},
		{"a mark twice", "[[revisions]]\nmark = \"A\"\nwhat = \"x\"\n[[revisions]]\nmark = \"A\"\nwhat = \"y\"", "revisions[2].mark", `"A"`, "revision 1 too"},
		{"no date", "[[revisions]]\nmark = \"A\"\nwhat = \"x\"\ndate = \"yesterday\"", "revisions[1].date", `"yesterday"`, "year-month-day"},
		{"back in time", "[[revisions]]\nmark = \"A\"\nwhat = \"x\"\ndate = \"2026-02-01\"\n[[revisions]]\nmark = \"B\"\nwhat = \"y\"\ndate = \"2026-01-31\"", "revisions[2].date", `"2026-01-31"`, "2026-02-01"},
		{"another last", "[job]\nrevision = \"C\"\n[[revisions]]\nmark = \"A\"\nwhat = \"x\"", "job.revision", `"C"`, `"A", or leave it out`},
		{"not a list", "[revisions]\nmark = \"A\"\nwhat = \"x\"", "revisions", "a table", "[[revisions]]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := sizing.Read("", withJob(t, c.job))
			var be *sizing.BuildError
			if !errors.As(err, &be) || len(be.Problems) != 1 {
				t.Fatalf("got %v, want one problem", err)
			}
			p := be.Problems[0]
			if p.Field != c.field || p.Value != c.value || !strings.Contains(p.String(), c.says) || p.Line == 0 && c.value != "" {
				t.Errorf("problem %+v, want field %q, value %s, saying %q", p, c.field, c.value, c.says)
			}
		})
	}
}
