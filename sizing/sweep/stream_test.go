package sweep_test

import (
	"context"
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

// plan makes a plan of axes and results by their text.
func plan(t testing.TB, axes, results []string) sweep.Plan {
	t.Helper()
	var p sweep.Plan
	for _, text := range axes {
		a, err := sweep.ParseAxis(text)
		if err != nil {
			t.Fatal(err)
		}
		p.Axes = append(p.Axes, a)
	}
	for _, name := range results {
		r, err := sweep.ResultNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		p.Results = append(p.Results, r)
	}
	return p
}

// TestStream wants blocks in order, without a hole, the same for any number of
// processors, and each number to be that of an assessment of the point's build.
func TestStream(t *testing.T) {
	b := open(t)
	for _, results := range [][]string{
		{"duty", "fuel mass flow", "bsfc"}, // terms
		{"duty", "pump margin", "rail over manifold pressure", "delivery.pump_rise", "parts[pumps].limit", "most power", "inlet.npsh"},
	} {
		p := plan(t, []string{"boost = 5..40 psi by 1", "ethanol = 0..95 % in 41", "voltage = 11, 12.5, 14 V"}, results)
		var want [][]float64
		for _, procs := range []int{1, 2, 5} {
			old := runtime.GOMAXPROCS(procs)
			got, next := make([][]float64, len(results)), 0
			err := sweep.Stream(context.Background(), b, p, func(bl *sweep.Block) error {
				if bl.First != next {
					t.Fatalf("a block starts at %d, want %d", bl.First, next)
				}
				next += bl.Len()
				for c := range got {
					got[c] = append(got[c], bl.Columns[c]...)
				}
				return nil
			})
			runtime.GOMAXPROCS(old)
			if n, _ := p.Points(); err != nil || next != n {
				t.Fatalf("%d points of %d, %v", next, n, err)
			}
			if want == nil {
				want = got
			}
			for c := range got {
				if !slices.EqualFunc(got[c], want[c], func(x, y float64) bool { return math.Float64bits(x) == math.Float64bits(y) }) {
					t.Errorf("%s differs with %d processors", results[c], procs)
				}
			}
		}
		for _, i := range []int{0, 1, 777, 2000, len(want[0]) - 1} {
			at := []int{i / 123, i / 3 % 41, i % 3}
			c := b
			for k, a := range p.Axes {
				f, err := sizing.FieldNamed(a.Field)
				if err != nil {
					t.Fatal(err)
				}
				_, _, si, err := f.Scale(strings.Replace(a.Unit, "%", "%", 1))
				if err != nil {
					t.Fatal(err)
				}
				if c, err = f.Set(c, si(a.Values[at[k]])); err != nil {
					t.Fatal(err)
				}
			}
			a, err := sizing.Assess(c)
			if err != nil {
				t.Fatal(err)
			}
			for k, r := range p.Results {
				if got, alone := want[k][i], r.Of(a); got != alone {
					t.Errorf("%s at point %d: %v, alone %v", r.Name, i, got, alone)
				}
			}
		}
	}
}

// TestStreamSI counts in SI what is otherwise counted in the sheet's units.
func TestStreamSI(t *testing.T) {
	for _, results := range [][]string{{"duty", "fuel mass flow"}, {"duty", "fuel mass flow", "pump margin"}} {
		p := plan(t, []string{"boost = 20, 22 psi"}, results)
		p.SI = true
		g, err := sweep.Keep(context.Background(), open(t), p)
		if err != nil {
			t.Fatal(err)
		}
		a, err := sizing.Assess(open(t).AtBoost(quantity.Of(20, quantity.PSI)))
		if err != nil {
			t.Fatal(err)
		}
		if got := g.Column(sweep.Duty)[0]; got != float64(a.Injection.Duty) {
			t.Errorf("duty %v, want %v", got, a.Injection.Duty)
		}
		if got := g.Column(sweep.FuelMass)[0]; got != float64(a.Demand.Total) {
			t.Errorf("fuel %v kg/s, want %v", got, a.Demand.Total)
		}
	}
}

// TestStreamStops wants a sweep to end soon where it is told to, with nothing left
// running.
func TestStreamStops(t *testing.T) {
	before := runtime.NumGoroutine()
	p := plan(t, []string{"boost = 5..30 psi in 3000", "ethanol = 0..85 % in 3000"}, []string{"pump margin"})
	full := errors.New("the disk is full")
	blocks := 0
	err := sweep.Stream(context.Background(), open(t), p, func(*sweep.Block) error {
		if blocks++; blocks == 3 {
			return full
		}
		return nil
	})
	if !errors.Is(err, full) || blocks != 3 {
		t.Errorf("%v after %d blocks", err, blocks)
	}
	ctx, cancel := context.WithCancel(context.Background())
	p.Progress = func(done, points int) {
		if done >= points {
			t.Error("it went on to the end")
		}
		cancel()
	}
	if err := sweep.Stream(ctx, open(t), p, func(*sweep.Block) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want canceled", err)
	}
	runtime.Gosched()
	if after := runtime.NumGoroutine(); after > before+2 {
		t.Errorf("%d goroutines, %d before", after, before)
	}
}

// TestGapsOfTerms wants points that make no sense to be gaps with their reason, in terms
// too.
func TestGapsOfTerms(t *testing.T) {
	for _, result := range []string{"duty", "pump margin"} {
		g, err := sweep.Keep(context.Background(), open(t), plan(t, []string{"lambda = 0.4..0.8 by 0.1", "boost = 20, 22 psi"}, []string{result}))
		if err != nil {
			t.Fatal(err)
		}
		n, reason := g.Gaps()
		if n != 4 || !strings.Contains(reason, "target.lambda") {
			t.Errorf("%d gaps, %q", n, reason)
		}
		for i, v := range g.Column(g.Results[0]) {
			if math.IsNaN(v) != (g.Reason(i) != "") {
				t.Errorf("%s, point %d: %v, reason %q", result, i, v, g.Reason(i))
			}
		}
	}
	// Duty of a rail that boost has shut is a gap as well.
	b := open(t)
	b.Regulator.Kind = 2 // fixed
	g, err := sweep.Keep(context.Background(), b, plan(t, []string{"boost = 30, 60 psi"}, []string{"duty"}))
	if err != nil {
		t.Fatal(err)
	}
	if d := g.Column(sweep.Duty); math.IsNaN(d[0]) || !math.IsNaN(d[1]) {
		t.Errorf("duty %v, want a number and a gap", d)
	}
}

func TestResultNamed(t *testing.T) {
	for _, r := range sweep.Results {
		got, err := sweep.ResultNamed(strings.ToUpper(strings.ReplaceAll(r.Name, " ", "_")))
		if err != nil || got.Name != r.Name {
			t.Errorf("%s: %q, %v", r.Name, got.Name, err)
		}
	}
	for name, says := range map[string]string{
		"dutty": "want one of", "injector dutty": `perhaps "injector duty" is meant`, "delivery.colour": "unknown result",
		"delivery": "unknown result", "parts.limit": "unknown result", "delivery.rail[1]": "unknown result", "": "unknown result", "build.job.name": "unknown result",
	} {
		if _, err := sweep.ResultNamed(name); !errors.Is(err, sweep.ErrResult) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want one saying %q", name, err, says)
		}
	}
}

