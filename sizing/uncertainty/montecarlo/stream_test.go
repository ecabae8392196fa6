package montecarlo_test

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"testing"

	"example.com/railbook/sizing/uncertainty/montecarlo"
	"example.com/railbook/sizing/uncertainty/spread"
)

var errSenseless = errors.New("makes no sense")

// mixed has two results, of which the second is none now and then, and draws that make no
// sense.
func mixed() func(x, y []float64) error {
	return func(x, y []float64) error {
		y[0], y[1] = x[0]+x[1], x[0]*x[1]
		if x[1] > 2 {
			y[1] = math.NaN()
		}
		if x[0] < -2 {
			return errSenseless
		}
		return nil
	}
}

var two = montecarlo.Inputs{Spreads: []spread.Spread{normal(0, 1), normal(1, 1)}}

// all returns everything that is drawn.
func all(t *testing.T, p montecarlo.Plan) (columns [2][]float64, senseless int) {
	t.Helper()
	p.Outputs = 2
	next := 0
	err := montecarlo.Stream(context.Background(), two, mixed, p, func(b *montecarlo.Block) error {
		if b.First != next {
			t.Errorf("block starts at %d, want %d", b.First, next)
		}
		next += b.Len()
		for c := range b.Columns {
			columns[c] = append(columns[c], b.Columns[c]...)
		}
		for i, err := range b.Errs {
			if err != nil {
				senseless++
			}
			if (err != nil) != math.IsNaN(b.Columns[0][i]) {
				t.Errorf("draw %d: %v, result %v", b.First+i, err, b.Columns[0][i])
			}
		}
		return nil
	})
	if err != nil || next != p.Draws {
		t.Fatalf("%d draws of %d, %v", next, p.Draws, err)
	}
	return columns, senseless
}

// TestDrawsFollowTheSeed wants the same draws from the same seed on any number of
// processors, others from another, and longer runs to begin as shorter ones of whole
// blocks do.
func TestDrawsFollowTheSeed(t *testing.T) {
	bits := func(columns [2][]float64) (out [2][]uint64) {
		for c, column := range columns {
			for _, v := range column {
				out[c] = append(out[c], math.Float64bits(v))
			}
		}
		return out
	}
	for _, sampling := range []montecarlo.Sampling{montecarlo.Halton, montecarlo.LatinHypercube} {
		p := montecarlo.Plan{Draws: 20_001, Seed: 7, Sampling: sampling}
		want, senseless := all(t, p)
		if share := float64(senseless) / 20_001; math.Abs(share-0.02275) > 0.003 { // normal distribution below -2
			t.Errorf("%v: %g of the draws make no sense, want 2.275 %%", sampling, share)
		}
		for _, processors := range []int{1, 3, 16} {
			old := runtime.GOMAXPROCS(processors)
			got, _ := all(t, p)
			runtime.GOMAXPROCS(old)
			if !reflect.DeepEqual(bits(got), bits(want)) {
				t.Errorf("%v: other draws on %d processors", sampling, processors)
			}
		}
		p.Seed++
		if other, _ := all(t, p); reflect.DeepEqual(bits(other), bits(want)) {
			t.Errorf("%v: the same draws from another seed", sampling)
		}
		p.Seed--
		p.Draws = 3 * 4096
		short, _ := all(t, p)
		if !reflect.DeepEqual(bits(short)[0], bits(want)[0][:p.Draws]) {
			t.Errorf("%v: a longer run begins otherwise", sampling)
		}
	}
}

func TestSensitivitiesFollowTheSeed(t *testing.T) {
	p := montecarlo.Plan{Draws: 500, Outputs: 2, Seed: 7}
	run := func() *montecarlo.Sensitivity {
		s, err := montecarlo.Sensitivities(context.Background(), two, mixed, p)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	want := run()
	old := runtime.GOMAXPROCS(5)
	got := run()
	runtime.GOMAXPROCS(old)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v on 5 processors, else %+v", got, want)
	}
	if want.Dropped[0] == 0 || want.Dropped[1] <= want.Dropped[0] || want.Draws < 500 || want.Dropped[1] > want.Draws/2 {
		t.Errorf("%v of %d draws left out", want.Dropped, want.Draws)
	}
}

