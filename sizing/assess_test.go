package sizing_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol*math.Abs(want) }

func open(t testing.TB, name string) sizing.Build {
	t.Helper()
	b, err := sizing.Open("../testdata/sheets/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func assess(t testing.TB, b sizing.Build) *sizing.Assessment {
	t.Helper()
	a, err := sizing.Assess(b)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// starved is the turbocharged build on one small pump.
func starved(t testing.TB) sizing.Build {
	b := open(t, "turbo.toml")
	b.Pumps[0].Count = 1
	return b
}

// TestStaticFlowNeeded checks the rule that sizes injectors: 850 hp at
// 0.85 lb/(hp h), duty 0.85 and six injectors is 141.7 lb/h each. Common
// practice, no source.
func TestStaticFlowNeeded(t *testing.T) {
	b := open(t, "turbo.toml")
	b = b.AtPower(850 * quantity.Horsepower)
	b.Target.Allowance = 0
	b.Fuel.BSFC = 0.85 * quantity.PoundPerHorsepowerHour
	b.Policy.Route = demand.Power
	in := assess(t, b).Injection
	if got := in.RuleOfThumb.In(quantity.PoundPerHour); math.Abs(got-141.7) > 0.05 {
		t.Errorf("got %.2f lb/h, want 141.7", got)
	}
	if in.StaticNeeded <= in.RuleOfThumb {
		t.Errorf("with dead time counted %v is needed, not more than %v without", in.StaticNeeded, in.RuleOfThumb)
	}
}

// TestRoutesByHand follows the three routes of the demo build with arithmetic of
// its own, from the sheet's numbers.
func TestRoutesByHand(t *testing.T) {
	a := assess(t, open(t, "turbo.toml"))
	const (
		watts    = 640 * 745.699871582
		manifold = 100500 + 22*6894.757293168
		charge   = 48 + 273.15
	)
	f := a.Build.Fuel.Blend
	air := 0.98 * 3.4e-3 * 7200 / 120 * manifold / (8.314462618 / 0.0289644 * charge)
	if !near(float64(a.Demand.Air), air, 1e-9) {
		t.Errorf("air %v, want %v kg/s", a.Demand.Air, air)
	}
	for _, tt := range []struct {
		route     string
		got, want float64
	}{
		{"air", float64(a.Demand.Routes.Air), air / (0.80 * float64(f.StoichiometricAFR()))},
		{"energy", float64(a.Demand.Routes.Energy), watts / (0.29 * float64(f.Completeness(0.8)) * float64(f.LHV()))},
		{"power", float64(a.Demand.Routes.Power), watts * float64(demand.BSFC(demand.Turbocharged, f).High)},
		{"total", float64(a.Demand.Total), 1.1 * float64(max(a.Demand.Routes.Air, a.Demand.Routes.Energy, a.Demand.Routes.Power))},
	} {
		if !near(tt.got, tt.want, 1e-9) {
			t.Errorf("%s: %v kg/s, want %v", tt.route, tt.got, tt.want)
		}
	}
}

// TestBalance closes the volume balance at the rail for every kind of regulator,
// with pumps that carry and pumps that do not.
func TestBalance(t *testing.T) {
	for _, kind := range []regulator.Kind{regulator.ManifoldReferenced, regulator.Fixed, regulator.Returnless} {
		for count := 1; count <= 3; count++ {
			t.Run(fmt.Sprintf("%s, %d pumps", kind, count), func(t *testing.T) {
				b := open(t, "turbo.toml")
				b.Regulator.Kind = kind
				b.Regulator.BasePressure = 70 * quantity.PSI
				b.Pumps[0].Count = count
				a := assess(t, b)
				d := a.Delivery
				used := float64(d.Delivered.Volume(a.Demand.Density))
				if got := float64(d.PumpFlow - d.Return); !near(got, used, 1e-7) {
					t.Errorf("pumps less return %v, injectors %v m³/s", got, used)
				}
				if got := float64(d.PumpOutlet.Above(d.Rail)); d.Sags || kind != regulator.Returnless {
					if !near(got, float64(d.LineLoss), 1e-6) {
						t.Errorf("outlet over rail %v, line loss %v", got, d.LineLoss)
					}
				}
				if d.Sags != (d.Rail < d.SetRail) {
					t.Errorf("sags %v, rail %v of %v", d.Sags, d.Rail, d.SetRail)
				}
				if got, want := float64(d.Supported/a.Power), float64(d.Delivered/a.Demand.Total); !near(got, want, 1e-12) {
					t.Errorf("supported share %v, delivered share %v", got, want)
				}
			})
		}
	}
}

// TestSag checks that a rail short of pump sags to the pressure at which the
// pumps' supply at the outlet and the orifice flow of the injectors agree.
func TestSag(t *testing.T) {
	a := assess(t, starved(t))
	d := a.Delivery
	if !d.Sags || d.Supported >= a.Power || a.Status() != sizing.Short {
		t.Fatalf("sags %v, supported %v, status %s", d.Sags, d.Supported, a.Status())
	}
	// Injectors opened as at the set pressure pass the square root of the
	// differential pressures' ratio.
	ratio := math.Sqrt(float64(d.Rail.Above(a.Manifold) / d.SetRail.Above(a.Manifold)))
	if got := float64(d.Delivered / a.Demand.Total); !near(got, ratio, 1e-6) {
		t.Errorf("delivered share %v, square-root law %v", got, ratio)
	}
	if w := warning(a, sizing.RailSags); w == nil || !w.Grave {
		t.Error("no grave warning of the sagging rail")
	}
}

func warning(a *sizing.Assessment, c sizing.Concern) *sizing.Warning {
	for _, w := range a.Warnings {
		if w.Concern == c {
			return &w
		}
	}
	return nil
}

// TestLimits assesses the build again at the power at which each part is said to
// run out, and wants its margin to be nil there; and the wanted one where it is
// said to be kept.
func TestLimits(t *testing.T) {
	builds := map[string]sizing.Build{"turbo": open(t, "turbo.toml"), "natural": open(t, "natural.toml"), "starved": starved(t)}
	fixed := open(t, "turbo.toml")
	fixed.Regulator.Kind, fixed.Regulator.BasePressure = regulator.Fixed, 70*quantity.PSI
	builds["fixed"] = fixed
	for name, b := range builds {
		// The demand must follow power in proportion, as the limits take it to:
		// size on the power route.
		b.Policy.Route = demand.Power
		if name == "natural" {
			b.Engine.VolumetricEfficiency = 0.6 // room for the power at which its pump runs out
		}
		a := assess(t, b)
		for _, p := range a.Parts {
			if !p.Limited {
				continue
			}
			t.Run(name+" "+p.Kind.String(), func(t *testing.T) {
				at := func(power quantity.CrankPower) float64 {
					q, ok := assess(t, a.Build.AtPower(power)).Part(p.Kind)
					if !ok {
						t.Fatal("part is gone")
					}
					return float64(q.Margin)
				}
				if got := at(p.Limit); math.Abs(got) > 1e-6 {
					t.Errorf("margin %v at the limit %v", got, p.Limit)
				}
				if got := at(p.Keeps); math.Abs(got-float64(p.Wanted)) > 1e-6 {
					t.Errorf("margin %v at %v, want %v", got, p.Keeps, p.Wanted)
				}
				if (p.Margin >= 0) != (p.Limit >= a.Power) {
					t.Errorf("margin %v, limit %v, target %v", p.Margin, p.Limit, a.Power)
				}
			})
		}
	}
}

// TestMarginsFall wants every margin to fall as power rises.
func TestMarginsFall(t *testing.T) {
	b := open(t, "turbo.toml")
	var last *sizing.Assessment
	for p := 300; p <= 1200; p += 50 {
		a := assess(t, b.AtPower(quantity.Of(float64(p), quantity.Horsepower)))
		if last != nil {
			for i := range a.Parts {
				if q := a.Parts[i]; q.Limited && q.Margin >= last.Parts[i].Margin {
					t.Errorf("%d hp: margin of the %s did not fall", p, q.Kind)
				}
			}
			if a.Demand.Total <= last.Demand.Total || a.Injection.Duty <= last.Injection.Duty {
				t.Errorf("%d hp: demand or duty did not rise", p)
			}
		}
		last = a
	}
}

// TestDutyAtCapability wants the injectors' margin and duty to agree: no margin
// is the largest duty allowed.
func TestDutyAtCapability(t *testing.T) {
	b := open(t, "turbo.toml")
	p, _ := assess(t, b).Part(sizing.InjectorsPart)
	a := assess(t, b.AtPower(p.Limit))
	if !near(float64(a.Injection.Duty), float64(b.Policy.MaxDuty), 1e-6) {
		t.Errorf("duty %v at the injectors' limit, want %v", a.Injection.Duty, b.Policy.MaxDuty)
	}
}

// TestUnitsDoNotMatter reads the same build in SI and in US units.
func TestUnitsDoNotMatter(t *testing.T) {
	us := assess(t, open(t, "turbo.toml"))
	si := assess(t, open(t, "turbo-si.toml"))
	for i := range us.Parts {
		if u, s := us.Parts[i], si.Parts[i]; !near(float64(u.Limit), float64(s.Limit), 1e-6) || math.Abs(float64(u.Margin-s.Margin)) > 1e-6 {
			t.Errorf("%s: limit %v and %v", u.Kind, u.Limit, s.Limit)
		}
	}
	if !near(float64(us.Demand.Total), float64(si.Demand.Total), 1e-6) {
		t.Errorf("demand %v and %v", us.Demand.Total, si.Demand.Total)
	}
}

func TestTargets(t *testing.T) {
	b := open(t, "turbo.toml")
	want := b.CrankPower()
	b.Target.Power, b.Target.WheelPower, b.Target.DrivetrainLoss = 0, want.Wheel(0.15), 0.15
	if got := b.CrankPower(); !near(float64(got), float64(want), 1e-14) {
		t.Errorf("through wheel power %v, want %v", got, want)
	}
	b.Target.WheelPower, b.Target.DrivetrainLoss, b.Target.Torque = 0, 0, want.At(b.Engine.Speed)
	if got := b.CrankPower(); !near(float64(got), float64(want), 1e-14) {
		t.Errorf("through torque %v, want %v", got, want)
	}
}

// TestFixedRailUnderBoost wants boost to eat the differential pressure of a fixed
// rail, and an honest answer where none is left.
func TestFixedRailUnderBoost(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Regulator.Kind = regulator.Fixed
	a := assess(t, b)
	if got, want := a.Injection.Differential, b.Regulator.BasePressure-b.Induction.Boost; !near(float64(got), float64(want), 1e-12) {
		t.Errorf("differential %v, want %v", got, want)
	}
	if warning(a, sizing.FixedRailBoosted) == nil {
		t.Error("no warning")
	}
	b.Regulator.BasePressure = 15 * quantity.PSI
	a = assess(t, b)
	if w := warning(a, sizing.NoDifferential); w == nil || !w.Grave || a.Delivery.Delivered != 0 || a.Delivery.Supported != 0 {
		t.Errorf("delivered %v, supported %v, warning %v", a.Delivery.Delivered, a.Delivery.Supported, w)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
}

// TestBatchFiring: two shorter pulses spend two dead times.
func TestBatchFiring(t *testing.T) {
	b := open(t, "turbo.toml")
	one := assess(t, b).Injection
	b.Injectors.Firing = sizing.Batch
	two := assess(t, b).Injection
	if !near(float64(two.Interval), float64(one.Interval)/2, 1e-14) {
		t.Errorf("interval %v after %v", two.Interval, one.Interval)
	}
	if got, want := float64(two.Duty-one.Duty), float64(one.DeadTime/one.Interval); !near(got, want, 1e-9) {
		t.Errorf("duty rises by %v, want one more dead time, %v", got, want)
	}
}

func TestWantedMarginOfNone(t *testing.T) {
	b := open(t, "natural.toml")
	b.Policy.PumpMargin = sizing.Wanted(0)
	p, _ := assess(t, b).Part(sizing.PumpsPart)
	if p.Wanted != 0 {
		t.Errorf("a wanted margin of none became %v", p.Wanted)
	}
}

// TestJSON wants every number of an assessment to survive JSON bit for bit.
func TestJSON(t *testing.T) {
	a := assess(t, open(t, "turbo.toml"))
	data, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var back sizing.Assessment
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(&back)
	if err != nil || string(again) != string(data) {
		t.Errorf("JSON changes on the way: %v\n%s\n%s", err, data, again)
	}
}

func BenchmarkAssess(b *testing.B) {
	build := open(b, "turbo.toml")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := sizing.Assess(build); err != nil {
			b.Fatal(err)
		}
	}
}

// TestReturnlessLosesTheLine wants a regulator at the pump to leave the rail, and
// the injectors, what the feed line lets through.
func TestReturnlessLosesTheLine(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Regulator.Kind, b.Regulator.BasePressure = regulator.Returnless, 70*quantity.PSI
	a := assess(t, b)
	want := b.Regulator.BasePressure - a.Delivery.LineLoss - b.Induction.Boost
	if got := a.Injection.Differential; a.Delivery.LineLoss <= 0 || !near(float64(got), float64(want), 1e-9) {
		t.Errorf("differential %v with a line loss of %v, want %v", got, a.Delivery.LineLoss, want)
	}
}

// TestWhatIf checks what each change moves, and that power and boost undo each
// other.
func TestWhatIf(t *testing.T) {
	b := open(t, "turbo.toml")
	up := b.AtBoost(30 * quantity.PSI)
	ratio := float64((30 * quantity.PSI).Above(b.Induction.Barometer) / b.Induction.Boost.Above(b.Induction.Barometer))
	if up.Induction.Boost != 30*quantity.PSI || !near(float64(up.CrankPower()), ratio*float64(b.CrankPower()), 1e-14) {
		t.Errorf("at 30 psi: boost %v, power %v", up.Induction.Boost, up.CrankPower())
	}
	if back := up.AtPower(b.CrankPower()); !near(float64(back.Induction.Boost), float64(b.Induction.Boost), 1e-12) {
		t.Errorf("back at the target the boost is %v, want %v", back.Induction.Boost, b.Induction.Boost)
	}
	natural := open(t, "natural.toml")
	more := natural.AtPower(200 * quantity.Horsepower)
	before, after := assess(t, natural).Demand, assess(t, more).Demand
	if want := float64(200 * quantity.Horsepower / natural.CrankPower()); more.Induction.Boost != 0 || !near(float64(after.Air/before.Air), want, 1e-12) {
		t.Errorf("an unboosted engine at %.3f of its power: boost %v, air %.3f", want, more.Induction.Boost, float64(after.Air/before.Air))
	}
	b.Fuel.BSFC = 0.8 * quantity.PoundPerHorsepowerHour
	e30, err := b.WithEthanol(0.3)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := float64(e30.Fuel.BSFC)*float64(e30.Fuel.Blend.LHV()), float64(b.Fuel.BSFC)*float64(b.Fuel.Blend.LHV()); !near(got, want, 1e-14) {
		t.Errorf("a measured consumption carries over as energy %v, want %v", got, want)
	}
	if _, err := b.WithEthanol(1.2); err == nil {
		t.Error("120 % ethanol was taken")
	}
}

// TestIdlePulse follows the pulse at idle with arithmetic of its own: air at
// 900 rpm, 40 kPa and a volumetric efficiency of 0.6, a stoichiometric mixture,
// the strongest injector.
func TestIdlePulse(t *testing.T) {
	b := open(t, "natural.toml")
	b.Injectors.Spread = 0.05
	a := assess(t, b)
	f := a.Build.Fuel.Blend
	air := 0.6 * 1.998e-3 * 900 / 120 * 40e3 / (8.314462618 / 0.0289644 * 303.15)
	perPulse := air / float64(f.StoichiometricAFR()) / 4 * 120 / 900
	// 420 cc/min at 3 bar on n-heptane, the rail 4 bar over ambient.
	dp := 4e5 + 101325 - 40e3
	static := 420e-6 / 60 * float64(b.Injectors.Flow.Density()) * math.Sqrt(float64(a.Demand.Density/b.Injectors.Flow.Density())*dp/3e5)
	if want := perPulse/(1.05*static) + 1e-3; !near(float64(a.Idle.Pulse), want, 1e-9) {
		t.Errorf("pulse %v, want %v s", a.Idle.Pulse, want)
	}
}
