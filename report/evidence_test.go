package report_test

import (
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/sizing"
)

// TestEvidence prints what logs say and carries it, and the same comes out of what is
// carried.
func TestEvidence(t *testing.T) {
	e := &report.Evidence{
		Words:  []string{"The rail held in all three pulls."},
		Tables: []sizing.Table{{Caption: "Pulls", Columns: []sizing.Column{{Name: "Pull"}, {Name: "BSFC", Numeric: true}}, Rows: [][]string{{"first", "0.911"}, {"second", "0.896"}}}},
	}
	data := rendered(t, assess(t, demoSheet), report.Options{Evidence: e})
	pages, err := pdftext.Pages(data)
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, page := range pages {
		all += strings.Join(page, " ") + " "
	}
	for _, want := range []string{"Evidence from logs", "The rail held in all three pulls.", "0.896"} {
		if !strings.Contains(strings.Join(strings.Fields(all), ""), strings.Join(strings.Fields(want), "")) {
			t.Errorf("the report lacks %q", want)
		}
	}
	files, err := attach.Files(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Name != report.EvidenceName {
			continue
		}
		back, err := report.DecodeEvidence(f.Data)
		if err != nil {
			t.Fatal(err)
		}
		if again := rendered(t, assess(t, demoSheet), report.Options{Evidence: back}); string(again) != string(data) {
			t.Error("made again from what it carries, the report is another")
		}
		return
	}
	t.Error("the report does not carry its evidence")
}

func TestEvidenceErrors(t *testing.T) {
	for text, says := range map[string]string{
		`{`: "unexpected end", `{"tables": [{"Caption": "x", "Columns": [{"Name": "a"}], "Rows": [["1", "2"]]}]}`: "2 cells and 1 columns",
		`{"tables": [{"Columns": [], "Rows": [[]]}]}`: "no columns",
	} {
		if _, err := report.DecodeEvidence([]byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want an error saying %q", text, err, says)
		}
	}
}

// TestDoubts draws from a sheet's doubts, the same every time.
func TestDoubts(t *testing.T) {
	a := assess(t, "../testdata/sheets/doubt.toml")
	first, second := rendered(t, a, report.Options{}), rendered(t, a, report.Options{})
	if string(first) != string(second) {
		t.Error("two reports of one sheet differ")
	}
	pages, err := pdftext.Pages(first)
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, page := range pages {
		all += strings.Join(page, "")
	}
	if want := "Whatisnotknownexactly"; !strings.Contains(strings.Join(strings.Fields(all), ""), want) {
		t.Errorf("the report lacks %q", want)
	}
}
