package sizing_test

import (
	"math"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// TestNitrous wants the fuel for nitrous oxide on the parts that carry it, and on
// no other.
func TestNitrous(t *testing.T) {
	plain := assess(t, open(t, "turbo.toml")).Demand
	for circuit, want := range map[demand.FuelCircuit]struct{ injected, carried bool }{
		demand.ThroughInjectors: {true, true}, demand.FromRail: {false, true}, demand.Separate: {false, false},
	} {
		b := open(t, "turbo.toml")
		b.Nitrous = sizing.Nitrous{Flow: 40 * quantity.GramPerSecond, Fuel: circuit}
		a := assess(t, b)
		fuel := demand.FuelForNitrous(b.Fuel.Blend, b.Nitrous.Flow, b.Target.Lambda)
		if got := float64(a.Demand.Injected - plain.Injected); math.Abs(got-one(want.injected)*float64(fuel)) > 1e-15 {
			t.Errorf("%s: injectors carry %v more", circuit, got)
		}
		if got := float64(a.Demand.Total - plain.Total); math.Abs(got-one(want.carried)*float64(fuel)) > 1e-15 {
			t.Errorf("%s: pumps carry %v more", circuit, got)
		}
		if a.Delivery.Sags || !near(float64(a.Delivery.Delivered), float64(a.Demand.Total), 1e-12) {
			t.Errorf("%s: delivered %v of %v", circuit, a.Delivery.Delivered, a.Demand.Total)
		}
		if w := warning(a, sizing.NitrousSystem); w == nil || !w.Grave {
			t.Errorf("%s: no grave warning", circuit)
		}
	}
}

func one(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// TestNitrousByPower: the flow that adds a power adds that power.
func TestNitrousByPower(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Nitrous.Power = 100 * quantity.Horsepower
	byPower := assess(t, b).Demand.Added
	b.Nitrous = sizing.Nitrous{Flow: byPower.Nitrous}
	if got := assess(t, b).Demand.Added.NitrousPower; !near(float64(got), float64(100*quantity.Horsepower), 1e-12) {
		t.Errorf("back from the flow: %v", got)
	}
}

// TestLimitsWithAddedDemand: the added fuel does not move with power, so limits are
// not in proportion; they still have to be where the margins vanish.
func TestLimitsWithAddedDemand(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Policy.Route = demand.Power
	b.Nitrous = sizing.Nitrous{Flow: 40 * quantity.GramPerSecond, Fuel: demand.FromRail, Lambda: 0.8}
	a := assess(t, b)
	for _, p := range a.Parts {
		if !p.Limited {
			continue
		}
		q, _ := assess(t, a.Build.AtPower(p.Limit)).Part(p.Kind)
		if math.Abs(float64(q.Margin)) > 1e-6 {
			t.Errorf("%s: margin %v at the limit", p.Kind, q.Margin)
		}
	}
}

func TestWaterMethanol(t *testing.T) {
	b := open(t, "turbo.toml")
	plain := assess(t, b).Demand
	b.WaterMethanol.Flow = 600 * quantity.CCPerMinute
	shown := assess(t, b)
	if shown.Demand.Total != plain.Total || shown.Demand.Added.Replaced <= 0 || shown.Demand.Added.Credited != 0 {
		t.Errorf("a credit that is only shown: total %v of %v, %+v", shown.Demand.Total, plain.Total, shown.Demand.Added)
	}
	b.WaterMethanol.Credit = sizing.Taken
	taken := assess(t, b)
	if got, want := float64(plain.Total-taken.Demand.Total), 1.1*float64(shown.Demand.Added.Replaced); !near(got, want, 1e-9) {
		t.Errorf("a credit taken lowers the demand by %v, want %v", got, want)
	}
	// The same air on less fuel.
	if got, want := float64(taken.Demand.Added.LeanTo), 0.8*float64(plain.Needed)/float64(plain.Needed-shown.Demand.Added.Replaced); !near(got, want, 1e-12) {
		t.Errorf("without the injection lambda %v, want %v", got, want)
	}
	if w := warning(taken, sizing.MethanolCredit); w == nil || !w.Grave {
		t.Error("a credit taken is no grave matter")
	}
}

// TestStagedSets splits one set of six into two of three, which must change
// nothing where both open equally, and checks that a second set adds its flow.
func TestStagedSets(t *testing.T) {
	b := open(t, "turbo.toml")
	whole := assess(t, b)
	b.Injectors.Count = 3
	b.Secondary = &sizing.Secondary{Count: 3, Flow: b.Injectors.Flow, Spread: b.Injectors.Spread, Start: 0.3}
	split := assess(t, b)
	w, _ := whole.Part(sizing.InjectorsPart)
	s, _ := split.Part(sizing.InjectorsPart)
	if !near(float64(s.Capability), float64(w.Capability), 1e-12) || !near(float64(s.Limit), float64(w.Limit), 1e-9) {
		t.Errorf("two halves carry %v to %v, the whole %v to %v", s.Capability, s.Limit, w.Capability, w.Limit)
	}
	in := split.Injection
	if in.Secondary == nil || !near(float64(in.Duty), float64(whole.Injection.Duty), 1e-9) || !near(float64(in.Secondary.Duty), float64(in.Duty), 1e-9) {
		t.Errorf("duties %v and %+v, want %v", in.Duty, in.Secondary, whole.Injection.Duty)
	}
	b.Secondary.Staging = demand.HoldPrimary
	held := assess(t, b.AtPower(380*quantity.Horsepower)).Injection
	if !near(float64(held.Duty), 0.3, 1e-9) || held.Secondary.Duty <= held.Duty {
		t.Errorf("held at 30 %%: duties %v and %v", held.Duty, held.Secondary.Duty)
	}
	// Too small for the demand, the duties say so.
	small := assess(t, b.AtPower(900*quantity.Horsepower))
	if small.Injection.Duty <= b.Policy.MaxDuty && small.Injection.Secondary.Duty <= b.Policy.MaxDuty || small.Status() != sizing.Short {
		t.Errorf("short of injectors, yet duties %v and %v", small.Injection.Duty, small.Injection.Secondary.Duty)
	}
	if b.Secondary.DeadTime != nil {
		t.Error("the caller's second set was changed")
	}
}
