package sizing_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/railbook/sizing"
)

// term is a term and where an assessment has it.
var termsOf = []struct {
	name string
	term sizing.Term
	of   func(*sizing.Assessment) float64
}{
	{"power route", sizing.PowerRouteTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.Routes.Power) }},
	{"energy route", sizing.EnergyRouteTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.Routes.Energy) }},
	{"air route", sizing.AirRouteTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.Routes.Air) }},
	{"needed", sizing.NeededTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.Needed) }},
	{"total", sizing.TotalTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.Total) }},
	{"volume", sizing.VolumeTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.Volume) }},
	{"BSFC", sizing.BSFCTerm, func(a *sizing.Assessment) float64 { return float64(a.Demand.BSFC) }},
	{"power", sizing.PowerTerm, func(a *sizing.Assessment) float64 { return float64(a.Power) }},
	{"differential", sizing.DifferentialTerm, func(a *sizing.Assessment) float64 { return float64(a.Injection.Differential) }},
	{"static", sizing.StaticTerm, func(a *sizing.Assessment) float64 { return float64(a.Injection.Static) }},
	{"pulse", sizing.PulseTerm, func(a *sizing.Assessment) float64 { return float64(a.Injection.Pulse) }},
	{"duty", sizing.DutyTerm, func(a *sizing.Assessment) float64 { return float64(a.Injection.Duty) }},
	{"injector margin", sizing.InjectorMarginTerm, func(a *sizing.Assessment) float64 {
		p, _ := a.Part(sizing.InjectorsPart)
		return float64(p.Margin)
	}},
}

// TestTermsAreAssess wants terms to be those of an assessment, to the last bit: alone
// and together, from any point on, over axes of all kinds, and with long axes whose
// combinations are not kept.
func TestTermsAreAssess(t *testing.T) {
	all := axesOfAllKinds(t)
	r := rand.New(rand.NewPCG(11, 3))
	known := 0
	for round := range 200 {
		b := open(t, []string{"turbo.toml", "natural.toml", "turbo-si.toml"}[round%3])
		if round%5 == 4 {
			b.WaterMethanol.Flow, b.WaterMethanol.Credit, b.Nitrous.Flow = 5e-6, sizing.Taken, 0.02
		}
		axes := make([]sizing.Axis, 0, 4)
		for _, k := range r.Perm(len(all))[:1+r.IntN(4)] {
			axes = append(axes, all[k])
		}
		var names []string
		for _, a := range axes {
			names = append(names, a.Field.Name())
		}
		v, err := sizing.Vary(b, axes...)
		if err != nil || !v.TermsKnown() {
			continue
		}
		known++
		t.Run(strings.Join(names, ", "), func(t *testing.T) { termsAgree(t, v, r) })
	}
	if known < 30 {
		t.Errorf("terms were known in %d sweeps only", known)
	}
}

// TestTermsOfLongAxes has more combinations of what moves the injectors than are kept.
func TestTermsOfLongAxes(t *testing.T) {
	for _, fields := range [][2]string{{"ethanol", "base pressure"}, {"base pressure", "ethanol"}, {"boost", "ethanol"}, {"ethanol", "boost"}} {
		var axes []sizing.Axis
		for _, name := range fields {
			a := axis(t, name)
			low, high := map[string]float64{"ethanol": 0.01, "base pressure": 2e5, "boost": 2e4}[name], map[string]float64{"ethanol": 0.9, "base pressure": 6e5, "boost": 2e5}[name]
			for i := range 1100 {
				a.Values = append(a.Values, low+(high-low)*float64(i)/1099)
			}
			axes = append(axes, a)
		}
		v, err := sizing.Vary(open(t, "turbo.toml"), axes...)
		if err != nil || !v.TermsKnown() {
			t.Fatalf("%v: %v", fields, err)
		}
		termsAgree(t, v, rand.New(rand.NewPCG(1, 2)))
	}
}

