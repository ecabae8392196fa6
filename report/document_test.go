package report_test

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/results"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func made(t testing.TB, a *sizing.Assessment, o report.Options) *report.Document {
	t.Helper()
	d, err := report.Make(a, o)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A report carries the sheet that it can be made again from, to the same bytes.
func TestReportCarriesItself(t *testing.T) {
	for _, sheet := range sheets {
		t.Run(nameOf(sheet), func(t *testing.T) {
			date := time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)
			d := made(t, assess(t, sheet), report.Options{Date: date})
			list, err := attach.Files(d.PDF)
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, f := range list {
				names = append(names, f.Name)
			}
			if got := strings.Join(names, " "); got != "build-sheet.toml results.json results.schema.json" {
				t.Fatalf("it carries %s", got)
			}
			if encoded, err := d.Results.Encode(); err != nil || !bytes.Equal(list[1].Data, encoded) || !bytes.Equal(list[0].Data, d.Sheet) || !bytes.Equal(list[2].Data, results.Schema) {
				t.Errorf("it does not carry its results, its sheet and the schema: %v", err)
			}
			b, err := sizing.Read("carried", list[0].Data)
			if err != nil {
				t.Fatal(err)
			}
			if again := made(t, assessed(t, b), report.Options{Date: date}); !bytes.Equal(again.PDF, d.PDF) {
				t.Error("made again from the sheet that it carries, it comes out otherwise")
			}
		})
	}
}

// What a sheet has in another order than its fields comes back in one order.
func TestDoubtsInAnyOrder(t *testing.T) {
	b := open(t, demoSheet)
	for _, d := range [][2]string{{"fuel.temperature", "30..40 degC"}, {"engine.displacement", "3.4 L +- 1 %"}, {"fuel.blend", "E60..E80"}} {
		var err error
		if b, err = b.WithDoubt(d[0], d[1]); err != nil {
			t.Fatal(err)
		}
	}
	d := made(t, assessed(t, b), bare)
	again, err := sizing.Read("carried", d.Sheet)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(made(t, assessed(t, again), bare).PDF, d.PDF) {
		t.Error("made again from the sheet that it carries, it comes out otherwise")
	}
}

// The results hold every number of the tables and the working, as printed.
func TestResultsAreWhatIsPrinted(t *testing.T) {
	for _, sheet := range sheets {
		a := assess(t, sheet)
		d := made(t, a, bare)
		r, text := d.Results, strings.ToLower(read(t, d.PDF))
		if len(r.Working) != len(a.Working(a.Build.Job.Units)) || r.Program.Version != report.Version || r.Report.Figures != results.None {
			t.Errorf("%s: %d steps of %d, version %q, figures %q", sheet, len(r.Working), len(a.Working(a.Build.Job.Units)), r.Program.Version, r.Report.Figures)
		}
		numbers, captions := 0, map[string]bool{}
		for i, table := range r.Tables {
			captions[table.Caption] = true
			if table.Number != i+1 || table.Section == "" && i > 0 || table.Title == "" || len(table.Rows) == 0 {
				t.Errorf("%s: table %d is %+v", sheet, i+1, table)
			}
			for _, row := range table.Rows {
				if len(row.Cells) != len(table.Columns) {
					t.Errorf("%s: table %d, row %d has %d cells of %d", sheet, table.Number, row.Number, len(row.Cells), len(table.Columns))
				}
				for _, c := range row.Cells {
					numbers += len(c.Numbers)
					for line := range strings.SplitSeq(c.Text, "\n") {
						if !strings.Contains(text, strings.ToLower(squeeze(line))) {
							t.Errorf("%s: %q of table %d is not printed", sheet, line, table.Number)
						}
					}
				}
			}
		}
		sys := a.Build.Job.Units
		power := quantity.Format(a.Power, sys)
		for _, caption := range []string{
			a.MarginTable(sys).Caption, a.DemandTable(sys).Caption, "Every input", "Injectors at " + power, "Pumps at " + power, "Margins to boiling",
			"Rail pressure and return", "What was assumed", "What follows at the ends of the ranges", "Commissioning checklist", "Safety notes for this fuel and system", "Units and the factors between them",
		} {
			if !captions[strings.ReplaceAll(caption, "-", "−")] && !captions[caption] {
				t.Errorf("%s: the table %q is not among the results", sheet, caption)
			}
		}
		if numbers < 100 {
			t.Errorf("%s: only %d numbers", sheet, numbers)
		}
	}
}

// Reports are valid by pdfcpu, on every sheet.
func TestValid(t *testing.T) {
	api.DisableConfigDir()
	for _, sheet := range sheets {
		if err := api.Validate(bytes.NewReader(rendered(t, assess(t, sheet), report.Options{})), model.NewDefaultConfiguration()); err != nil {
			t.Errorf("%s: %v", sheet, err)
		}
	}
}

func TestPartsLists(t *testing.T) {
	a := assess(t, demoSheet)
	lists := func(names ...string) report.Options {
		o := bare
		for _, n := range names {
			o.Lists = append(o.Lists, report.PartsList{Name: n, Content: strings.NewReader("part,flow\n" + n)})
		}
		return o
	}
	list, err := attach.Files(made(t, a, lists("pumps.csv", "injectors.csv")).PDF)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range list {
		if f.Relation == attach.Supplement {
			got = append(got, f.Name, string(f.Data))
		}
	}
	if strings.Join(got, "|") != "injectors.csv|part,flow\ninjectors.csv|pumps.csv|part,flow\npumps.csv" {
		t.Errorf("it carries %q", got)
	}
	for _, c := range []struct {
		name string
		o    report.Options
		is   error
	}{
		{"a folder", lists("../x.csv"), attach.ErrFile},
		{"two of a name", lists("a.csv", "a.csv"), attach.ErrFile},
		{"the name of the sheet", lists(report.SheetName), attach.ErrFile},
		{"one that cannot be read", report.Options{Figures: bare.Figures, Lists: []report.PartsList{{Name: "a", Content: iotest.ErrReader(io.ErrNoProgress)}}}, io.ErrNoProgress},
		{"one without end", report.Options{Figures: bare.Figures, Lists: []report.PartsList{{Name: "a", Content: endless{}}}}, attach.ErrFile},
	} {
		if d, err := report.Make(a, c.o); !errors.Is(err, c.is) || d != nil {
			t.Errorf("%s: error %v, want %v", c.name, err, c.is)
		}
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }
