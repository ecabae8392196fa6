package sizing_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
	"example.com/railbook/sizing/wiring"
)

// draw makes random values.
type draw struct{ *rand.Rand }

// pick is a value between low and high, by its logarithm where both are positive.
func pick[Q quantity.Quantity](r draw, low, high Q) Q {
	if low > 0 {
		return Q(float64(low) * math.Pow(float64(high)/float64(low), r.Float64()))
	}
	return low + Q(r.Float64()*float64(high-low))
}

// maybe is pick, or zero half of the time.
func maybe[Q quantity.Quantity](r draw, low, high Q) Q {
	if r.IntN(2) == 0 {
		return 0
	}
	return pick(r, low, high)
}

func (r draw) segment() sizing.Segment {
	s := sizing.Segment{
		Bore: pick(r, 2*quantity.Millimetre, 60*quantity.Millimetre), Length: pick(r, 10*quantity.Millimetre, 50*quantity.Metre),
		LossCoefficient: maybe[quantity.Ratio](r, 0.1, 200), Rise: maybe(r, -5*quantity.Metre, 5*quantity.Metre), Ahead: maybe(r, -20*quantity.Metre, 20*quantity.Metre),
	}
	s.Roughness = maybe(r, 0.01*quantity.Micrometre, min(500*quantity.Micrometre, quantity.Of(0.05, s.Bore)))
	switch r.IntN(5) {
	case 0:
		s.Bore, s.Roughness = 0, 0
		s.Dash, _ = plumbing.DashHose(2 + r.IntN(30))
	case 1:
		s = sizing.Segment{Filter: plumbing.Filter{Flow: pick(r, 10*quantity.LitrePerHour, 3000*quantity.LitrePerHour), Drop: pick(r, 0.1*quantity.KilopascalDiff, 80*quantity.KilopascalDiff)}}
	}
	return s
}

func (r draw) segments() []sizing.Segment {
	list := make([]sizing.Segment, r.IntN(4))
	for i := range list {
		list[i] = r.segment()
	}
	return list
}

func (r draw) wiring() *sizing.Wiring {
	w := &sizing.Wiring{
		Length: pick(r, 0.05*quantity.Metre, 50*quantity.Metre), Return: maybe(r, 0.01*quantity.Metre, 50*quantity.Metre),
		Temperature: maybe(r, quantity.Celsius(-40), quantity.Celsius(150)), Allowance: maybe[quantity.Ratio](r, 0.01, 1),
		Contacts: maybe(r, 1*quantity.Milliohm, 1000*quantity.Milliohm), Feeds: sizing.Feeds(r.IntN(2)),
	}
	w.Conductor, _ = wiring.AWG(r.IntN(28) - 3)
	return w
}

// curves is one to three curves that fall with pressure and rise with voltage.
func (r draw) curves(amps bool) []sizing.PumpCurve {
	flow, pressure, current := pick(r, 5*quantity.LitrePerHour, 3000*quantity.LitrePerHour), pick(r, 20*quantity.KilopascalDiff, 900*quantity.KilopascalDiff), pick(r, 0.5*quantity.Ampere, 60*quantity.Ampere)
	list := make([]sizing.PumpCurve, 1+r.IntN(3))
	points := 2 + r.IntN(4)
	sag := 0.05 + 0.95*r.Float64()
	for i := range list {
		up := 1 + 0.3*float64(i)
		list[i].Voltage = quantity.Of(9+2.5*float64(i), quantity.Volt)
		for k := range points {
			x := float64(k) / float64(points-1)
			p := pump.Point{Flow: quantity.Of(up*(1-sag*x*x), flow), Pressure: quantity.Of(0.1+x, pressure)}
			if amps {
				p.Current = quantity.Of(up*(0.4+x), current)
			}
			list[i].Points = append(list[i].Points, p)
		}
	}
	return list
}

