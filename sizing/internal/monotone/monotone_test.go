package monotone

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/interp"
)

// some makes random points, of which some steps are level.
func some(random *rand.Rand, sign float64) (x, y []float64) {
	at, value := 1e3*random.Float64(), 10*random.Float64()
	for range 2 + random.IntN(9) {
		x, y = append(x, at), append(y, value)
		at += 1e-3 + 200*random.Float64()*random.Float64()
		if random.IntN(4) > 0 {
			value += sign * 5 * random.Float64()
		}
	}
	return x, y
}

// TestAgainstGonum compares with the interpolation of gonum, a general-purpose library.
func TestAgainstGonum(t *testing.T) {
	random := rand.New(rand.NewPCG(61, 62))
	for n := range 500 {
		x, y := some(random, float64(1-2*(n%2)))
		c, err := Through(x, y)
		if err != nil {
			t.Fatal(err)
		}
		var fit interp.FritschButland
		if err := fit.Fit(x, y); err != nil {
			t.Fatal(err)
		}
		first, last := x[0], x[len(x)-1]
		size := math.Abs(y[0]) + math.Abs(y[len(y)-1])
		for range 200 {
			at := first - 20 + (last-first+40)*random.Float64()
			if got, want := c.At(at), fit.Predict(at); math.Abs(got-want) > 1e-13*size {
				t.Fatalf("%v, %v: at %g %.17g, gonum %.17g", x, y, at, got, want)
			}
		}
		for i := range x {
			if got := c.At(x[i]); got != y[i] {
				t.Fatalf("%v, %v: %.17g at the point %g", x, y, got, x[i])
			}
		}
		if got, want := c.EndSlope(), fit.PredictDerivative(last); got != want {
			t.Fatalf("slope at the end %g, gonum %g", got, want)
		}
	}
}

// TestMonotone: it keeps its direction, does not jump, and stays between its ends, to the
// last place around the points.
func TestMonotone(t *testing.T) {
	random := rand.New(rand.NewPCG(63, 64))
	for n := range 300 {
		sign := float64(1 - 2*(n%2))
		x, y := some(random, sign)
		c, err := Through(x, y)
		if err != nil {
			t.Fatal(err)
		}
		steepest := 0.0
		for i := 1; i < len(x); i++ {
			steepest = max(steepest, math.Abs((y[i]-y[i-1])/(x[i]-x[i-1])))
			below, above := c.At(math.Nextafter(x[i], 0)), c.At(math.Nextafter(x[i], math.Inf(1)))
			if sign*(y[i]-below) < 0 || i+1 < len(x) && sign*(above-y[i]) < 0 {
				t.Fatalf("%v, %v: %.17g, %.17g, %.17g around %g", x, y, below, y[i], above, x[i])
			}
		}
		first, last := x[0]-10, x[len(x)-1]+10
		before := c.At(first)
		for i := range 2000 {
			at := first + (last-first)*float64(i)/2000
			now := c.At(at)
			// No cubic with Fritsch and Butland's slopes is steeper than three times its chord.
			if sign*(now-before) < -1e-14*math.Abs(now) || math.Abs(now-before) > 3.01*steepest*(last-first)/2000+1e-12 {
				t.Fatalf("%v, %v: from %.17g to %.17g at %g", x, y, before, now, at)
			}
			before = now
		}
	}
}

func TestEdges(t *testing.T) {
	var none Curve
	if got := none.At(1); got != 0 || !none.IsZero() || none.EndSlope() != 0 {
		t.Errorf("no curve has %g", got)
	}
	c, err := Through([]float64{1, 2, 4}, []float64{5, 5, 3})
	if err != nil || c.IsZero() {
		t.Fatal(err)
	}
	for x, want := range map[float64]float64{math.Inf(-1): 5, 0: 5, 1: 5, 1.5: 5, 2: 5, 4: 3, 9: 3} {
		if got := c.At(x); got != want {
			t.Errorf("at %g: %g, want %g", x, got, want)
		}
	}
	if got := c.At(math.NaN()); !math.IsNaN(got) {
		t.Errorf("at no number: %g", got)
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, bad := range [][2][]float64{
		{nil, nil}, {{1}, {1}}, {{1, 2}, {1}}, {{1, 2, 3}, {1, 2}}, {{1, 1}, {1, 2}}, {{2, 1}, {1, 2}}, {{1, nan}, {1, 2}}, {{1, 2}, {1, nan}},
		{{1, 2, 3}, {1, 3, 2}}, {{1, 2, 3}, {3, 1, 2}}, {{1, 2, 3}, {1, 2, 1}}, {{1, inf}, {1, 2}}, {{1, 2}, {1, inf}},
	} {
		if c, err := Through(bad[0], bad[1]); !errors.Is(err, ErrPoints) || !c.IsZero() {
			t.Errorf("%v: %v, %v", bad, c, err)
		}
	}
}

func BenchmarkAt(b *testing.B) {
	c, err := Through([]float64{200, 300, 400, 500, 600}, []float64{360, 340, 300, 245, 170})
	if err != nil {
		b.Fatal(err)
	}
	var x [256]float64
	random := rand.New(rand.NewPCG(65, 66))
	for i := range x {
		x[i] = 150 + 500*random.Float64()
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		c.At(x[i%256])
	}
}
