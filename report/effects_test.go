package report

import (
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// writerOf makes a writer of a build as Make does, without a document.
func writerOf(t testing.TB, b sizing.Build) *writer {
	t.Helper()
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	return &writer{a: a, sys: a.Build.Job.Units}
}

func openSheet(t testing.TB, path string) sizing.Build {
	t.Helper()
	b, err := sizing.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestEveryAssumptionHasARange wants a range of every assumption that any build makes, and
// both of its ends to be assessed.
func TestEveryAssumptionHasARange(t *testing.T) {
	var builds []sizing.Build
	for _, name := range []string{"turbo", "natural", "doubt", "driven", "lift", "speed", "surge"} {
		builds = append(builds, openSheet(t, "../testdata/sheets/"+name+".toml"))
	}
	bare := openSheet(t, "../testdata/sheets/surge.toml")
	bare.Pumps = append([]sizing.Pump(nil), bare.Pumps...)
	for i := range bare.Pumps {
		w := bare.Pumps[i].Wiring
		bare.Pumps[i].Wiring = &sizing.Wiring{Conductor: w.Conductor, Length: w.Length}
	}
	bare.Electrical = sizing.Electrical{}
	bare.Secondary = &sizing.Secondary{Flow: bare.Injectors.Flow, Start: 0.5}
	bare.Nitrous = sizing.Nitrous{Power: 50 * quantity.Horsepower}
	bare.WaterMethanol = sizing.WaterMethanol{Flow: 500 * quantity.CCPerMinute}
	builds = append(builds, bare)
	hot := openSheet(t, "../testdata/sheets/speed.toml")
	hot.Induction.AmbientTemperature, hot.Regulator.LeastSpeed = 0, 0
	builds = append(builds, hot)
	seen := map[string]bool{}
	for _, b := range builds {
		w := writerOf(t, b)
		for i, e := range w.effects() {
			x := w.a.Assumptions[i]
			seen[elements.ReplaceAllString(strings.Split(x.Field, ", ")[0], "")] = true
			if !e.known {
				t.Errorf("%s: %q has no range", w.a.Build.Job.Name, x.Text)
				continue
			}
			for k, a := range e.ends {
				if a == nil {
					t.Errorf("%s: %q cannot be assessed at end %d of %s", w.a.Build.Job.Name, x.Text, k+1, e.says())
				}
			}
			if len(e.ends) == 0 || e.says() == "" {
				t.Errorf("%s: %q has no ends", w.a.Build.Job.Name, x.Text)
			}
		}
	}
	for path := range ranges {
		if !seen[path] && path != "suction.roughness" && path != "return_line.roughness" && path != "injectors.wiring.temperature" && path != "injectors.wiring.contacts" && path != "induction.barometer" {
			t.Errorf("no build assumes %s, so that its range is not tested", path)
		}
	}
}

// TestEffects holds the effects against what they have to be by arithmetic: the air route
// moves with the volumetric efficiency, the energy route against the brake efficiency, and
// demand with the allowance.
func TestEffects(t *testing.T) {
	b := openSheet(t, "../testdata/sheets/natural.toml")
	b.Policy.Route = 0 // the highest
	w := writerOf(t, b)
	of := func(field string) effect {
		t.Helper()
		for i, x := range w.a.Assumptions {
			if x.Field == field || field == "" && strings.HasPrefix(x.Text, fuelByPower) {
				return w.effects()[i]
			}
		}
		t.Fatalf("no assumption stands in for %s", field)
		return effect{}
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if d := got/want - 1; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	base := w.a.Demand
	ve := of("engine.volumetric_efficiency")
	near("air route at 85 % in place of 95 %", float64(ve.ends[0].Demand.Routes.Air/base.Routes.Air), 0.85/0.95)
	near("air route at 105 %", float64(ve.ends[1].Demand.Routes.Air/base.Routes.Air), 1.05/0.95)
	eta := float64(w.a.Build.Engine.BrakeEfficiency)
	near("energy route at 3 points less", float64(of("engine.brake_efficiency").ends[0].Demand.Routes.Energy/base.Routes.Energy), eta/(eta-0.03))
	more := of("")
	near("demand with 5 % more fuel", float64(more.ends[0].Demand.Volume/base.Volume), 1.05)
	near("power at which the injectors then run out", float64(more.ends[0].Weakest().Limit/w.a.Weakest().Limit), 1/1.05)
	if got := more.demand(w.a) + " | " + more.limit(w); got != "+5.0 % | "+quantity.Format(quantity.CrankPower(float64(w.a.Weakest().Limit)/1.05), quantity.SI) {
		t.Errorf("in words: %s", got)
	}
	if idle := of("engine.idle_manifold_pressure"); idle.demand(w.a) != "0" || !strings.HasPrefix(idle.elsewhere, "Idle pulse: ") {
		t.Errorf("idle manifold pressure: demand %s, elsewhere %q", idle.demand(w.a), idle.elsewhere)
	}
	if pump := of("electrical.pump_voltage"); !strings.Contains(pump.elsewhere, "given for one voltage") {
		t.Errorf("pumps with one curve: %q", pump.elsewhere)
	}
}

func TestSigned(t *testing.T) {
	for m, want := range map[quantity.Ratio]string{0: "0 %", -0.0003: "0 %", 0.0049: "+0.5 %", -0.004: "−0.4 %", 0.117: "+12 %", -0.53: "−53 %"} {
		if got := signed(m); got != want {
			t.Errorf("%v: %q, want %q", m, got, want)
		}
	}
}
