package sweep_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/sweep"
)

func mostOver(t testing.TB, b sizing.Build, of, x, y string) *sweep.Ceiling {
	t.Helper()
	c, err := sweep.MostOver(context.Background(), b, of, x, y)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// set returns a build with fields at values in the units of scales.
func set(t testing.TB, b sizing.Build, values ...any) sizing.Build {
	t.Helper()
	for k := 0; k < len(values); k += 3 {
		f, err := sizing.FieldNamed(values[k].(string))
		if err != nil {
			t.Fatal(err)
		}
		_, _, si, err := f.Scale(values[k+1].(string))
		if err != nil {
			t.Fatal(err)
		}
		if b, err = f.Set(b, si(values[k+2].(float64))); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

// spare is the least margin beyond what is asked for, and the part that has it.
func spare(a *sizing.Assessment) (least float64, part sizing.PartKind) {
	least = math.Inf(1)
	for _, p := range a.Parts {
		if s := float64(p.Margin - p.Wanted); s < least {
			least, part = s, p.Kind
		}
	}
	return least, part
}

func assess(t testing.TB, b sizing.Build) *sizing.Assessment {
	t.Helper()
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestMostIsCarried goes to every value found: all parts carry it, a little more they do
// not, and the part said to stop it is the one that falls short.
func TestMostIsCarried(t *testing.T) {
	tests := []struct {
		of, x, y string
		more     float64 // a little, in the field's unit
	}{
		{"boost = 5..60 psi in 12", "ethanol = 0..85 % in 4", "base pressure = 35..75 psi in 4", 1e-5},
		{"ethanol = 0..100 % in 9", "power = 400..900 hp in 4", "voltage = 11..15 V in 3", 1e-5},
		{"base pressure = 20..110 psi by 10", "boost = 10..40 psi in 5", "ethanol = 0..85 % in 3", 1e-5},
		{"engine.speed = 4000..14000 rpm by 1000", "ethanol = 0..85 % in 3", "fuel temperature = 20..60 degC in 3", 1e-2},
	}
	for _, tt := range tests {
		b := open(t)
		c := mostOver(t, b, tt.of, tt.x, tt.y)
		field, _, _ := strings.Cut(tt.of, " =")
		kinds := map[sweep.Why]int{}
		for j, y := range c.Y.Values {
			for i, x := range c.X.Values {
				most, stop := c.At(i, j), c.StopAt(i, j)
				kinds[stop.Why]++
				if math.IsNaN(most) != (stop.Why == sweep.NoneFits || stop.Why == sweep.NoAnswer) {
					t.Errorf("%s: %v with %v", c.Title, most, stop)
				}
				if math.IsNaN(most) {
					continue
				}
				at := func(v float64) *sizing.Assessment {
					return assess(t, set(t, b, c.X.Name, c.X.Unit, x, c.Y.Name, c.Y.Unit, y, field, c.Z.Unit, v))
				}
				a := at(most)
				if a.Status() != sizing.Carries {
					t.Errorf("%s at (%v, %v): %v is not carried", c.Title, x, y, most)
				}
				if stop.Why != sweep.PartStops {
					continue
				}
				if least, _ := spare(a); least > 1e-7 {
					t.Errorf("%s at (%v, %v): %v leaves %.2g to spare", c.Title, x, y, most, least)
				}
				if least, part := spare(at(most + tt.more)); least >= 0 || part != stop.Part {
					t.Errorf("%s at (%v, %v): above %v %v has %v to spare, want less than none for %v", c.Title, x, y, most, part, least, stop.Part)
				}
			}
		}
		if kinds[sweep.PartStops] == 0 {
			t.Errorf("%s: %v: no part stops it anywhere", c.Title, kinds)
		}
	}
}

// TestMostIsInverse wants the same as the inverses of package sizing, where parts that do
// not depend on power take no part.
func TestMostIsInverse(t *testing.T) {
	b := open(t)
	b.Policy.Route = demand.Power
	b.Regulator.MaxReturn, b.Injectors.MinimumPulse = 0, 0
	const x, y = "ethanol = 0..85 % in 4", "base pressure = 40..60 psi in 3"
	for _, tt := range []struct {
		of   string
		want func(sizing.Build) (float64, error)
	}{
		{"boost = 5..60 psi in 12", func(b sizing.Build) (float64, error) { p, err := sizing.MostBoost(b); return float64(p), err }},
		{"power = 200..1500 hp in 3", func(b sizing.Build) (float64, error) { p, err := sizing.MostPower(b); return float64(p), err }},
	} {
		c := mostOver(t, b, tt.of, x, y)
		field, _, _ := strings.Cut(tt.of, " =")
		f, err := sizing.FieldNamed(field)
		if err != nil {
			t.Fatal(err)
		}
		_, _, si, err := f.Scale(c.Z.Unit)
		if err != nil {
			t.Fatal(err)
		}
		for j, y := range c.Y.Values {
			for i, x := range c.X.Values {
				want, err := tt.want(set(t, b, c.X.Name, c.X.Unit, x, c.Y.Name, c.Y.Unit, y))
				if err != nil {
					t.Fatal(err)
				}
				if got := si(c.At(i, j)); math.Abs(got-want) > 1e-6*want || c.StopAt(i, j).Why != sweep.PartStops {
					t.Errorf("%s at (%v, %v): %v, want %v; %v", c.Title, x, y, got, want, c.StopAt(i, j))
				}
			}
		}
	}
	c := mostOver(t, b, "ethanol = 0..100 % in 9", "power = 500..900 hp in 5", "base pressure = 40..60 psi in 3")
	for j, y := range c.Y.Values {
		for i, x := range c.X.Values {
			want, ok, err := sizing.MostEthanol(set(t, b, c.X.Name, c.X.Unit, x, c.Y.Name, c.Y.Unit, y))
			if err != nil {
				t.Fatal(err)
			}
			if got := c.At(i, j); ok == math.IsNaN(got) || ok && math.Abs(got-100*float64(want)) > 2e-3 {
				t.Errorf("%s at (%v, %v): %v, want %v %v", c.Title, x, y, got, want, ok)
			}
		}
	}
}

// TestMostStops wants each way in which a field can stop to be told.
func TestMostStops(t *testing.T) {
	tests := []struct {
		name, of, x, y string
		want           sweep.Stop
		value          float64 // NaN for a gap
	}{
		{"parts", "boost = 5..60 psi in 5", "ethanol = 70 %", "base pressure = 60 psi",
			sweep.Stop{Why: sweep.PartStops, Part: sizing.PumpsPart}, 23.2},
		{"enough for all of the range", "boost = 5..10 psi in 5", "ethanol = 0 %", "base pressure = 43.5 psi",
			sweep.Stop{Why: sweep.EndStops, Part: sizing.RegulatorPart}, 10},
		{"a range of one value", "boost = 10 psi", "ethanol = 0 %", "base pressure = 43.5 psi",
			sweep.Stop{Why: sweep.EndStops, Part: sizing.RegulatorPart}, 10},
		{"too much already at the lowest", "boost = 50..60 psi in 5", "ethanol = 85 %", "base pressure = 43.5 psi",
			sweep.Stop{Why: sweep.NoneFits, Part: sizing.PumpsPart}, math.NaN()},
		{"the lowest value is no build", "boost = 0..60 psi in 5", "ethanol = 70 %", "base pressure = 60 psi",
			sweep.Stop{Why: sweep.PartStops, Part: sizing.PumpsPart}, 23.2},
		{"no build at all", "boost = 5..60 psi in 5", "ethanol = 70 %", "base pressure = -5 psi",
			sweep.Stop{Why: sweep.NoAnswer}, math.NaN()},
		{"no build beyond", "policy.max_duty = 60..120 % by 10", "boost = 10 psi", "ethanol = 0 %",
			sweep.Stop{Why: sweep.GapStops, Part: sizing.RegulatorPart}, 100},
		{"too little starves injectors, too much pumps", "base pressure = 20..110 psi by 10", "boost = 20 psi", "ethanol = 85 %",
			sweep.Stop{Why: sweep.PartStops, Part: sizing.PumpsPart, Patchy: true}, 64.2},
		{"a stretch between the values looked at", "base pressure = 20..110 psi in 9", "boost = 24.4 psi", "ethanol = 85 %",
			sweep.Stop{Why: sweep.PartStops, Part: sizing.PumpsPart, Patchy: true}, 52.9},
		{"whole numbers", "pumps[1].count = 1..4 by 1", "boost = 20 psi", "ethanol = 70 %",
			sweep.Stop{Why: sweep.PartStops, Part: sizing.RegulatorPart, Patchy: true}, 2},
	}
	for _, tt := range tests {
		c := mostOver(t, open(t), tt.of, tt.x, tt.y)
		got, value := c.Stops[0], c.Z.Values[0]
		if (got.Reason != "") != (got.Why == sweep.GapStops || got.Why == sweep.NoAnswer) {
			t.Errorf("%s: reason %q for %v", tt.name, got.Reason, got.Why)
		}
		if got.Reason = ""; got != tt.want {
			t.Errorf("%s: %v (%v), want %v", tt.name, got, value, tt.want)
		}
		// Regression only: values of this model for an invented build.
		if math.IsNaN(value) != math.IsNaN(tt.value) || math.Abs(value-tt.value) > 0.1 {
			t.Errorf("%s: %v, want %v", tt.name, value, tt.value)
		}
	}
}

// TestCeilingAsJSON wants gaps to stay gaps, and stops to be told in words.
func TestCeilingAsJSON(t *testing.T) {
	c := mostOver(t, open(t), "boost = 20..60 psi in 5", "ethanol = 0, 85 %", "base pressure = -1, 43.5 psi")
	data, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	var back sweep.Ceiling
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(back.Stops, c.Stops) || !math.IsNaN(back.At(0, 0)) || back.At(0, 1) != c.At(0, 1) || back.Title != "most boost that all parts carry" {
		t.Errorf("got %+v, want %+v", back, c)
	}
	for _, want := range []string{`{"why":"no answer","reason":"regulator.base_pressure`, `{"why":"part","part":"injectors","text":"limit: injectors"}`, `"unit":"psi"`} {
		if !strings.Contains(string(data), want) {
			t.Errorf("no %s in JSON %s", want, data)
		}
	}
}

// ExampleMostOver finds the most boost at two contents and base pressures. The sheet is
// invented, and so are the numbers.
func ExampleMostOver() {
	b, err := sizing.Open("../../testdata/sheets/turbo.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := sweep.MostOver(context.Background(), b, "boost = 5..40 psi by 5", "ethanol = 20, 85 %", "base pressure = 43.5, 58 psi")
	if err != nil {
		fmt.Println(err)
		return
	}
	for j, base := range c.Y.Values {
		for i, content := range c.X.Values {
			fmt.Printf("%v %% at %v psi: %.1f psi, %v\n", content, base, c.At(i, j), c.StopAt(i, j))
		}
	}
	// Output:
	// 20 % at 43.5 psi: 33.2 psi, limit: injectors
	// 85 % at 43.5 psi: 21.5 psi, limit: injectors
	// 20 % at 58 psi: 28.4 psi, limit: pumps
	// 85 % at 58 psi: 22.4 psi, limit: pumps
}

// TestMostIsTheSame wants ceilings not to depend on the number of processors, and
// progress to be told to the end.
func TestMostIsTheSame(t *testing.T) {
	p := plan(t, []string{"ethanol = 0..85 % in 9", "base pressure = 30..80 psi in 11"}, nil)
	of, err := sweep.ParseAxis("boost = 0..60 psi in 7")
	if err != nil {
		t.Fatal(err)
	}
	var first *sweep.Ceiling
	for _, procs := range []int{1, 2, 7} {
		old := runtime.GOMAXPROCS(procs)
		last := 0
		p.Progress = func(done, points int) {
			if done <= last || points != 99 {
				t.Errorf("progress %d of %d after %d", done, points, last)
			}
			last = done
		}
		c, err := sweep.Most(context.Background(), open(t), of, p)
		runtime.GOMAXPROCS(old)
		if err != nil || last != 99 {
			t.Fatalf("%d done, %v", last, err)
		}
		if first == nil {
			first = c
		}
		for k, v := range c.Z.Values {
			if math.Float64bits(v) != math.Float64bits(first.Z.Values[k]) || c.Stops[k] != first.Stops[k] {
				t.Errorf("%d processors: %v and %v at point %d, want %v and %v", procs, v, c.Stops[k], k, first.Z.Values[k], first.Stops[k])
			}
		}
	}
}

func TestMostErrors(t *testing.T) {
	for _, tt := range []struct{ of, x, y, says string }{
		{"boost = 5..60", "ethanol = 0 %", "lambda = 0.8", "range needs a step"},
		{"boost = 5..60 psi in 3", "ethanol = 0 %", "boost = 8 psi", "given twice"},
		{"boost = 5..60 psi in 3", "power = 500 hp", "ethanol = 0 %", "move each other"},
		{"boost = 5..60 psi in 3", "ethanol = 0..85 % in 10000", "lambda = 0.7..1 in 10000", "too many"},
	} {
		_, err := sweep.MostOver(context.Background(), open(t), tt.of, tt.x, tt.y)
		if !errors.Is(err, sweep.ErrAxis) || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%v: %v, want an error saying %q", tt, err, tt.says)
		}
	}
	p := plan(t, []string{"ethanol = 0 %", "lambda = 0.8", "voltage = 12 V"}, nil)
	if _, err := sweep.Most(context.Background(), open(t), p.Axes[0], p); !errors.Is(err, sweep.ErrAxis) {
		t.Errorf("three axes: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := sweep.MostOver(ctx, open(t), "boost = 5..60 psi in 5", "ethanol = 0..85 % in 30", "base pressure = 40..60 psi in 30"); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func BenchmarkMost(b *testing.B) {
	build := open(b)
	n := 0
	for b.Loop() {
		c, err := sweep.MostOver(context.Background(), build, "boost = 5..60 psi in 12", "ethanol = 0..85 % by 5", "base pressure = 40..60 psi by 1")
		if err != nil {
			b.Fatal(err)
		}
		n += len(c.Stops)
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "points/s")
}
