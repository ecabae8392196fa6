package display

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/report/figure"
)

func TestPlot(t *testing.T) {
	square := func(x float64) float64 { return x * x }
	f := Plot("Squares, and two marks", "side in m", "area in m²", Curve("square", 1, 3, square), Dots("measured", 1, 1.1, 3, 8.8), Curve("half of it", 1, 3, func(x float64) float64 { return x * x / 2 }))
	if f.ID != "plot-squares-and-two-marks" || f.Title != "Squares, and two marks" {
		t.Errorf("it is %q, %q", f.ID, f.Title)
	}
	if got := f.Chart.X.Title() + ", " + f.Chart.Y.Title(); got != "side in m, area in m²" {
		t.Errorf("the axes are %s", got)
	}
	s := f.Chart.Series
	if s[0].Style != figure.Solid || s[1].Style != figure.Marks || s[2].Style != figure.Dashed {
		t.Errorf("the styles are %v, %v, %v", s[0].Style, s[1].Style, s[2].Style)
	}
	if n := len(s[0].Points); s[0].Points[0].X != 1 || s[0].Points[n-1].X != 3 || s[0].Points[n-1].Y != 9 {
		t.Errorf("the curve goes from %v to %v", s[0].Points[0], s[0].Points[n-1])
	}
	if want := "area in m² over side in m: square from 1 to 9, measured from 1.1 to 8.8, half of it from 0.5 to 4.5."; f.Alt != want {
		t.Errorf("it says %q, want %q", f.Alt, want)
	}
	// It is one that can be drawn.
	if _, err := bundle(f); err != nil {
		t.Error(err)
	}
}

func TestPlotMistakes(t *testing.T) {
	line := figure.Series{Name: "a", Points: Dots("a", 0, 0, 1, 1).Points, Style: figure.Solid}
	many := make([]figure.Series, maxLines+1)
	for k := range many {
		many[k] = line
	}
	for name, c := range map[string]struct {
		title  string
		series []figure.Series
		want   string
	}{
		"nothing":        {"t", nil, `plot "t" has 0 lines; want 1 to 7`},
		"too many":       {"t", many, "has 8 lines"},
		"no title":       {" ", []figure.Series{line}, "want a title"},
		"no points":      {"t", []figure.Series{{Name: "empty"}}, `"empty" has no points`},
		"not a number":   {"t", []figure.Series{Dots("x", 1, math.NaN())}, `"x" is NaN at 1; want finite numbers`},
		"infinite value": {"t", []figure.Series{Dots("x", 2, math.Inf(1))}, `"x" is +Inf at 2; want finite numbers`},
	} {
		if _, err := plot(c.title, "x", "y", c.series); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", name, err, c.want)
		}
	}
}
