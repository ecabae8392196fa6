package sizing_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"sync"
	"testing"

	"example.com/railbook/sizing"
)

// axis makes an axis of values written as in a sheet.
func axis(t testing.TB, field string, values ...string) sizing.Axis {
	t.Helper()
	f, err := sizing.FieldNamed(field)
	if err != nil {
		t.Fatal(err)
	}
	a := sizing.Axis{Field: f}
	for _, text := range values {
		v, err := f.Parse(text)
		if err != nil {
			t.Fatalf("%s: %v", field, err)
		}
		a.Values = append(a.Values, v)
	}
	return a
}

// axesOfAllKinds has values for fields that enter every stage, some of which make no
// sense in some builds.
func axesOfAllKinds(t testing.TB) []sizing.Axis {
	return []sizing.Axis{
		axis(t, "boost", "0 psi", "14 psi", "31 psi", "100 psi"),
		axis(t, "power", "200 hp", "640 hp", "1100 hp"),
		axis(t, "ethanol", "0 %", "33 %", "85 %", "100 %"),
		axis(t, "base pressure", "40 psi", "58 psi", "72.5 psi"),
		axis(t, "lambda", "0.72", "0.8", "1.05"),
		axis(t, "charge temperature", "20 degC", "60 degC"),
		axis(t, "fuel temperature", "0 degC", "60 degC"),
		axis(t, "voltage", "11 V", "12.7 V", "14.4 V"),
		axis(t, "barometer", "80 kPa", "101.325 kPa"),
		axis(t, "altitude", "0 m", "2000 m"),
		axis(t, "line bore", "6 mm", "9.5 mm"),
		axis(t, "injector size", "900 cc/min", "2200 cc/min"),
		axis(t, "engine.speed", "5000 rpm", "8200 rpm"),
		axis(t, "engine.idle_speed", "800 rpm", "1200 rpm"),
		axis(t, "engine.volumetric_efficiency", "80 %", "110 %"),
		axis(t, "engine.brake_efficiency", "24 %", "33 %"),
		axis(t, "engine.cylinders", "4", "6", "8"),
		axis(t, "target.allowance", "0 %", "15 %"),
		axis(t, "induction.barometer", "90 kPa", "103 kPa"),
		axis(t, "induction.humidity", "0 %", "80 %"),
		axis(t, "fuel.bsfc", "0.5 lb/(hp h)", "0.8 lb/(hp h)"),
		axis(t, "pumps.wear", "-5 %", "20 %"),
		axis(t, "pumps[1].count", "1", "2", "3"),
		axis(t, "feed_line.length", "1 m", "6 m"),
		axis(t, "injectors.spread", "0 %", "4 %"),
		axis(t, "injectors.dead_time_shift", "-0.1 ms", "0.05 ms"),
		axis(t, "regulator.max_return", "100 L/h", "700 L/h"),
		axis(t, "regulator.least_return", "10 L/h", "300 L/h"),
		axis(t, "tank.temperature", "10 degC", "45 degC"),
		axis(t, "policy.max_duty", "70 %", "90 %"),
		axis(t, "policy.pump_margin", "0 %", "25 %"),
		axis(t, "nitrous.flow", "10 g/s", "60 g/s"),
		axis(t, "water_methanol.flow", "200 cc/min", "800 cc/min"),
	}
}

