package report_test

import (
	"bytes"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/sizing"
)

// TestChoice prints how the parts were chosen and carries it, and the same comes out of
// what is carried.
func TestChoice(t *testing.T) {
	c := &report.Choice{
		Words:  []string{"Set 1 was chosen: the cheapest that keeps the margins."},
		Tables: []sizing.Table{sampleTable("The best of 3 sets that carry, of 40"), sampleTable("Why the others do not")},
	}
	o := bare
	o.Choice = c
	data := rendered(t, assess(t, demoSheet), o)
	text := read(t, data)
	for _, want := range []string{"Choice of parts", "Set 1 was chosen", "Why the others do not"} {
		if !strings.Contains(text, squeeze(want)) {
			t.Errorf("the report lacks %q", want)
		}
	}
	if without := read(t, rendered(t, assess(t, demoSheet), bare)); strings.Contains(without, "Choiceofparts") {
		t.Error("a report without a choice has a section on it")
	}
	files, err := attach.Files(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Name != report.ChoiceName {
			continue
		}
		back, err := report.DecodeChoice(f.Data)
		if err != nil {
			t.Fatal(err)
		}
		o.Choice = back
		if !bytes.Equal(rendered(t, assess(t, demoSheet), o), data) {
			t.Error("made again from what it carries, the report is another")
		}
		return
	}
	t.Error("the report does not carry its choice")
}

func TestChoiceErrors(t *testing.T) {
	for text, says := range map[string]string{
		`[]`: "cannot unmarshal", `{"tables": [{"Caption": "x", "Columns": [], "Rows": []}]}`: "no columns",
		`{"tables": [{"Caption": "x", "Columns": [{"Name": "a"}], "Rows": [["1"], []]}]}`: "row 2 has 0 cells and 1 columns",
	} {
		if _, err := report.DecodeChoice([]byte(text)); err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), report.ChoiceName) {
			t.Errorf("%s: %v, want an error saying %q", text, err, says)
		}
	}
	o := bare
	o.Choice = &report.Choice{Tables: []sizing.Table{{Caption: "x"}}}
	if d, err := report.Make(assess(t, demoSheet), o); err == nil || d != nil {
		t.Errorf("a table without columns: error %v", err)
	}
}