func (r draw) pump() sizing.Pump {
	p := sizing.Pump{Count: r.IntN(4), Wear: maybe[quantity.Ratio](r, 0.01, 0.9), Relief: maybe(r, 10*quantity.PSI, 300*quantity.PSI)}
	switch r.IntN(3) {
	case 0:
		p.Mechanical = &sizing.Mechanical{
			Displacement: pick(r, 0.05*quantity.CubicCentimetre, 200*quantity.CubicCentimetre), Drive: pick[quantity.Ratio](r, 0.05, 10), Efficiency: pick[quantity.Ratio](r, 0.2, 1),
			TestSpeed: pick(r, 50*quantity.RPM, 25000*quantity.RPM), TestPressure: pick(r, 1*quantity.PSI, 300*quantity.PSI), GreatestSpeed: maybe(r, 50*quantity.RPM, 25000*quantity.RPM),
		}
	case 1:
		p.Curves, p.Wiring = r.curves(true), r.wiring()
	default:
		p.Curves = r.curves(r.IntN(2) == 0)
	}
	return p
}

// changes are what a random build may have otherwise than its sheet; each leaves fields
// within their limits.
var changes = []func(r draw, b *sizing.Build){
	func(r draw, b *sizing.Build) { b.Engine.Displacement = pick(r, 0.05*quantity.Litre, 30*quantity.Litre) },
	func(r draw, b *sizing.Build) { b.Engine.Cylinders, b.Injectors.Count = 1+r.IntN(24), r.IntN(49) },
	func(r draw, b *sizing.Build) { b.Engine.Strokes = []int{0, 2, 4}[r.IntN(3)] },
	func(r draw, b *sizing.Build) { b.Engine.Speed = pick(r, 500*quantity.RPM, 25000*quantity.RPM) },
	func(r draw, b *sizing.Build) {
		b.Engine.IdleSpeed, b.Engine.IdlePressure = pick(r, 300*quantity.RPM, 5000*quantity.RPM), pick(r, 10*quantity.Kilopascal, 105*quantity.Kilopascal)
	},
	func(r draw, b *sizing.Build) {
		b.Target = sizing.Target{Lambda: b.Target.Lambda, Power: pick(r, 1*quantity.Horsepower, 5000*quantity.Horsepower)}
	},
	func(r draw, b *sizing.Build) {
		b.Target.Lambda, b.Target.Allowance = pick[quantity.Ratio](r, 0.6, 1.2), maybe[quantity.Ratio](r, 0.01, 1)
	},
	func(r draw, b *sizing.Build) {
		b.Target.Correction, b.Target.DynoBarometer, b.Target.DynoTemperature = air.ISO1585, pick(r, 50*quantity.Kilopascal, 110*quantity.Kilopascal), pick(r, quantity.Celsius(-40), quantity.Celsius(60))
	},
	func(r draw, b *sizing.Build) {
		if b.Induction.Kind.Boosted() {
			b.Induction.Boost = pick(r, 0.1*quantity.PSI, 100*quantity.PSI)
		}
	},
	func(r draw, b *sizing.Build) {
		b.Induction.Barometer, b.Induction.Altitude = maybe(r, 50*quantity.Kilopascal, 110*quantity.Kilopascal), pick(r, -500*quantity.Metre, 5000*quantity.Metre)
	},
	func(r draw, b *sizing.Build) {
		b.Induction.AmbientTemperature, b.Induction.Humidity = pick(r, quantity.Celsius(-40), quantity.Celsius(60)), maybe[quantity.Ratio](r, 0.01, 1)
	},
	func(r draw, b *sizing.Build) {
		names := []string{"gasoline", "E10", "E30", "E85", "E100", "methanol", "M15", "n-heptane", "toluene", "isooctane", "50 % toluene + 50 % isooctane"}
		b.Fuel.Blend, _ = fuel.Parse(names[r.IntN(len(names))])
	},
	func(r draw, b *sizing.Build) {
		b.Fuel.Temperature, b.Tank.Temperature = maybe(r, quantity.Celsius(-40), quantity.Celsius(100)), maybe(r, quantity.Celsius(-40), quantity.Celsius(90))
	},
	func(r draw, b *sizing.Build) {
		b.Fuel.BSFC = maybe(r, 150*quantity.GramPerKilowattHour, 2500*quantity.GramPerKilowattHour)
	},
	func(r draw, b *sizing.Build) {
		b.Electrical = sizing.Electrical{Voltage: maybe(r, 6*quantity.Volt, 60*quantity.Volt), PumpVoltage: maybe(r, 6*quantity.Volt, 60*quantity.Volt), Supply: maybe(r, 6*quantity.Volt, 60*quantity.Volt)}
	},
	func(r draw, b *sizing.Build) {
		b.Vehicle.Acceleration = pick(r, -6*quantity.StandardGravity, 6*quantity.StandardGravity)
	},
	func(r draw, b *sizing.Build) {
		b.Tank.Fuel, b.Tank.Cooling, b.Tank.Head = maybe(r, 0.2*quantity.Litre, 2000*quantity.Litre), maybe(r, 1*quantity.Minute, 1000*quantity.Hour), pick(r, -2*quantity.Metre, 5*quantity.Metre)
	},
	func(r draw, b *sizing.Build) {
		b.Injectors.Flow, _ = injector.NewRating(pick(r, 20*quantity.CCPerMinute, 10000*quantity.CCPerMinute), injector.Conditions{Pressure: pick(r, 100*quantity.KilopascalDiff, 600*quantity.KilopascalDiff)})
	},
	func(r draw, b *sizing.Build) {
		b.Injectors.DeadTime = []injector.DeadTimePoint{{Time: pick(r, 0.01*quantity.Millisecond, 20*quantity.Millisecond)}}
	},
	func(r draw, b *sizing.Build) {
		b.Injectors.Firing, b.Injectors.Spread, b.Injectors.MinimumPulse = sizing.Firing(r.IntN(2)), maybe[quantity.Ratio](r, 0.01, 0.3), maybe(r, 0.1*quantity.Millisecond, 10*quantity.Millisecond)
	},
	func(r draw, b *sizing.Build) {
		b.Injectors.Coil = injector.Coil{Resistance: pick(r, 0.2*quantity.Ohm, 20*quantity.Ohm)}
		if r.IntN(2) == 0 {
			b.Injectors.Wiring = r.wiring()
		}
	},
	func(r draw, b *sizing.Build) {
		b.Secondary = &sizing.Secondary{Flow: b.Injectors.Flow, Count: r.IntN(13), Start: pick[quantity.Ratio](r, 0.05, 1), Staging: demand.Staging(r.IntN(2))}
	},
	func(r draw, b *sizing.Build) { b.Regulator.BasePressure = pick(r, 10*quantity.PSI, 150*quantity.PSI) },
	func(r draw, b *sizing.Build) {
		if b.Regulator.Control == sizing.ByValve {
			b.Regulator.Kind = regulator.Kind(1 + r.IntN(3))
		}
		if b.Regulator.Kind == regulator.ManifoldReferenced {
			b.Regulator.Rise = maybe[quantity.Ratio](r, 0.5, 20)
		}
	},
	func(r draw, b *sizing.Build) {
		if b.Regulator.Control != sizing.ByValve {
			b.Regulator.LeastSpeed = pick[quantity.Ratio](r, 0.05, 1)
			return
		}
		b.Regulator.MaxReturn = pick(r, 1*quantity.LitrePerHour, 5000*quantity.LitrePerHour)
		b.Regulator.LeastReturn = 0
		b.Regulator.SetFlow = maybe(r, 1*quantity.LitrePerHour, 5000*quantity.LitrePerHour)
		b.Regulator.OpenDrop = maybe(r, 0.1*quantity.KilopascalDiff, 500*quantity.KilopascalDiff)
		b.Regulator.Slope = regulator.Slope{Rise: pick(r, 0.1*quantity.KilopascalDiff, 100*quantity.KilopascalDiff), Per: 100 * quantity.LitrePerHour}
	},
	func(r draw, b *sizing.Build) {
		if b.Regulator.Control == sizing.ByValve {
			b.ReturnLine = r.segments()
		}
	},
	func(r draw, b *sizing.Build) { b.Suction = r.segments() },
	func(r draw, b *sizing.Build) { b.FeedLine = r.segment() },
	func(r draw, b *sizing.Build) {
		b.Pumps = []sizing.Pump{r.pump(), r.pump(), r.pump()}[:1+r.IntN(3)]
		b.SurgeTank = nil
	},
	func(r draw, b *sizing.Build) {
		lift := r.pump()
		lift.Role = sizing.Lift
		b.Pumps = append([]sizing.Pump{lift}, b.Pumps...)
	},
	func(r draw, b *sizing.Build) {
		lift := r.pump()
		lift.Role = sizing.Lift
		b.Pumps = append([]sizing.Pump{lift}, b.Pumps...)
		b.SurgeTank = &sizing.SurgeTank{Volume: pick(r, 0.1*quantity.Litre, 50*quantity.Litre), LiftRise: pick(r, 0, 500*quantity.KilopascalDiff), Return: sizing.ReturnTo(r.IntN(2))}
	},
	func(r draw, b *sizing.Build) {
		b.Heat = sizing.Heat{Feed: maybe(r, 1*quantity.WattPower, 20*quantity.KilowattPower)}
		if b.Regulator.Control == sizing.ByValve {
			b.Heat.Return = maybe(r, 1*quantity.WattPower, 20*quantity.KilowattPower)
		}
	},
	func(r draw, b *sizing.Build) {
		b.Nitrous = sizing.Nitrous{Flow: pick(r, 1*quantity.GramPerSecond, 1*quantity.KilogramPerSecond), Fuel: demand.FuelCircuit(r.IntN(3)), Lambda: pick[quantity.Ratio](r, 0.6, 1.1)}
	},
	func(r draw, b *sizing.Build) {
		b.WaterMethanol = sizing.WaterMethanol{Flow: pick(r, 1*quantity.CCPerMinute, 100*quantity.LitrePerMinute), Credit: sizing.Credit(r.IntN(2))}
	},
	func(r draw, b *sizing.Build) {
		b.Policy = sizing.Policy{
			MaxDuty: pick[quantity.Ratio](r, 0.3, 1), Route: demand.Route(r.IntN(4)), InjectorMargin: sizing.Wanted(quantity.Ratio(2 * r.Float64())), PumpMargin: sizing.Wanted(quantity.Ratio(2 * r.Float64())),
			AllowedLineLoss: pick(r, 1*quantity.KilopascalDiff, 300*quantity.KilopascalDiff), InletMargin: pick(r, 0.1*quantity.KilopascalDiff, 200*quantity.KilopascalDiff),
		}
	},
}

