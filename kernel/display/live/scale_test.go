package live

import (
	"fmt"
	"math"
	"testing"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

func TestTicks(t *testing.T) {
	for _, tc := range []struct {
		low, high      float64
		n              int
		from, to, step float64
	}{
		{14, 30, 6, 14, 30, 2},
		{0, 85, 6, 0, 90, 10},
		{357.5, 811.9, 6, 300, 900, 100},
		{48.1, 98.9, 6, 40, 100, 10},
		{-18.6, 4, 6, -20, 5, 5},
		{0.8, 0.8, 6, 0.72, 0.88, 0.02}, // one value: an axis around it
		{0, 0, 6, -1, 1, 0.25},
	} {
		t.Run(fmt.Sprint(tc.low, " to ", tc.high), func(t *testing.T) {
			from, to, step := ticks(tc.low, tc.high, tc.n)
			if from != tc.from || to != tc.to || step != tc.step {
				t.Errorf("from %v to %v by %v, want from %v to %v by %v", from, to, step, tc.from, tc.to, tc.step)
			}
		})
	}
}

// Whatever the ends, an axis holds them, is not much longer than it has to be,
// and its ends are multiples of its step.
func TestTicksHoldTheirValues(t *testing.T) {
	for _, low := range []float64{-1234.5, -1, 0, 1e-6, 0.37, 14, 99999} {
		for _, span := range []float64{1e-3, 0.11, 1, 7.3, 85, 1e4} {
			for _, n := range []int{4, 6, 8} {
				from, to, step := ticks(low, low+span, n)
				slack := 1e-6 * (math.Abs(low) + span)
				if from > low+slack || to < low+span-slack || to-from > 2*span+slack {
					t.Errorf("%v to %v in %d: from %v to %v", low, low+span, n, from, to)
				}
				if count := (to - from) / step; count < 1 || count > 2.5*float64(n) || math.Abs(count-math.Round(count)) > 0.02 {
					t.Errorf("%v to %v in %d: %v steps of %v", low, low+span, n, count, step)
				}
			}
		}
	}
}

func TestLevels(t *testing.T) {
	if got := fmt.Sprint(levels(48.1, 98.9)); got != "[50 60 70 80 90]" {
		t.Errorf("levels %v", got)
	}
	if got := levels(3, 3); got != nil {
		t.Errorf("a level surface has the contour lines %v", got)
	}
}

// Labels of a category axis are at most ten or so, and from end to end where
// the number of values allows it.
func TestEvery(t *testing.T) {
	for n, want := range map[int]int{2: 1, 9: 1, 10: 3, 17: 2, 18: 2, 19: 3, 31: 5, 41: 5, 100: 12} {
		if got := every(n); got != want {
			t.Errorf("%d values: every %d, want every %d", n, got, want)
		}
	}
}

func TestCell(t *testing.T) {
	values := []float64{0, 10, 12, 20}
	for _, tc := range []struct {
		v     float64
		i     int
		share float64
	}{{0, 0, 0}, {5, 0, 0.5}, {10, 1, 0}, {11, 1, 0.5}, {18, 2, 0.75}, {20, 2, 1}} {
		if i, share := cell(values, tc.v); i != tc.i || math.Abs(share-tc.share) > 1e-12 {
			t.Errorf("%v: cell %d, share %v, want %d, %v", tc.v, i, share, tc.i, tc.share)
		}
	}
}

func TestRounded(t *testing.T) {
	for v, want := range map[float64]float64{
		0: 0, 848.259249695879: 848.259, -18.6412345: -18.6412, 0.000123456789: 0.000123457, 1e300: 1e300, 5e-324: 5e-324,
	} {
		if got := rounded(v); got != want {
			t.Errorf("rounded(%v) = %v, want %v", v, got, want)
		}
	}
	if number(math.NaN()) != nil || number(math.Inf(-1)) != nil {
		t.Error("a number that is none is not left out")
	}
}

// The names of lines keep clear of each other, of the mark and of the edge.
func TestPlacesDoNotMeet(t *testing.T) {
	s := &figure.Surface{Surface: sweep.Surface{
		X: sweep.Scale{Values: make([]float64, 17)}, Y: sweep.Scale{Values: make([]float64, 18)},
	}}
	line := func(x float64) [][]sweep.Point {
		var l []sweep.Point
		for y := range 18 {
			l = append(l, sweep.Point{X: x, Y: float64(y)})
		}
		return [][]sweep.Point{l}
	}
	var p placer
	p.keepOff(s, sweep.Point{X: 3, Y: 9})
	placed := 0
	for x := 0.5; x < 16; x += 0.5 {
		placed += len(p.place(s, line(x), "85 %"))
	}
	if placed < 15 {
		t.Errorf("only %d names found a place", placed)
	}
	for i, a := range p.boxes {
		if a.x0 < 0 || a.y0 < 0 || a.x1 > fieldWidth || a.y1 > fieldHeight {
			t.Errorf("box %v lies over the edge", a)
		}
		for _, b := range p.boxes[:i] {
			if a.meets(b) {
				t.Errorf("%v and %v meet", a, b)
			}
		}
	}
	if got := p.place(s, nil, "85 %"); got != nil {
		t.Errorf("a name without a line has the place %v", got)
	}
}