func termsAgree(t *testing.T, v *sizing.Variation, r *rand.Rand) {
	t.Helper()
	var scratch sizing.Scratch
	var a sizing.Assessment
	for range 6 {
		first := r.IntN(v.Len())
		n := min(v.Len()-first, 1+r.IntN(700))
		var want []sizing.Term
		for _, k := range r.Perm(len(termsOf))[:1+r.IntN(len(termsOf))] {
			want = append(want, termsOf[k].term)
		}
		into := make([][]float64, len(want))
		for c := range into {
			into[c] = make([]float64, n)
		}
		v.Terms(first, want, into, &scratch)
		for range 40 {
			k := r.IntN(n)
			if err := v.Assess(first+k, sizing.PartsSection|sizing.InjectionSection, &a); err != nil {
				t.Fatal(err)
			}
			for c, term := range want {
				if got, alone := into[c][k], termsOf[term].of(&a); got != alone {
					t.Fatalf("%s at point %d of %d: %v, assessed %v", termsOf[term].name, first+k, v.Len(), got, alone)
				}
			}
		}
	}
}

// BenchmarkTerms finds terms over grids of four million points.
func BenchmarkTerms(b *testing.B) {
	seven := []sizing.Term{sizing.TotalTerm, sizing.VolumeTerm, sizing.PowerTerm, sizing.DifferentialTerm, sizing.PulseTerm, sizing.DutyTerm, sizing.InjectorMarginTerm}
	for _, g := range []struct {
		name   string
		fields []string
		n      int
	}{
		{"boost, ethanol", []string{"boost", "ethanol"}, 2000},
		{"ethanol, boost", []string{"ethanol", "boost"}, 2000},
		{"boost, ethanol, base pressure", []string{"boost", "ethanol", "base pressure"}, 159},
	} {
		var axes []sizing.Axis
		for _, name := range g.fields {
			a := axis(b, name)
			low, high := map[string]float64{"ethanol": 0.01, "base pressure": 2e5, "boost": 2e4}[name], map[string]float64{"ethanol": 0.9, "base pressure": 6e5, "boost": 2e5}[name]
			for i := range g.n {
				a.Values = append(a.Values, low+(high-low)*float64(i)/float64(g.n-1))
			}
			axes = append(axes, a)
		}
		v, err := sizing.Vary(open(b, "turbo.toml"), axes...)
		if err != nil || !v.TermsKnown() {
			b.Fatal(err)
		}
		for _, w := range []struct {
			name  string
			terms []sizing.Term
		}{{"duty", []sizing.Term{sizing.DutyTerm}}, {"seven", seven}} {
			b.Run(g.name+"/"+w.name, func(b *testing.B) {
				var scratch sizing.Scratch
				const block = 1024
				into := make([][]float64, len(w.terms))
				for c := range into {
					into[c] = make([]float64, block)
				}
				points := 0
				for b.Loop() {
					for first := 0; first+block <= v.Len(); first += block {
						v.Terms(first, w.terms, into, &scratch)
						points += block
					}
				}
				b.ReportMetric(float64(points)/b.Elapsed().Seconds()/1e6, "Mpoints/s")
			})
		}
	}
}

// BenchmarkVary prepares two axes of two thousand values.
func BenchmarkVary(b *testing.B) {
	build := open(b, "turbo.toml")
	for _, name := range []string{"boost", "ethanol", "base pressure"} {
		b.Run(name, func(b *testing.B) {
			a := axis(b, name)
			low, high := map[string]float64{"ethanol": 0.01, "base pressure": 2e5, "boost": 2e4}[name], map[string]float64{"ethanol": 0.9, "base pressure": 6e5, "boost": 2e5}[name]
			for i := range 2000 {
				a.Values = append(a.Values, low+(high-low)*float64(i)/1999)
			}
			for b.Loop() {
				if _, err := sizing.Vary(build, a); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(b.N)/2000, "ns/value")
		})
	}
}
