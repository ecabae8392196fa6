package evidence

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/railbook/sizing/quantity"
)

const kelvin = quantity.KelvinDiff

// remembering makes n values with the standard deviation 1 that keep the share memory of
// the one before: an autoregressive process of first order.
func remembering(random *rand.Rand, n int, memory float64) []float64 {
	list := make([]float64, n)
	v := random.NormFloat64()
	for i := range list {
		list[i] = v
		v = memory*v + math.Sqrt(1-memory*memory)*random.NormFloat64()
	}
	return list
}

// TestAutocorrelation finds the autocorrelation time of a process of first order, which
// is (1 + φ)/(1 - φ): independent arithmetic, the sum of φ^k.
func TestAutocorrelation(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, memory := range []float64{0, 0.5, 0.8, 0.95} {
		want := (1 + memory) / (1 - memory)
		mean := 0.0
		const runs = 20
		for range runs {
			tau, _ := autocorrelation(remembering(random, 5000, memory))
			mean += tau / runs
		}
		// The sum stops where noise makes it negative, which errs upwards.
		if mean < 0.97*want || mean > 1.25*want {
			t.Errorf("memory %v: τ %v, want %v or little more", memory, mean, want)
		}
	}
	if got, _ := autocorrelation([]float64{1, -1, 1, -1, 1, -1}); got != 1 {
		t.Errorf("alternating values count for more than they are: τ %v", got)
	}
	if got, _ := autocorrelation(make([]float64, 5)); got != 1 {
		t.Errorf("values without scatter: τ %v", got)
	}
}

// TestScatterCovers finds the standard uncertainty of a mean: over many series with a
// trend and a memory, the mean's error over its uncertainty has a deviation near 1, where
// leaving the memory out of account would give 3.
func TestScatterCovers(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	const n, runs, memory = 300, 400, 0.8
	x := make([]float64, n)
	for i := range x {
		x[i] = 300 + 460*float64(i)/n
	}
	square, plain := 0.0, 0.0
	for range runs {
		noise := remembering(random, n, memory)
		mean, trend := 0.0, 0.0
		y := make([]float64, n)
		for i, v := range noise {
			s := (x[i] - 530) / 230
			tr := 5*s + 3*s*s
			y[i] = tr + v
			mean += y[i] / n
			trend += tr / n
		}
		for i := range y {
			y[i] -= mean
		}
		sc := scatterOf(x, y, 1)
		u, df := sc.mean(n)
		if df < 5 || df > n {
			t.Fatalf("%v degrees of freedom", df)
		}
		e := (mean - trend) / u
		square += e * e / runs
		p := (mean - trend) * math.Sqrt(n)
		plain += p * p / runs
	}
	near(t, "error over uncertainty", math.Sqrt(square), 1, 0.2)
	if plain < 6 {
		t.Errorf("without the memory the error is only %v uncertainties: the test tests nothing", math.Sqrt(plain))
	}
}

// TestDetrend takes out what is a polynomial and leaves what is orthogonal to it.
func TestDetrend(t *testing.T) {
	const n = 50
	x, y := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = 5000 + 40*float64(i) // far from zero
		y[i] = 3 - 0.002*x[i] + 1e-6*x[i]*x[i]
	}
	for degree, want := range []bool{false, false, true} {
		most := 0.0
		r := detrend(x, y, degree)
		for _, v := range r {
			most = max(most, math.Abs(v))
		}
		if (most < 1e-9) != want {
			t.Errorf("degree %d leaves %v of a parabola", degree, most)
		}
		for k := range degree + 1 { // normal equations
			sum, scale := 0.0, 0.0
			for i, v := range r {
				p := math.Pow((x[i]-6000)/1000, float64(k))
				sum += v * p
				scale += math.Abs(v * p)
			}
			if math.Abs(sum) > 1e-9*scale+1e-9 {
				t.Errorf("degree %d: the residuals are not orthogonal to x^%d: %v", degree, k, sum)
			}
		}
	}
	// x with one or two values has no parabola, and nothing breaks.
	for _, x := range [][]float64{{7, 7, 7, 7}, {7, 7, 8, 8}} {
		for _, v := range detrend(x, []float64{1, 2, 3, 4}, 2) {
			if math.IsNaN(v) || math.Abs(v) > 2 {
				t.Errorf("detrend over %v gives %v", x, v)
			}
		}
	}
}

// TestSeriesThins keeps mean and scatter of the mean as neighbours are averaged.
func TestSeriesThins(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	n := 5 * mostPoints
	noise := remembering(random, n, 0.9)
	var s series
	for i, v := range noise {
		s.add(point{300 + float64(i)/100, 60 + v, 400})
	}
	if len(s.points) >= mostPoints || s.stride < 4 {
		t.Fatalf("%d points of %d samples each", len(s.points), s.stride)
	}
	x, y := make([]float64, len(s.points)), make([]float64, len(s.points))
	for i, p := range s.points {
		x[i], y[i] = p.speed, p.fuel-60
	}
	thin, _ := scatterOf(x, y, s.stride).mean(float64(n))
	whole := make([]float64, n)
	for i := range whole {
		whole[i] = float64(i)
	}
	full, _ := scatterOf(whole, noise, 1).mean(float64(n))
	near(t, "uncertainty of the mean", thin, full, 0.25*full)
	near(t, "the same by theory", thin, math.Sqrt((1+0.9)/(1-0.9)/float64(n)), 0.25*full)
}

func TestSlope(t *testing.T) {
	s := slope{span: 0.3}
	random := rand.New(rand.NewPCG(7, 8))
	for i := range 100_000 { // at 1 kHz, thinned
		at := 1e6 + float64(i)/1000
		s.push(at, 200+20*(at-1e6)+0.1*random.NormFloat64())
		if i == 100 && s.rate() != 0 {
			t.Errorf("the past of a tenth of a second tells a rate of %v", s.rate())
		}
		if i > 1000 && i%1000 == 0 {
			now := 200 + 20*(at-0.15-1e6) // in the middle of the span
			near(t, "rate", s.rate(), 20/now, 0.004)
		}
	}
	if s.n > slopePoints {
		t.Errorf("%d points", s.n)
	}
	s.reset()
	for i := range 3 {
		s.push(float64(i)/10, 5)
	}
	near(t, "rate of a constant", s.rate(), 0, 1e-12)
	// Sparse rows: two within the span are too few to tell.
	s.reset()
	for i := range 10 {
		s.push(float64(i), float64(i))
	}
	near(t, "rate of rows a second apart", s.rate(), 0, 0)
}
