package fuel

import (
	"math"
	"testing"
)

func TestFitReturnsThePolynomialOfItsPoints(t *testing.T) {
	for degree, want := range map[int]polynomial{
		2: {x0: 288.15, c: [order]float64{793.5, -0.857, -5e-4}},
		3: {x0: 288.15, c: [order]float64{793.5, -0.857, -5e-4, 2e-6}},
	} {
		var points []point
		for x := 253.15; x < 340; x += 10 {
			points = append(points, point{x, want.at(x)})
		}
		got, err := fit(want.x0, points, degree)
		if err != nil {
			t.Fatal(err)
		}
		for x := 240.0; x < 350; x++ {
			if d := math.Abs(got.at(x) - want.at(x)); d > 1e-9 {
				t.Errorf("degree %d at %g: off by %g", degree, x, d)
			}
		}
	}
}

// The residuals of a least-squares fit are orthogonal to the powers of u that it
// has: the defining property, tested without a stored answer.
func TestFitResidualsAreOrthogonal(t *testing.T) {
	points := []point{{250, 3}, {260, 1}, {275, 4}, {280, 1}, {300, 5}, {330, 9}}
	for _, degree := range []int{1, 2, 3} {
		p, err := fit(288.15, points, degree)
		if err != nil {
			t.Fatal(err)
		}
		for i := range degree + 1 {
			var sum float64
			for _, q := range points {
				sum += math.Pow((q.x-288.15)/40, float64(i)) * (q.y - p.at(q.x))
			}
			if math.Abs(sum) > 1e-10 {
				t.Errorf("degree %d: residuals times u^%d add up to %g", degree, i, sum)
			}
		}
		for i := degree + 1; i < order; i++ {
			if p.c[i] != 0 {
				t.Errorf("degree %d has a term u^%d", degree, i)
			}
		}
	}
}

func TestFitOfTwoPointsIsALine(t *testing.T) {
	p, err := fit(0, []point{{1, 2}, {3, 8}}, 2)
	if err != nil || p.c[2] != 0 || p.c[3] != 0 || math.Abs(p.at(2)-5) > 1e-12 {
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
		if p, err := fit(0, points, 2); err == nil {
			t.Errorf("%s: %v", name, p)
		}
	}
}
