package sweep_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

func open(t testing.TB) sizing.Build {
	t.Helper()
	b, err := sizing.Open("../../testdata/sheets/turbo.toml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func over(t testing.TB, b sizing.Build, axes ...string) *sweep.Grid {
	t.Helper()
	g, err := sweep.Over(context.Background(), b, axes...)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func TestParseAxis(t *testing.T) {
	tests := []struct {
		text, field, unit string
		values            []float64
	}{
		{"boost = 10..14 psi by 2", "boost", "psi", []float64{10, 12, 14}},
		{"boost=10..15psi by 2", "boost", "psi", []float64{10, 12, 14}},
		{"boost = 10 psi..14 psi by 2 psi", "boost", "psi", []float64{10, 12, 14}},
		{"ethanol = 0..85 % in 3", "ethanol", "%", []float64{0, 42.5, 85}},
		{"base pressure = 3, 3.5, 4 bar", "base pressure", "bar", []float64{3, 3.5, 4}},
		{"base_pressure = 3 bar", "base pressure", "bar", []float64{3}},
		{"charge temperature = 20..40 degC by 10", "charge temperature", "°C", []float64{20, 30, 40}},
		{"lambda = 0.78..0.82 by 0.02", "lambda", "", []float64{0.78, 0.80, 0.82}},
		{"power = 600, 700 hp", "power", "hp", []float64{600, 700}},
	}
	for _, tt := range tests {
		a, err := sweep.ParseAxis(tt.text)
		if err != nil {
			t.Errorf("%s: %v", tt.text, err)
			continue
		}
		same := slices.EqualFunc(a.Values, tt.values, func(x, y float64) bool { return math.Abs(x-y) < 1e-9 })
		if a.Field != tt.field || a.Unit != tt.unit || !same {
			t.Errorf("%s: got %s in %q, %v", tt.text, a.Field, a.Unit, a.Values)
		}
	}
}

func TestParseAxisErrors(t *testing.T) {
	for text, says := range map[string]string{
		"boost":                           `no "="`,
		"bost = 1..2 psi by 1":            `perhaps "boost" is meant`,
		"colour = 1..2":                   "want one of boost, power, ethanol",
		"boost = 1..2 psi":                "a range needs a step or a number of points",
		"boost = 2..1 psi by 1":           "the end must lie above the start",
		"boost = 1..2 kg by 1":            "unknown unit",
		"boost = 1..2 by 1":               "the unit is missing",
		"boost = 1..2 psi by 0":           "not a number above zero",
		"boost = 1..2 psi by -1":          "not a number above zero",
		"boost = 0..1000000 psi by 0.001": "too many for one axis",
		"boost = 1..2 psi in 1":           "from 2 to 10000",
		"boost = 3, 2 psi":                "values must rise",
		"boost = , psi":                   "no number found",
	} {
		_, err := sweep.ParseAxis(text)
		if !errors.Is(err, sweep.ErrAxis) || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: got %v, want one saying %q", text, err, says)
		}
	}
}

func FuzzParseAxis(f *testing.F) {
	for _, seed := range []string{"boost = 1..2 psi by 1", "ethanol = 0..85 % in 3", "lambda = 1, 2", "boost = 1..1e300 psi by 1e-300", "power=..hp by"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := sweep.ParseAxis(text)
		if err == nil && (len(a.Values) == 0 || !slices.IsSorted(a.Values)) {
			t.Fatalf("%q: %v", text, a.Values)
		}
	})
}

