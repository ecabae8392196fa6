package layout

import (
	"fmt"
	"math"
	"slices"
	"strings"
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

// What is added later stands where its place was kept, and knows what came after.
func TestLater(t *testing.T) {
	d := newDoc()
	d.setup.Foot = "Foot 漢"
	d.Text("first", Body)
	d.Later(func() { d.Text("lacking: "+string(d.Replaced()), Body) })
	d.Later(func() {})
	d.Text("last 字", Body)
	for range 2 {
		data, err := d.PDF()
		if err != nil {
			t.Fatal(err)
		}
		got := strings.Join(read(t, data)[0], "|")
		if !strings.HasPrefix(got, "first|lacking: □□|last □|Foot □|") {
			t.Errorf("it prints %q", got)
		}
	}
}

// Rules are as wide as their cells, and those of a row as the page.
func TestRulesSpanTheirCells(t *testing.T) {
	d := newDoc()
	d.Row(Row{Rule: Thick, Cells: []Cell{{Width: 300, Text: "a", Type: Body}, {Width: 700, Text: "b", Type: Body}}})
	d.Row(Row{Cells: []Cell{{Width: 300, Text: "c", Type: Body}, {Width: 700, Text: "d", Type: Body, Rule: Thin}}})
	data, err := d.PDF()
	if err != nil {
		t.Fatal(err)
	}
	type line struct{ from, to float64 }
	var got []line
	for text := range strings.Lines(string(pageContent(t, data))) {
		var from, to, y, y2 float64
		if n, _ := fmt.Sscanf(text, "%f %f m %f %f l S", &from, &y, &to, &y2); n == 4 && y == y2 {
			got = append(got, line{math.Round(from * point), math.Round(to * point)})
		}
	}
	// On A4: 210 mm less 20 on both sides. The last one is that of the foot.
	want := []line{{20, 71}, {71, 190}, {71, 190}, {20, 190}}
	if !slices.Equal(got, want) {
		t.Errorf("rules from and to %v mm, want %v", got, want)
	}
}