// TestVariationIsAssess wants the numbers at every point to be those of an assessment
// of the point's build, to the last bit, whatever the axes and however many goroutines
// ask.
func TestVariationIsAssess(t *testing.T) {
	all := axesOfAllKinds(t)
	r := rand.New(rand.NewPCG(7, 7))
	points, gaps := 0, 0
	for round := range 120 {
		b := open(t, []string{"turbo.toml", "natural.toml", "turbo-si.toml"}[round%3])
		axes := make([]sizing.Axis, 0, 4)
		for _, k := range r.Perm(len(all))[:1+r.IntN(4)] {
			axes = append(axes, all[k])
		}
		var names []string
		for _, a := range axes {
			names = append(names, a.Field.Name())
		}
		t.Run(strings.Join(names, ", "), func(t *testing.T) {
			v, err := sizing.Vary(b, axes...)
			if err != nil {
				if !errors.Is(err, sizing.ErrAxes) || !strings.Contains(strings.Join(names, " "), "boost") && !strings.Contains(strings.Join(names, " "), "power") {
					t.Fatal(err)
				}
				return
			}
			got := make([]sizing.Assessment, v.Len())
			errs := make([]error, v.Len())
			var wg sync.WaitGroup
			for g := range runtime.GOMAXPROCS(0) {
				wg.Go(func() {
					for i := g; i < v.Len(); i += runtime.GOMAXPROCS(0) {
						errs[i] = v.Assess(i, sizing.EverySection, &got[i])
					}
				})
			}
			wg.Wait()
			for i := range got {
				points++
				built, err := v.Build(i)
				var want *sizing.Assessment
				if err == nil {
					want, err = sizing.Assess(built)
				}
				if (err == nil) != (errs[i] == nil) {
					t.Fatalf("point %d: %v, alone %v", i, errs[i], err)
				}
				if err != nil {
					gaps++
					continue
				}
				for _, s := range []struct {
					name      string
					got, want any
				}{
					{"power", got[i].Power, want.Power}, {"manifold", got[i].Manifold, want.Manifold}, {"demand", got[i].Demand, want.Demand},
					{"delivery", got[i].Delivery, want.Delivery}, {"injection", got[i].Injection, want.Injection}, {"idle", got[i].Idle, want.Idle},
					{"inlet", got[i].Inlet, want.Inlet}, {"loads", got[i].Loads, want.Loads}, {"warming", got[i].Warming, want.Warming}, {"parts", got[i].Parts, want.Parts},
				} {
					if !reflect.DeepEqual(s.got, s.want) {
						t.Fatalf("point %d, %s:\n%+v\nalone\n%+v", i, s.name, s.got, s.want)
					}
				}
			}
		})
	}
	if points < 1000 || gaps == 0 || gaps == points {
		t.Errorf("%d points, %d of them gaps: the axes should have some of both", points, gaps)
	}
}

func BenchmarkVariation(b *testing.B) {
	axes := []sizing.Axis{axis(b, "boost"), axis(b, "ethanol"), axis(b, "base pressure")}
	for i := range 40 {
		axes[0].Values = append(axes[0].Values, 50e3+5e3*float64(i))
		axes[1].Values = append(axes[1].Values, 0.02*float64(i))
		axes[2].Values = append(axes[2].Values, 250e3+5e3*float64(i))
	}
	v, err := sizing.Vary(open(b, "turbo.toml"), axes...)
	if err != nil {
		b.Fatal(err)
	}
	for _, s := range []struct {
		name string
		x    sizing.Section
	}{
		{"demand", 0}, {"injection", sizing.InjectionSection}, {"delivery and injection", sizing.DeliverySection | sizing.InjectionSection}, {"every section", sizing.EverySection},
	} {
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			var a sizing.Assessment
			i := 0
			for b.Loop() {
				if err := v.Assess(i%v.Len(), s.x, &a); err != nil {
					b.Fatal(err)
				}
				i++
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds()/1e6, "Mpoints/s")
		})
	}
}

func ExampleVary() {
	b, err := sizing.Open("../testdata/sheets/turbo.toml")
	if err != nil {
		panic(err)
	}
	f, err := sizing.FieldNamed("boost")
	if err != nil {
		panic(err)
	}
	var values []float64
	for _, text := range []string{"14 psi", "22 psi", "30 psi"} {
		v, err := f.Parse(text)
		if err != nil {
			panic(err)
		}
		values = append(values, v)
	}
	v, err := sizing.Vary(b, sizing.Axis{Field: f, Values: values})
	if err != nil {
		panic(err)
	}
	var a sizing.Assessment
	for i := range v.Len() {
		if err := v.Assess(i, sizing.InjectionSection, &a); err != nil {
			panic(err)
		}
		fmt.Println(a.Injection.Duty.Percent(0))
	}
	// Output:
	// 61 %
	// 77 %
	// 92 %
}

// TestVariationAllocatesNothing: a point whose stages are kept costs no memory.
func TestVariationAllocatesNothing(t *testing.T) {
	v, err := sizing.Vary(open(t, "turbo.toml"), axis(t, "boost", "14 psi", "22 psi"), axis(t, "ethanol", "10 %", "70 %"))
	if err != nil {
		t.Fatal(err)
	}
	var a sizing.Assessment
	const most = sizing.DeliverySection | sizing.InjectionSection | sizing.IdleSection | sizing.InletSection | sizing.LoadsSection | sizing.PartsSection
	i := 0
	assess := func() {
		if err := v.Assess(i%v.Len(), most, &a); err != nil {
			t.Fatal(err)
		}
		i++
	}
	assess() // makes room
	if n := testing.AllocsPerRun(100, assess); n != 0 {
		t.Errorf("%v allocations at a point", n)
	}
}
