package montecarlo_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// columns cuts a list into columns of a few lengths.
func columns(list []float64) [][]float64 {
	var out [][]float64
	for n := 1; len(list) > 0; n = n*3%4099 + 1 {
		n := min(n, len(list))
		out, list = append(out, list[:n]), list[n:]
	}
	return out
}

// TestSummaryAgainstGonum holds moments and quantiles against those of gonum, a
// general-purpose library, over all values at once.
func TestSummaryAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, draw := range map[string]func() float64{
		"normal":      r.NormFloat64,
		"far off":     func() float64 { return 1e9 + r.NormFloat64() },
		"exponential": r.ExpFloat64,
		"heavy tails": func() float64 { return math.Exp(3 * r.NormFloat64()) },
		"rising":      func() func() float64 { v := 0.0; return func() float64 { v++; return v } }(),
		"falling":     func() func() float64 { v := 0.0; return func() float64 { v--; return v } }(),
		"few values":  func() float64 { return float64(r.IntN(3)) },
	} {
		for _, n := range []int{1, 2, 1000, 16383, 16384, 200_000} {
			var s montecarlo.Summary
			list := make([]float64, n)
			for i := range list {
				list[i] = draw()
			}
			for _, c := range columns(list) {
				s.Add(c)
			}
			mean, sd := stat.MeanStdDev(list, nil)
			if n == 1 {
				sd = 0
			}
			scale := max(math.Abs(mean), sd)
			if math.Abs(s.Mean()-mean) > 1e-12*scale || math.Abs(s.SD()-sd) > 1e-9*sd+1e-16*scale {
				t.Errorf("%s, %d: mean %v, deviation %v; gonum %v, %v", name, n, s.Mean(), s.SD(), mean, sd)
			}
			slices.Sort(list)
			if s.Count() != n || s.None() != 0 || s.Least() != list[0] || s.Most() != list[n-1] {
				t.Errorf("%s, %d: %d from %v to %v", name, n, s.Count(), s.Least(), s.Most())
			}
			if exact := n < 16384; (s.Resolution() == 0) != exact {
				t.Errorf("%s, %d: resolution %g", name, n, s.Resolution())
			}
			last := math.Inf(-1)
			for p := 0.0; p <= 1; p += 1.0 / 128 {
				got := s.Quantile(p)
				// A quantile between two values may lie anywhere between them.
				low, high := list[max(int(p*float64(n))-1, 0)], list[min(int(p*float64(n)), n-1)]
				if got < low-s.Resolution() || got > high+s.Resolution() {
					t.Errorf("%s, %d: quantile %g is %v, want from %v to %v within %g", name, n, p, got, low, high, s.Resolution())
				}
				if got < last {
					t.Errorf("%s, %d: quantile %g is %v, below %v", name, n, p, got, last)
				}
				last = got
			}
			var shares float64
			for _, b := range s.Bars(20) {
				shares += b.Share
			}
			if bars := s.Bars(20); len(bars) > 0 && (math.Abs(shares-1) > 1e-9 || bars[0].Low != list[0] || math.Abs(bars[19].High-list[n-1]) > 1e-12*scale) {
				t.Errorf("%s, %d: bars add up to %v", name, n, shares)
			}
		}
	}
}

func TestSummaryOfNothing(t *testing.T) {
	var s montecarlo.Summary
	s.Add([]float64{math.NaN(), math.Inf(1)})
	if s.Count() != 0 || s.None() != 2 || s.Bars(3) != nil {
		t.Errorf("%d values, %d none", s.Count(), s.None())
	}
	for name, v := range map[string]float64{"mean": s.Mean(), "deviation": s.SD(), "least": s.Least(), "most": s.Most(), "median": s.Quantile(0.5)} {
		if !math.IsNaN(v) {
			t.Errorf("%s of nothing is %v", name, v)
		}
	}
}

// TestSummaryKeepsItsSize adds many values and wants no more memory than for few.
func TestSummaryKeepsItsSize(t *testing.T) {
	var s montecarlo.Summary
	column := make([]float64, 1<<15)
	r := rand.New(rand.NewPCG(1, 1))
	fill := func() {
		for i := range column {
			column[i] = r.NormFloat64()
		}
		s.Add(column)
	}
	heap := func() uint64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	fill()
	before := heap()
	for range 60 {
		fill()
	}
	if after := heap(); after > before+64<<10 {
		t.Errorf("%d bytes for %d values, %d for %d", after, s.Count(), before, len(column))
	}
}

func TestChance(t *testing.T) {
	c := montecarlo.Chance{Count: 20, Of: 100}
	if c.Share() != 0.2 || math.Abs(c.StandardError()-0.04) > 1e-15 || c.Bound() != 0 { // √(0.2·0.8/100)
		t.Errorf("share %v, error %v, bound %v", c.Share(), c.StandardError(), c.Bound())
	}
	for _, count := range []int{0, 1000} {
		c := montecarlo.Chance{Count: count, Of: 1000}
		if c.StandardError() != 0 || c.Bound() != 0.003 {
			t.Errorf("%d of 1000: error %v, bound %v", count, c.StandardError(), c.Bound())
		}
	}
	if !math.IsNaN(montecarlo.Chance{}.Share()) || (montecarlo.Chance{}).Bound() != 0 {
		t.Error("a chance of nothing")
	}
}

func BenchmarkSummary(b *testing.B) {
	var s montecarlo.Summary
	column := make([]float64, 4096)
	r := rand.New(rand.NewPCG(1, 1))
	for i := range column {
		column[i] = r.NormFloat64()
	}
	for b.Loop() {
		s.Add(column)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/4096, "ns/value")
}
