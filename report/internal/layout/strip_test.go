package layout

import (
	"math"
	"testing"
)

func TestHeightsAgreeWithText(t *testing.T) {
	d := newDoc()
	one := d.set(Row{Cells: []Cell{{Width: grid, Text: "a", Type: Body, Pad: tight}}})
	two := d.set(Row{Cells: []Cell{{Width: grid, Text: "a\nb", Note: "c", Type: Body, Pad: tight}}})
	want := one[0].height + Body.lead() + Small.lead()
	if got := two[0].height; math.Abs(got-want) > 1e-9 {
		t.Errorf("a line and a note more make %v mm, want %v", got, want)
	}
}