// TestSamplingsAgree holds two ways of drawing against each other.
func TestSamplingsAgree(t *testing.T) {
	var s [2]montecarlo.Summary
	for k, sampling := range []montecarlo.Sampling{montecarlo.Halton, montecarlo.LatinHypercube} {
		columns, _ := all(t, montecarlo.Plan{Draws: 100_000, Seed: 1, Sampling: sampling})
		s[k].Add(columns[0])
	}
	for _, p := range []float64{0.01, 0.05, 0.5, 0.95, 0.99} {
		if a, b := s[0].Quantile(p), s[1].Quantile(p); math.Abs(a-b) > 0.05 {
			t.Errorf("quantile %g: %g and %g", p, a, b)
		}
	}
	if math.Abs(s[0].Mean()-s[1].Mean()) > 0.005 || math.Abs(s[0].SD()/s[1].SD()-1) > 0.01 {
		t.Errorf("means %g and %g, deviations %g and %g", s[0].Mean(), s[1].Mean(), s[0].SD(), s[1].SD())
	}
}

// TestHaltonSavesDraws estimates a chance over and over and wants its variance to be half
// of that of independent draws, or less.
func TestHaltonSavesDraws(t *testing.T) {
	var in montecarlo.Inputs
	weights := []float64{1, 0.8, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1}
	for range weights {
		in.Spreads = append(in.Spreads, normal(0, 1))
	}
	sum := of(func(x []float64) float64 {
		y := 0.0
		for k, w := range weights {
			y += w * x[k]
		}
		if y > 2.7 {
			return 1
		}
		return 0
	})
	const times, draws = 60, 1 << 13
	var estimates montecarlo.Summary
	for seed := range uint64(times) {
		above := 0.0
		err := montecarlo.Stream(context.Background(), in, sum, montecarlo.Plan{Draws: draws, Outputs: 1, Seed: seed}, func(b *montecarlo.Block) error {
			for _, v := range b.Columns[0] {
				above += v
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		estimates.Add([]float64{above / draws})
	}
	p := estimates.Mean()
	independent := p * (1 - p) / draws
	if ratio := independent / (estimates.SD() * estimates.SD()); ratio < 2 {
		t.Errorf("worth %.1f independent draws each, want 2", ratio)
	} else {
		t.Logf("worth %.1f independent draws each", ratio)
	}
}

func TestNoInputs(t *testing.T) {
	model := of(func(x []float64) float64 { return float64(len(x)) + 3.25 })
	s := summary(t, montecarlo.Inputs{}, model, 5000)
	if s.Mean() != 3.25 || s.SD() != 0 || s.Quantile(0.3) != 3.25 || s.Count() != 5000 {
		t.Errorf("mean %v, deviation %v, quantile %v of %d", s.Mean(), s.SD(), s.Quantile(0.3), s.Count())
	}
	sens, err := montecarlo.Sensitivities(context.Background(), montecarlo.Inputs{}, model, montecarlo.Plan{Draws: 10, Outputs: 1})
	if err != nil || len(sens.Groups) != 0 || len(sens.Indices[0]) != 0 {
		t.Errorf("sensitivities %+v, %v", sens, err)
	}
}

// TestGroups wants numbers that go together to share one index, the sum of what a linear
// model makes of them: with y = x₁+x₂+x₃ of deviation 1 and r₁₂ = 0.5 the variance is
// 2(1+0.5)+1 = 4, of which 3 and 1 (independent arithmetic).
func TestGroups(t *testing.T) {
	c, err := spread.NewCopula(3, spread.Pair{I: 0, J: 1, R: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	in := montecarlo.Inputs{Spreads: []spread.Spread{normal(0, 1), normal(0, 1), normal(100, 1)}, Copula: c}
	s, err := montecarlo.Sensitivities(context.Background(), in, of(func(x []float64) float64 { return x[0] + x[1] + x[2] }), montecarlo.Plan{Draws: 1 << 14, Outputs: 1})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(s.Groups, [][]int{{0, 1}, {2}}) {
		t.Fatalf("groups %v", s.Groups)
	}
	for g, want := range []float64{0.75, 0.25} {
		if i := s.Indices[0][g]; math.Abs(i.First-want) > 0.01 || math.Abs(i.Total-want) > 0.01 {
			t.Errorf("group %v: %+v, want %g", s.Groups[g], i, want)
		}
	}
}

// TestUnmoved wants no index where a result does not vary but for rounding.
func TestUnmoved(t *testing.T) {
	for name, f := range map[string]func(x []float64) float64{
		"fixed":    func([]float64) float64 { return 477.2 },
		"zero":     func([]float64) float64 { return 0 },
		"rounding": func(x []float64) float64 { return 477.2 + (x[0] - x[0]*3/3) },
	} {
		s, err := montecarlo.Sensitivities(context.Background(), two, of(f), montecarlo.Plan{Draws: 1000, Outputs: 1})
		if err != nil {
			t.Fatal(err)
		}
		for g, i := range s.Indices[0] {
			if i != (montecarlo.Index{}) {
				t.Errorf("%s: %d has %+v", name, g, i)
			}
		}
	}
}

func TestStreamStops(t *testing.T) {
	enough := errors.New("enough")
	blocks := 0
	err := montecarlo.Stream(context.Background(), two, mixed, montecarlo.Plan{Draws: 1 << 30, Outputs: 2}, func(*montecarlo.Block) error {
		if blocks++; blocks == 3 {
			return enough
		}
		return nil
	})
	if !errors.Is(err, enough) || blocks != 3 {
		t.Errorf("%v after %d blocks", err, blocks)
	}
	ctx, cancel := context.WithCancel(context.Background())
	p := montecarlo.Plan{Draws: 1 << 30, Outputs: 2, Progress: func(int, int) { cancel() }}
	if err := montecarlo.Stream(ctx, two, mixed, p, func(*montecarlo.Block) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := montecarlo.Sensitivities(ctx, two, mixed, montecarlo.Plan{Draws: 1 << 20, Outputs: 2}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	for _, n := range []int{0, -1, montecarlo.MaxDraws + 1} {
		if err := montecarlo.Stream(context.Background(), two, mixed, montecarlo.Plan{Draws: n}, nil); !errors.Is(err, montecarlo.ErrPlan) {
			t.Errorf("%d draws: %v", n, err)
		}
		if _, err := montecarlo.Sensitivities(context.Background(), two, mixed, montecarlo.Plan{Draws: n}); !errors.Is(err, montecarlo.ErrPlan) {
			t.Errorf("%d draws: %v", n, err)
		}
	}
}

// TestProgress wants to be told of every block, up to the last draw.
func TestProgress(t *testing.T) {
	var told []int
	p := montecarlo.Plan{Draws: 10_000, Outputs: 1, Progress: func(done, all int) { told = append(told, done, all) }}
	model := of(func(x []float64) float64 { return x[0] })
	if err := montecarlo.Stream(context.Background(), two, model, p, func(*montecarlo.Block) error { return nil }); err != nil {
		t.Fatal(err)
	}
	if want := []int{4096, 10_000, 8192, 10_000, 10_000, 10_000}; !reflect.DeepEqual(told, want) {
		t.Errorf("told %v, want %v", told, want)
	}
}

// TestSamplingNames wants the names to come back.
func TestSamplingNames(t *testing.T) {
	for _, s := range []montecarlo.Sampling{montecarlo.Halton, montecarlo.LatinHypercube} {
		text, err := s.MarshalText()
		var back montecarlo.Sampling
		if err != nil || back.UnmarshalText(text) != nil || back != s {
			t.Errorf("%v came back as %v", s, back)
		}
	}
	var s montecarlo.Sampling
	if err := s.UnmarshalText([]byte("dice")); err == nil {
		t.Error("dice are taken for a way of sampling")
	}
}
