package report

import (
	"fmt"
	"slices"
	"testing"

	"example.com/railbook/sizing"
)

// A table with too many columns becomes several, with every cell in one of them beside the
// name of its row.
func TestNarrow(t *testing.T) {
	for _, n := range []int{1, 2, 9, 10, 14, 15, 16, 23, 40} {
		wide := sizing.Table{Caption: "wide", Rows: [][]string{nil, nil}}
		for c := range n {
			wide.Columns = append(wide.Columns, sizing.Column{Name: fmt.Sprint(c)})
			for r := range wide.Rows {
				wide.Rows[r] = append(wide.Rows[r], fmt.Sprint(r, c))
			}
		}
		var names []string
		for i, part := range narrow([]sizing.Table{wide}) {
			if len(part.Columns) > mostColumns || part.Columns[0].Name != "0" {
				t.Errorf("%d columns: part %d has %v", n, i+1, part.Columns)
			}
			if want := map[bool]string{true: "wide", false: "wide, continued"}[i == 0]; part.Caption != want {
				t.Errorf("part %d is captioned %q", i+1, part.Caption)
			}
			for r, row := range part.Rows {
				if len(row) != len(part.Columns) || row[0] != fmt.Sprint(r, 0) {
					t.Errorf("%d columns: row %d of part %d is %v", n, r+1, i+1, row)
				}
				for k, cell := range row {
					if want := fmt.Sprint(r) + " " + part.Columns[k].Name; cell != want {
						t.Errorf("cell %q under %q", cell, part.Columns[k].Name)
					}
				}
			}
			for _, c := range part.Columns[min(1, len(part.Columns)):] {
				names = append(names, c.Name)
			}
		}
		if len(names) != n-1 || len(slices.Compact(slices.Clone(names))) != len(names) {
			t.Errorf("%d columns: the parts have %v", n, names)
		}
	}
}