func FuzzResultNamed(f *testing.F) {
	a, err := sizing.Assess(open(f))
	if err != nil {
		f.Fatal(err)
	}
	for _, seed := range []string{"duty", "delivery.rail", "parts[pumps].limit", "parts[2].margin", "warming.pump", "loads.pumps[1].current", "a[b].c", "injection.secondary.duty"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if r, err := sweep.ResultNamed(name); err == nil {
			r.Of(a)
			r.Unit(quantity.SI)
		}
	})
}

// BenchmarkStream sweeps a million points: of terms, of the coupled operating point,
// and of everything.
func BenchmarkStream(b *testing.B) {
	axes := []string{"boost = 5..30 psi in 100", "ethanol = 0..85 % in 100", "base pressure = 40..70 psi in 100"}
	for _, tt := range []struct {
		name    string
		results []string
	}{
		{"terms", []string{"duty", "fuel mass flow", "fuel volume flow"}},
		{"coupled", []string{"duty", "fuel volume flow", "pump margin", "rail over manifold pressure", "power supported"}},
		{"all parts", []string{"least margin", "most power"}},
	} {
		b.Run(tt.name, func(b *testing.B) {
			b.ReportAllocs()
			p := plan(b, axes, tt.results)
			build := open(b)
			for b.Loop() {
				if err := sweep.Stream(context.Background(), build, p, func(*sweep.Block) error { return nil }); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "Mpoints/s")
		})
	}
}

// BenchmarkAlgebra keeps terms over four million points in a grid that is used again.
// .ci/ratio sets it beside the same model in NumPy.
func BenchmarkAlgebra(b *testing.B) {
	axes := []string{"boost = 5..30 psi in 2000", "ethanol = 1..85 % in 2000"}
	for _, tt := range []struct {
		name    string
		results []string
	}{
		{"one", []string{"duty"}},
		{"seven", []string{"fuel mass flow", "fuel volume flow", "crank power", "bsfc", "pulse width", "duty", "injector margin"}},
		{"twelve", []string{"power route", "energy route", "air route", "fuel mass flow", "fuel volume flow", "crank power", "bsfc", "differential pressure", "static flow", "pulse width", "duty", "injector margin"}},
	} {
		p := plan(b, axes, tt.results)
		p.SI = true
		build := open(b)
		g, err := sweep.Keep(context.Background(), build, p)
		if err != nil {
			b.Fatal(err)
		}
		v, err := p.Vary(build)
		if err != nil {
			b.Fatal(err)
		}
		for _, x := range []struct {
			name string
			fill func() error
		}{
			{tt.name, func() error { return g.Fill(context.Background(), v) }},
			{tt.name + ",axes", func() error { return g.Refill(context.Background(), build) }},
		} {
			b.Run(x.name, func(b *testing.B) {
				for b.Loop() {
					if err := x.fill(); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.N)*float64(g.Len())/b.Elapsed().Seconds()/1e6, "Mpoints/s")
			})
		}
	}
}
