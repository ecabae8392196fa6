package display

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// The ceiling is where the solver that knows nothing of grids finds it.
func TestCeilingAgreesWithMostBoost(t *testing.T) {
	b := bench(t)
	c := Most(b, "boost = 0.5..3 bar in 11", "ethanol = 0, 50, 85 %", "base pressure = 3, 4 bar")
	for j, base := range []string{"3 bar", "4 bar"} {
		for i, content := range []string{"0 %", "50 %", "85 %"} {
			want, err := sizing.MostBoost(With(b, "base pressure = "+base+", ethanol = "+content))
			if err != nil {
				t.Fatal(err)
			}
			if got := c.At(i, j); math.Abs(got-want.In(quantity.BarDiff)) > 1e-6 {
				t.Errorf("%s, %s: %v bar, want %v", content, base, got, want.In(quantity.BarDiff))
			}
		}
	}
	first := c.made
	table := CeilingTable(c)
	if c.made != first {
		t.Error("it is computed twice")
	}
	if len(table.Rows) != 3 || len(table.Columns) != 3 || table.Columns[1].Name != "3" {
		t.Fatalf("the table has rows %q under %v", table.Rows, table.Columns)
	}
	if want := quantity.Digits(c.At(0, 0), 3) + ", "; !strings.HasPrefix(table.Rows[0][1], want) {
		t.Errorf("the first cell is %q, want %q and the part that stops it", table.Rows[0][1], want)
	}
}

func TestCeilingFigures(t *testing.T) {
	c := Most(bench(t), "boost = 0.5..3 bar in 11", "ethanol = 0, 50, 85 %", "base pressure = 3, 4 bar")
	for view, f := range map[figure.View]figure.Figure{figure.Map: CeilingMap(c), figure.Relief: CeilingSurface(c)} {
		if f.Surface == nil || f.Surface.View != view || f.ID != string(view)+"-most-boost" || f.Title != "most boost that all parts carry, over ethanol and base pressure" {
			t.Errorf("%v: %q, %q", view, f.ID, f.Title)
		}
		if _, err := bundle(f); err != nil {
			t.Error(err)
		}
	}
	if _, err := bundle(c); err != nil {
		t.Error(err)
	}
}

func TestCeilingMistakes(t *testing.T) {
	b := bench(t)
	if _, err := Most(b, "boots = 1..2 bar in 5", "ethanol = 0, 50 %", "base pressure = 3, 4 bar").table(); err == nil || !strings.Contains(err.Error(), `unknown field "boots"`) {
		t.Errorf("a field that there is not: %v", err)
	}
	if _, err := Most(b, "boost = 8..9 bar in 5", "ethanol = 50, 85 %", "base pressure = 3, 4 bar").figure(figure.Map); err == nil || !strings.Contains(err.Error(), "all parts carry no value of") {
		t.Errorf("a ceiling below its range: %v", err)
	}
	if _, err := Most(b, "boost = 0.5..3 bar in 11", "ethanol = 50 %", "base pressure = 3, 4 bar").figure(figure.Map); err == nil || !strings.Contains(err.Error(), "two values or more along both axes") {
		t.Errorf("a map of a line: %v", err)
	}
}