// TestRandomBuilds assesses many combinations of values that are each within their
// limits, however odd together: no panic, no number that is none, nothing that cannot be
// written, and the balances of volume closed.
func TestRandomBuilds(t *testing.T) {
	const builds = 2000
	list := sheets(t)
	var names []string
	for name := range list {
		names = append(names, name)
	}
	slices.Sort(names)
	assessed := 0
	for seed := range uint64(builds) {
		r := draw{rand.New(rand.NewPCG(seed, 20261125))}
		name := names[r.IntN(len(names))]
		b := list[name]
		b.Pumps = slices.Clone(b.Pumps)
		for range 1 + r.IntN(12) {
			changes[r.IntN(len(changes))](r, &b)
		}
		if b.Validate() != nil {
			continue // the values contradict each other
		}
		assessed++
		a, err := sizing.Assess(b)
		if err != nil {
			t.Errorf("seed %d, %s: valid, and not assessed: %v", seed, name, err)
			continue
		}
		sound(t, seed, name, b, a)
	}
	if assessed < builds*2/3 {
		t.Errorf("only %d of %d builds are valid", assessed, builds)
	}
}

// sound wants an assessment to hold together.
func sound(t *testing.T, seed uint64, name string, given sizing.Build, a *sizing.Assessment) {
	t.Helper()
	fail := func(format string, args ...any) {
		t.Helper()
		t.Errorf("seed %d, %s: "+format, append([]any{seed, name}, args...)...)
	}
	numbers(reflect.ValueOf(*a), "", func(path string, x float64) { fail("%s is %v", path, x) })
	if trials, err := sizing.NewTrials(given); err != nil {
		fail("%v", err)
	} else {
		var quick sizing.Assessment
		if err := trials.Assess(nil, sizing.WeakestSection, &quick); err != nil {
			fail("%v", err)
		}
		if got, want := quick.Weakest(), a.Weakest(); got != want {
			fail("%+v is found to run out first, it is %+v", got, want)
		}
		if got, want := quick.Keeps(), a.Keeps(); got != want {
			fail("margins are found to be kept up to %v, it is %v", got, want)
		}
	}
	data, err := json.Marshal(a)
	if err != nil {
		fail("%v", err)
		return
	}
	var back sizing.Assessment
	if err := json.Unmarshal(data, &back); err != nil {
		fail("what was written is not read: %v", err)
	}
	d := a.Delivery
	used := d.Delivered.Volume(a.Demand.Density)
	if got, want := float64(d.PumpFlow-d.Return), float64(used); math.Abs(got-want) > 1e-6*(want+float64(d.PumpFlow)) {
		fail("pumps less return %v, injectors %v m³/s", got, want)
	}
	if float64(d.Delivered) > float64(a.Demand.Total)*(1+1e-6) {
		fail("delivered %v of %v", d.Delivered, a.Demand.Total)
	}
	brought, steep := quantity.VolumeFlow(0), false
	for i, l := range a.Loads.Pumps {
		if p := a.Build.Pumps[i]; p.Role == sizing.Main {
			brought += l.Flow
			steep = steep || p.Relief != 0 && l.Rise > p.Relief
		}
	}
	stalled := slices.ContainsFunc(a.Warnings, func(w sizing.Warning) bool { return w.Concern == sizing.Wired && w.Grave })
	switch {
	case steep || stalled: // a pascal moves the flow by much, or it breaks off
		brought = d.PumpFlow
	case a.Idle.Excess > 0: // a controller may not slow the pumps down enough
		brought = min(brought, d.PumpFlow)
	case d.Return == 0 && d.Rail > d.SetRail: // a return line held shut by height or braking
		brought = d.PumpFlow
	}
	if math.Abs(float64(brought-d.PumpFlow)) > 1e-6*float64(d.PumpFlow)+1e-9 {
		fail("main pumps bring %v, %v go through", brought, d.PumpFlow)
	}
	if d.PumpFlow < 0 || d.Return < 0 || a.Idle.Return < 0 || a.Idle.Excess < 0 || d.Delivered < 0 {
		fail("a negative flow: %+v %+v", d, a.Idle)
	}
	// Injectors open all the time draw less than the demand, for which SetRail stands.
	if d.Sags && !d.Saturated && d.Rail > d.SetRail || !d.Sags && float64(d.Rail.Above(d.SetRail)) < -1e-6*float64(d.SetRail) {
		fail("sags %v, rail %v of %v", d.Sags, d.Rail, d.SetRail)
	}
	if err := a.Build.Validate(); err != nil {
		fail("the build as assessed is not valid: %v", err)
	}
	sys := a.Build.Job.Units
	texts := []string{a.Verdict(sys)}
	for _, table := range []sizing.Table{a.InputTable(sys), a.DemandTable(sys), a.InjectionTable(sys), a.SupplyTable(sys), a.MarginTable(sys)} {
		texts = append(texts, table.Text())
	}
	for _, w := range a.Warnings {
		texts = append(texts, w.Text)
	}
	for _, s := range a.Working(sys) {
		texts = append(texts, s.Numbers, s.Result)
	}
	for _, text := range texts {
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "%!") {
			fail("printed: %s", strings.TrimSpace(text[max(0, strings.Index(text, "Inf")-120):]))
		}
	}
}
