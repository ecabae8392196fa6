package display

import (
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func TestTable(t *testing.T) {
	table := Table("Parts", "Part | Flow in L/h | Margin in % | Pressure | Count | Share | Status",
		Row("pump", quantity.Of(142.6, quantity.GallonPerHour), quantity.Ratio(0.4713), 3*quantity.BarDiff, 2, 0.5, sizing.Thin),
		Row("line", 100*quantity.LitrePerHour, quantity.Ratio(0.5), 58*quantity.PSI, 1, 12345.6, sizing.Carries))
	want := [][]string{
		{"pump", "539.8", "47.13", "300 kPa = 43.51 psi", "2", "0.5", "thin"},
		{"line", "100", "50", "399.9 kPa = 58 psi", "1", "12346", "carries"},
	}
	for i := range want {
		if !slices.Equal(table.Rows[i], want[i]) {
			t.Errorf("row %d is %q, want %q", i, table.Rows[i], want[i])
		}
	}
	for j, numeric := range []bool{false, true, true, true, true, true, true} {
		if table.Columns[j].Numeric != numeric {
			t.Errorf("column %q is numeric: %v", table.Columns[j].Name, table.Columns[j].Numeric)
		}
	}
}

// A column with text among its numbers is set as text.
func TestTableOfMixedCells(t *testing.T) {
	table := Table("", "A | B", Row("x", 1), Row("y", "none"))
	if table.Columns[1].Numeric {
		t.Error("a column with text in it is numeric")
	}
}

func TestTableMistakes(t *testing.T) {
	for want, rows := range map[string][][]any{
		"row 2 has 1 cells; want 2, as many as there are heads": {Row("a", 1), Row("b")},
		"row 1, Flow in psi: ":                      {Row("a", 100*quantity.LitrePerHour)},
		"cannot print a []int; want text, a number": {Row("a", []int{1})},
	} {
		if _, err := valueTable("", "Name | Flow in psi", rows); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}
