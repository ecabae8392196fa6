package spread_test

import (
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/uncertainty/spread"
)

// one returns a distribution whose numbers are good.
func one(s spread.Spread, err error) spread.Spread {
	if err != nil {
		panic(err)
	}
	return s
}

var all = map[string]spread.Spread{
	"uniform":           one(spread.NewUniform(-2, 6)),
	"triangular":        one(spread.NewTriangular(1, 2, 5)),
	"triangular at end": one(spread.NewTriangular(1, 1, 5)),
	"normal":            one(spread.NewNormal(3, 0.5)),
	"cut normal":        one(spread.NewCutNormal(5, 2, 0, 6)),
	"lognormal":         one(spread.NewLognormal(142, 0.05)),
	"scaled":            one(spread.NewTriangular(1, 2, 5)).Times(2.5),
}

// TestMoments integrates the quantiles (independent arithmetic).
func TestMoments(t *testing.T) {
	for name, s := range all {
		const n = 400_000
		var sum, squares float64
		for i := range n {
			v := s.Quantile((float64(i) + 0.5) / n)
			sum += v
			squares += (v - s.Median()) * (v - s.Median())
		}
		mean := sum / n
		sd := math.Sqrt(squares/n - (mean-s.Median())*(mean-s.Median()))
		if math.Abs(mean-s.Mean()) > 1e-4*s.SD() || math.Abs(sd/s.SD()-1) > 1e-4 {
			t.Errorf("%s: mean %g and deviation %g, by its quantiles %g and %g", name, s.Mean(), s.SD(), mean, sd)
		}
	}
}

// TestKnownValues holds the distributions against published numbers.
func TestKnownValues(t *testing.T) {
	for _, tt := range []struct {
		what      string
		got, want float64
		tolerance float64
		source    string
	}{
		{"rectangular deviation", one(spread.NewUniform(-1, 1)).SD(), 1 / math.Sqrt(3), 1e-15, "JCGM 100:2008, eq. (7): a/√3 (from memory)"},
		{"triangular deviation", one(spread.NewTriangular(-1, 0, 1)).SD(), 1 / math.Sqrt(6), 1e-15, "JCGM 100:2008, eq. (9b): a/√6 (from memory)"},
		{"normal 97.5 %", one(spread.NewNormal(0, 1)).Quantile(0.975), 1.959964, 5e-7, "table of the normal distribution, from memory"},
		{"normal 95 %", one(spread.NewNormal(10, 2)).Quantile(0.95), 10 + 2*1.644854, 1e-6, "the same"},
		{"half-normal mean", one(spread.NewCutNormal(0, 1, 0, 40)).Mean(), math.Sqrt(2 / math.Pi), 1e-12, "√(2/π), a standard result"},
		{"half-normal deviation", one(spread.NewCutNormal(0, 1, 0, 40)).SD(), math.Sqrt(1 - 2/math.Pi), 1e-12, "√(1-2/π), a standard result"},
		{"lognormal one sigma", one(spread.NewLognormal(200, 0.1)).Quantile(0.8413447460685429), 220, 1e-9, "its definition: median·(1+share)"},
	} {
		if math.Abs(tt.got-tt.want) > tt.tolerance*max(1, math.Abs(tt.want)) {
			t.Errorf("%s: got %.12g, want %.12g (%s)", tt.what, tt.got, tt.want, tt.source)
		}
	}
}

func TestQuantilesRiseWithinTheEnds(t *testing.T) {
	for name, s := range all {
		low, high, bounded := s.Ends()
		if s.Quantile(0) != low || s.Quantile(1) != high || bounded == (math.IsInf(low, 0) || math.IsInf(high, 0)) {
			t.Errorf("%s: ends %g and %g, quantiles %g and %g, bounded %v", name, low, high, s.Quantile(0), s.Quantile(1), bounded)
		}
		last := low
		for i := 1; i < 5000; i++ {
			v := s.Quantile(float64(i) / 5000)
			if !(v >= last && v <= high) || math.IsInf(v, 0) {
				t.Fatalf("%s: at %d of 5000 %g after %g", name, i, v, last)
			}
			last = v
		}
	}
}

func TestNoDistribution(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, make := range map[string]func() (spread.Spread, error){
		"ends in the wrong order": func() (spread.Spread, error) { return spread.NewUniform(2, 1) },
		"no width":                func() (spread.Spread, error) { return spread.NewUniform(1, 1) },
		"no number between":       func() (spread.Spread, error) { return spread.NewUniform(1, math.Nextafter(1, 2)) },
		"endless":                 func() (spread.Spread, error) { return spread.NewUniform(0, inf) },
		"width beyond numbers":    func() (spread.Spread, error) { return spread.NewUniform(-math.MaxFloat64, math.MaxFloat64) },
		"mode outside":            func() (spread.Spread, error) { return spread.NewTriangular(1, 6, 5) },
		"mode not a number":       func() (spread.Spread, error) { return spread.NewTriangular(1, nan, 5) },
		"no deviation":            func() (spread.Spread, error) { return spread.NewNormal(1, 0) },
		"mean not a number":       func() (spread.Spread, error) { return spread.NewNormal(nan, 1) },
		"limits far off":          func() (spread.Spread, error) { return spread.NewCutNormal(0, 1, 9, 10) },
		"limits in wrong order":   func() (spread.Spread, error) { return spread.NewCutNormal(0, 1, 1, -1) },
		"median below zero":       func() (spread.Spread, error) { return spread.NewLognormal(-1, 0.1) },
		"endless share":           func() (spread.Spread, error) { return spread.NewLognormal(1, inf) },
	} {
		if _, err := make(); !errors.Is(err, spread.ErrSpread) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
