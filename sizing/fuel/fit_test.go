package fuel

import (
	"math"
	"testing"
)

func TestFitReturnsTheParabolaOfItsPoints(t *testing.T) {
	want := parabola{x0: 288.15, c: [3]float64{793.5, -0.857, -5e-4}}
	var points []point
	for x := 253.15; x < 340; x += 10 {
		points = append(points, point{x, want.at(x)})
	}
	got, err := fit(want.x0, points)
	if err != nil {
		t.Fatal(err)
	}
	for x := 240.0; x < 350; x++ {
		if d := math.Abs(got.at(x) - want.at(x)); d > 1e-9 {
			t.Errorf("at %g: off by %g", x, d)
		}
	}
}

// The residuals of a least-squares fit are orthogonal to 1, u and u²: the
// defining property, tested without a stored answer.
func TestFitResidualsAreOrthogonal(t *testing.T) {
	points := []point{{250, 3}, {260, 1}, {275, 4}, {280, 1}, {300, 5}, {330, 9}}
	p, err := fit(288.15, points)
	if err != nil {
		t.Fatal(err)
	}
	var sums [3]float64
	for _, q := range points {
		u := (q.x - 288.15) / 40
		r := q.y - p.at(q.x)
		for i, basis := range []float64{1, u, u * u} {
			sums[i] += r * basis
		}
	}
	for i, s := range sums {
		if math.Abs(s) > 1e-10 {
			t.Errorf("residuals times u^%d add up to %g", i, s)
		}
	}
}

func TestFitOfTwoPointsIsALine(t *testing.T) {
	p, err := fit(0, []point{{1, 2}, {3, 8}})
	if err != nil || p.c[2] != 0 || math.Abs(p.at(2)-5) > 1e-12 {
		t.Errorf("%v %v", p, err)
	}
}

func TestFitRefuses(t *testing.T) {
	for name, points := range map[string][]point{
		"nothing":            nil,
		"one point":          {{1, 2}},
		"same abscissa":      {{1, 2}, {1, 3}, {1, 4}},
		"only at x0":         {{0, 2}, {0, 3}},
		"two abscissas of 3": {{1, 2}, {1, 3}, {2, 4}},
	} {
		if p, err := fit(0, points); err == nil {
			t.Errorf("%s: %v", name, p)
		}
	}
}
