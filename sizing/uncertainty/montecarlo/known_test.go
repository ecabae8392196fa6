package montecarlo_test

import (
	"context"
	"math"
	"testing"

	"example.com/railbook/sizing/uncertainty/montecarlo"
	"example.com/railbook/sizing/uncertainty/spread"
)

// one returns a distribution whose numbers are good.
func one(s spread.Spread, err error) spread.Spread {
	if err != nil {
		panic(err)
	}
	return s
}

func rectangular(low, high float64) spread.Spread { return one(spread.NewUniform(low, high)) }
func normal(mean, sd float64) spread.Spread       { return one(spread.NewNormal(mean, sd)) }

// of makes a model of a function of one result.
func of(f func(x []float64) float64) montecarlo.Model {
	return func() func(x, y []float64) error {
		return func(x, y []float64) error {
			y[0] = f(x)
			return nil
		}
	}
}

// summary draws and sums up the only result of a model.
func summary(t testing.TB, in montecarlo.Inputs, model montecarlo.Model, draws int) *montecarlo.Summary {
	t.Helper()
	s := &montecarlo.Summary{}
	err := montecarlo.Stream(context.Background(), in, model, montecarlo.Plan{Draws: draws, Outputs: 1, Seed: 1}, func(b *montecarlo.Block) error {
		s.Add(b.Columns[0])
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// digits is a value as printed, with half of its last digit as tolerance.
type digits struct{ value, half float64 }

func (d digits) holds(got float64) bool { return math.Abs(got-d.value) <= d.half*1.0001 }

// TestSupplementOne computes the worked examples of JCGM 101:2008, clause 9. All values
// are from memory, those of 9.2 and 9.4 checked by independent arithmetic as each says;
// the document itself was not at hand. Intervals are the probabilistically symmetric ones
// except where a lower end of zero makes the shortest one start there; those of 9.3 are the
// shortest of a flat choice, a thousandth beside. Tolerances are half of the last printed
// digit and, for percentiles, what this many draws leave over.
func TestSupplementOne(t *testing.T) {
	const draws = 1 << 18
	root3 := math.Sqrt(3)
	sum := func(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] }
	squares := func(x []float64) float64 { return 1e6 * (x[0]*x[0] + x[1]*x[1]) } // in 1e-6
	correlated := func(r float64) *spread.Copula {
		c, err := spread.NewCopula(2, spread.Pair{I: 0, J: 1, R: r})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	loss := func(x1 float64, c *spread.Copula) montecarlo.Inputs {
		return montecarlo.Inputs{Spreads: []spread.Spread{normal(x1, 0.005), normal(0, 0.005)}, Copula: c}
	}
	r := rectangular(-root3, root3)
	for _, tt := range []struct {
		name      string
		in        montecarlo.Inputs
		model     func(x []float64) float64
		mean, sd  digits
		low, high digits
		p         [2]float64
	}{
		{"9.2.2 four normal numbers, table 2: 1.96·√4", montecarlo.Inputs{Spreads: []spread.Spread{normal(0, 1), normal(0, 1), normal(0, 1), normal(0, 1)}}, sum,
			digits{0, 0.005}, digits{2, 0.005}, digits{-3.92, 0.015}, digits{3.92, 0.015}, [2]float64{0.025, 0.975}},
		{"9.2.3 four rectangular numbers, table 3: 2√3(2-(3/5)^¼) = 3.879", montecarlo.Inputs{Spreads: []spread.Spread{r, r, r, r}}, sum,
			digits{0, 0.005}, digits{2, 0.005}, digits{-3.88, 0.015}, digits{3.88, 0.015}, [2]float64{0.025, 0.975}},
		{"9.2.4 one of them ten times as wide, table 4", montecarlo.Inputs{Spreads: []spread.Spread{r, r, r, rectangular(-10*root3, 10*root3)}}, sum,
			digits{0, 0.05}, digits{math.Sqrt(103), 0.05}, digits{-17.0, 0.05}, digits{17.0, 0.05}, [2]float64{0.025, 0.975}},
		{"9.3 calibration of a mass, table 6", montecarlo.Inputs{Spreads: []spread.Spread{
			normal(100_000, 0.050), normal(1.234, 0.020), rectangular(1.10, 1.30), rectangular(7000, 9000), rectangular(7950, 8050)}},
			func(x []float64) float64 { return (x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100_000 },
			digits{1.2341, 0.0002}, digits{0.0754, 0.0001}, digits{1.0834, 0.0015}, digits{1.3825, 0.0015}, [2]float64{0.025, 0.975}},
		{"9.4.2 comparison loss, x₁ = 0, table 7: u²·χ² of 2 degrees, 95 % below 150", loss(0, nil), squares,
			digits{50, 0.5}, digits{50, 0.5}, digits{0, 0.5}, digits{150, 0.5}, [2]float64{0, 0.95}},
		{"9.4.2 x₁ = 0.010: mean x₁²+2u², variance 4u²x₁²+4u⁴", loss(0.010, nil), squares,
			digits{150, 0.5}, digits{112, 0.5}, digits{0, 0.5}, digits{367, 2}, [2]float64{0, 0.95}},
		{"9.4.3 correlated, r = 0.9, x₁ = 0, table 8: variance 4u⁴(1+r²)", loss(0, correlated(0.9)), squares,
			digits{50, 0.5}, digits{67, 0.5}, digits{0, 0.5}, digits{185, 0.5}, [2]float64{0, 0.95}},
		{"9.4.3 r = 0.9, x₁ = 0.010", loss(0.010, correlated(0.9)), squares,
			digits{150, 0.5}, digits{121, 0.6}, digits{}, digits{}, [2]float64{}},
		{"9.4.3 r = 0.9, x₁ = 0.050", loss(0.050, correlated(0.9)), squares,
			digits{2550, 1.5}, digits{505, 1}, digits{}, digits{}, [2]float64{}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := summary(t, tt.in, of(tt.model), draws)
			if !tt.mean.holds(s.Mean()) || !tt.sd.holds(s.SD()) {
				t.Errorf("mean %.5g, deviation %.5g; want %g ± %g, %g ± %g", s.Mean(), s.SD(), tt.mean.value, tt.mean.half, tt.sd.value, tt.sd.half)
			}
			if tt.p[1] == 0 {
				return
			}
			low, high := s.Quantile(tt.p[0]), s.Quantile(tt.p[1])
			if !tt.low.holds(low) || !tt.high.holds(high) {
				t.Errorf("95 %% from %.5g to %.5g; want %g ± %g to %g ± %g", low, high, tt.low.value, tt.low.half, tt.high.value, tt.high.half)
			}
			t.Logf("mean %.5g, deviation %.5g, 95 %% from %.5g to %.5g", s.Mean(), s.SD(), low, high)
		})
	}
}

// ishigami is the function of Ishigami and Homma, 1990, with a = 7 and b = 0.1.
func ishigami(x []float64) float64 {
	return math.Sin(x[0]) + 7*math.Pow(math.Sin(x[1]), 2) + 0.1*math.Pow(x[2], 4)*math.Sin(x[0])
}

// TestIshigami holds the Sobol' indices of the Ishigami function against the published
// ones (Saltelli, Chan, Scott, Sensitivity Analysis, 2000, from memory), which the closed
// forms repeat: with D = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2, S₁ = (1+bπ⁴/5)²/2D, S₂ = a²/8D and
// ST₃ = 8b²π⁸/225D.
func TestIshigami(t *testing.T) {
	π4 := math.Pow(math.Pi, 4)
	D := 49.0/8 + 0.1*π4/5 + 0.01*π4*π4/18 + 0.5
	first := []float64{math.Pow(1+0.1*π4/5, 2) / 2 / D, 49.0 / 8 / D, 0}
	third := 8 * 0.01 * π4 * π4 / 225 / D
	total := []float64{first[0] + third, first[1], third}
	for g, published := range [][2]float64{{0.3139, 0.5576}, {0.4424, 0.4424}, {0, 0.2437}} {
		if math.Abs(first[g]-published[0]) > 5e-5 || math.Abs(total[g]-published[1]) > 5e-5 {
			t.Fatalf("x%d: closed forms %.4f and %.4f, published %v", g+1, first[g], total[g], published)
		}
	}
	x := rectangular(-math.Pi, math.Pi)
	in := montecarlo.Inputs{Spreads: []spread.Spread{x, x, x}}
	s, err := montecarlo.Sensitivities(context.Background(), in, of(ishigami), montecarlo.Plan{Draws: 1 << 17, Outputs: 1, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	for g, i := range s.Indices[0] {
		t.Logf("x%d: first %.4f ± %.4f (%.4f), total %.4f ± %.4f (%.4f)", g+1, i.First, i.FirstError, first[g], i.Total, i.TotalError, total[g])
		if math.Abs(i.First-first[g]) > 0.01 || math.Abs(i.Total-total[g]) > 0.005 {
			t.Errorf("x%d: indices %+v, want %.4f and %.4f", g+1, i, first[g], total[g])
		}
		if math.Abs(i.First-first[g]) > 4*i.FirstError || math.Abs(i.Total-total[g]) > 4*i.TotalError {
			t.Errorf("x%d: %+v is further than four standard errors from %.4f and %.4f", g+1, i, first[g], total[g])
		}
		if i.FirstError > 0.01 || i.TotalError > 0.005 {
			t.Errorf("x%d: standard errors %g and %g", g+1, i.FirstError, i.TotalError)
		}
	}
	if s.Dropped[0] != 0 || s.Draws != 1<<17 {
		t.Errorf("%d of %d draws left out", s.Dropped[0], s.Draws)
	}
}

// TestStandardErrorsAreTrue repeats the estimate with other seeds and wants the indices to
// scatter as their standard errors say.
func TestStandardErrorsAreTrue(t *testing.T) {
	x := rectangular(-math.Pi, math.Pi)
	in := montecarlo.Inputs{Spreads: []spread.Spread{x, x, x}}
	const times = 60
	var firsts, totals [3][]float64
	var firstErrors, totalErrors [3]float64
	for seed := range uint64(times) {
		s, err := montecarlo.Sensitivities(context.Background(), in, of(ishigami), montecarlo.Plan{Draws: 4096, Outputs: 1, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		for g, i := range s.Indices[0] {
			firsts[g], totals[g] = append(firsts[g], i.First), append(totals[g], i.Total)
			firstErrors[g] += i.FirstError / times
			totalErrors[g] += i.TotalError / times
		}
	}
	for g := range 3 {
		var first, total montecarlo.Summary
		first.Add(firsts[g])
		total.Add(totals[g])
		for name, ratio := range map[string]float64{"first": first.SD() / firstErrors[g], "total": total.SD() / totalErrors[g]} {
			if !(ratio > 0.7 && ratio < 1.4) { // 60 repetitions tell a deviation to 9 %
				t.Errorf("x%d, %s: scatters %.2f times as far as its standard error says", g+1, name, ratio)
			}
		}
	}
}
