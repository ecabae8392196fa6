package sizing_test

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/sizing"
)

// TestTrialsAreAssess wants the numbers of a trial to be those of an assessment of its
// build, to the last bit, over fields of all kinds.
func TestTrialsAreAssess(t *testing.T) {
	all := axesOfAllKinds(t)
	r := rand.New(rand.NewPCG(5, 5))
	good := 0
	for round := range 150 {
		b := open(t, []string{"turbo.toml", "natural.toml", "turbo-si.toml"}[round%3])
		var fields []sizing.Field
		var values []float64
		for _, k := range r.Perm(len(all))[:1+r.IntN(6)] {
			fields = append(fields, all[k].Field)
			values = append(values, all[k].Values[r.IntN(len(all[k].Values))])
		}
		trials, err := sizing.NewTrials(b, fields...)
		if err != nil {
			t.Fatal(err)
		}
		var got sizing.Assessment
		err = trials.Assess(values, sizing.EverySection, &got)
		built, buildErr := trials.Build(values)
		var want *sizing.Assessment
		if buildErr == nil {
			want, buildErr = sizing.Assess(built)
		}
		if (err == nil) != (buildErr == nil) {
			t.Fatalf("%v, alone %v", err, buildErr)
		}
		if err != nil {
			continue
		}
		good++
		got.Build, want.Build, want.Assumptions, want.Warnings = sizing.Build{}, sizing.Build{}, nil, nil
		if !reflect.DeepEqual(&got, want) {
			t.Fatalf("%+v\nalone\n%+v", got, want)
		}
	}
	if good < 50 {
		t.Errorf("only %d trials made sense", good)
	}
}

func TestTrialsErrors(t *testing.T) {
	b := open(t, "turbo.toml")
	boost, blend := axis(t, "boost").Field, func() sizing.Field { f, _ := sizing.FieldNamed("blend"); return f }()
	if _, err := sizing.NewTrials(b, blend); err == nil || !strings.Contains(err.Error(), "no number") {
		t.Errorf("a field of text: %v", err)
	}
	if _, err := sizing.NewTrials(b, boost, boost); err == nil || !strings.Contains(err.Error(), "twice") {
		t.Errorf("a field twice: %v", err)
	}
	b.Pumps = nil
	if _, err := sizing.NewTrials(b, boost); err == nil || !strings.Contains(err.Error(), "pumps") {
		t.Errorf("no pumps: %v", err)
	}
}

// BenchmarkTrials draws all that a sheet is usually in doubt about.
func BenchmarkTrials(b *testing.B) {
	build := open(b, "turbo.toml")
	var fields []sizing.Field
	for _, name := range []string{"ethanol", "fuel temperature", "engine.volumetric_efficiency", "engine.brake_efficiency", "charge temperature", "voltage", "pumps.wear", "injector size"} {
		fields = append(fields, axis(b, name).Field)
	}
	trials, err := sizing.NewTrials(build, fields...)
	if err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 1))
	var a sizing.Assessment
	b.ReportAllocs()
	for b.Loop() {
		u := r.Float64()
		values := [...]float64{0.6 + 0.2*u, 290 + 20*u, 0.9 + 0.1*u, 0.27 + 0.04*u, 310 + 20*u, 12.5 + u, 0.1 * u, 2.4e-5 + 2e-6*u}
		if err := trials.Assess(values[:], sizing.DeliverySection|sizing.InjectionSection, &a); err != nil {
			b.Fatal(err)
		}
	}
}

// TestTrialsCheckWiring: what a trial does not make anew is checked all the same.
func TestTrialsCheckWiring(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Pumps = append([]sizing.Pump(nil), b.Pumps...)
	b.Pumps[0].Wiring = &sizing.Wiring{Length: 3, Conductor: open(t, "surge.toml").Pumps[0].Wiring.Conductor}
	trials, err := sizing.NewTrials(b, axis(t, "pumps.wear").Field)
	if err == nil {
		var a sizing.Assessment
		err = trials.Assess([]float64{0.1}, 0, &a)
	}
	if err == nil || !strings.Contains(err.Error(), "current") {
		t.Errorf("wiring before pumps whose current is not known: %v", err)
	}
}