// TestPointsAreAssessments wants every number of a grid to be, bit for bit, what
// Assess gives for that build, whatever the number of processors.
func TestPointsAreAssessments(t *testing.T) {
	b := open(t)
	axes := []string{"boost = 12..26 psi by 7", "ethanol = 0..80 % by 40", "base pressure = 43.5, 58 psi"}
	for _, procs := range []int{1, 2, 7} {
		old := runtime.GOMAXPROCS(procs)
		g := over(t, b, axes...)
		runtime.GOMAXPROCS(old)
		i := 0
		for _, boost := range g.Axes[0].Values {
			for _, content := range g.Axes[1].Values {
				for _, base := range g.Axes[2].Values {
					c, err := b.AtBoost(quantity.Of(boost, quantity.PSI)).WithEthanol(quantity.VolumeFraction(content * 0.01))
					if err != nil {
						t.Fatal(err)
					}
					a, err := sizing.Assess(c.WithBasePressure(quantity.Of(base, quantity.PSI)))
					if err != nil {
						t.Fatal(err)
					}
					if got, want := g.Column(sweep.Duty)[i], 100*float64(a.Injection.Duty); got != want {
						t.Errorf("%v psi, %v %%, %v psi: duty %v, want %v", boost, content, base, got, want)
					}
					if got, want := g.Column(sweep.FuelMass)[i], quantity.Number(a.Demand.Total, quantity.US); got != want {
						t.Errorf("%v psi, %v %%, %v psi: fuel %v, want %v", boost, content, base, got, want)
					}
					i++
				}
			}
		}
		if i != g.Len() {
			t.Fatalf("%d points, want %d", g.Len(), i)
		}
	}
}

// TestSurfaceLayout wants a surface to hold the right points of a grid of three axes.
func TestSurfaceLayout(t *testing.T) {
	g := over(t, open(t), "boost = 12..26 psi by 7", "ethanol = 0..80 % by 40", "base pressure = 43.5, 58 psi")
	for held := range 2 {
		s := g.Surface(sweep.Duty, held)
		for i := range s.X.Values {
			for j := range s.Y.Values {
				if got, want := s.At(i, j), g.Column(sweep.Duty)[(i*3+j)*2+held]; got != want {
					t.Errorf("(%d, %d) held at %d: %v, want %v", i, j, held, got, want)
				}
			}
		}
	}
	if title := g.Surface(sweep.Duty, 1).Title; title != "injector duty, base pressure 58 psi" {
		t.Errorf("title %q", title)
	}
}

func TestGaps(t *testing.T) {
	b := open(t)
	g := over(t, b, "boost = 0..20 psi by 10", "ethanol = 0..50 % by 50")
	n, why := g.Gaps()
	if n != 2 || !strings.Contains(why, "induction.boost") {
		t.Errorf("%d gaps, %q: a turbocharged engine without boost is no build", n, why)
	}
	s := g.Surface(sweep.Duty)
	if !math.IsNaN(s.At(0, 0)) || math.IsNaN(s.At(1, 0)) {
		t.Errorf("heights %v", s.Z.Values)
	}
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back sweep.Surface
	if err := json.Unmarshal(data, &back); err != nil || !math.IsNaN(back.At(0, 0)) || back.At(1, 1) != s.At(1, 1) {
		t.Errorf("a gap is lost in JSON: %v %s", err, data)
	}
}

func TestOverErrors(t *testing.T) {
	b := open(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := sweep.Over(ctx, b, "boost = 1..30 psi by 1"); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	for _, axes := range [][]string{
		nil,
		{"boost = 1..2 psi by 1", "boost = 1..2 psi by 1"},
		{"boost = 1..2 psi by 1", "power = 500, 600 hp"},
		{"boost = 1..2 psi in 10000", "ethanol = 0..85 % in 10000"},
	} {
		if _, err := sweep.Over(context.Background(), b, axes...); !errors.Is(err, sweep.ErrAxis) {
			t.Errorf("%v: %v", axes, err)
		}
	}
}

func BenchmarkOver(b *testing.B) {
	build := open(b)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		g, err := sweep.Over(context.Background(), build, "boost = 10..34 psi by 1", "ethanol = 0..85 % by 5")
		if err != nil {
			b.Fatal(err)
		}
		n += g.Len()
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "points/s")
}
