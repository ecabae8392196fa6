package sizing_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// TestPrinted holds everything that an assessment prints against golden files:
// regression only, no published value.
func TestPrinted(t *testing.T) {
	builds := map[string]sizing.Build{"starved": starved(t)}
	for _, name := range []string{"turbo", "natural", "surge", "driven", "speed", "lift"} {
		builds[name] = open(t, name+".toml")
	}
	for name, b := range builds {
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			b.Job.Units = sys
			a := assess(t, b)
			var out strings.Builder
			fmt.Fprintln(&out, a.Verdict(sys))
			for _, table := range []sizing.Table{a.InputTable(sys), a.DemandTable(sys), a.InjectionTable(sys), a.SupplyTable(sys), a.MarginTable(sys)} {
				fmt.Fprintf(&out, "\n%s", table.Text())
			}
			fmt.Fprintln(&out, "\nAssumptions")
			for _, as := range a.Assumptions {
				fmt.Fprintf(&out, "- %s (%s): %s\n", as.Text, as.Source, as.Effect)
			}
			fmt.Fprintln(&out, "\nWarnings")
			for _, w := range a.Warnings {
				fmt.Fprintf(&out, "- %s, grave %v: %s\n", w.Concern, w.Grave, w.Text)
			}
			fmt.Fprintln(&out, "\nWorking")
			for _, s := range a.Working(sys) {
				fmt.Fprintf(&out, "%s: %s\n  = %s\n  = %s [%s]\n", s.Title, s.Formula, s.Numbers, s.Result, s.Source)
				for _, o := range s.Origins {
					fmt.Fprintf(&out, "  %s: %s\n", s.Numbers[o.Start:o.End], origin(o))
				}
			}
			golden(t, name+"-"+sys.String()+".golden", out.String())
		}
	}
}

// origin names where a number comes from.
func origin(o sizing.Origin) string {
	if o.Step != 0 {
		return fmt.Sprintf("step %d", o.Step)
	}
	return o.Field
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update to make it", err)
	}
	if got != string(want) {
		t.Errorf("%s differs; run with -update and look at the change:\n%s", path, got)
	}
}

// TestTablesAreComplete wants as many cells in each row as there are columns, and
// no empty name.
func TestTablesAreComplete(t *testing.T) {
	for name, b := range arrangements(t) {
		a := assess(t, b)
		for _, table := range []sizing.Table{
			a.InputTable(quantity.SI), a.DemandTable(quantity.SI), a.InjectionTable(quantity.SI), a.SupplyTable(quantity.SI), a.MarginTable(quantity.SI),
		} {
			if len(table.Rows) == 0 {
				t.Errorf("%s: %s: no rows", name, table.Caption)
			}
			for _, row := range table.Rows {
				if len(row) != len(table.Columns) || row[0] == "" || row[1] == "" {
					t.Errorf("%s: %s: row %q", name, table.Caption, row)
				}
			}
			if table.Status != nil && len(table.Status) != len(table.Rows) {
				t.Errorf("%s: %s: %d statuses for %d rows", name, table.Caption, len(table.Status), len(table.Rows))
			}
		}
	}
}
