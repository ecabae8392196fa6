package sizing_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// copper is the resistance of a copper wire in ohms: area in mm², length in metres,
// temperature in °C, by the International Annealed Copper Standard of 1/58 Ω·mm²/m and
// 0.00393 per kelvin at 20 °C.
func copper(area, length, temperature float64) float64 {
	return length / (58 * area) * (1 + 0.00393*(temperature-20))
}

// awg is the area in mm² of American wire gauge n, by the definition of its diameter.
func awg(n float64) float64 {
	d := 0.127 * math.Pow(92, (36-n)/39)
	return math.Pi / 4 * d * d
}

// TestTerminalVoltage: what is left at the pumps' terminals is the supply less the
// current times the resistance of copper and contacts. Independent arithmetic on the
// numbers of surge.toml and speed.toml.
func TestTerminalVoltage(t *testing.T) {
	const foot = 0.3048
	surge, speed := assess(t, open(t, "surge.toml")), assess(t, open(t, "speed.toml"))
	for _, tt := range []struct {
		name       string
		load       sizing.PumpLoad
		pumps      float64 // on circuits of their own
		supply     float64
		resistance float64
	}{
		{"lift pump, body as the return", surge.Loads.Pumps[0], 1, 13.9, copper(awg(14), 3+0.5, 60)*1.10 + 0.005},
		{"two main pumps", surge.Loads.Pumps[1], 2, 13.9, copper(awg(10), 15*foot+2*foot, 55)*1.08 + 0.006},
		{"controller, return as long", speed.Loads.Pumps[0], 1, 13.8, copper(6, 2*4.5, 60)*1.10 + 0.005},
	} {
		want := tt.supply - float64(tt.load.Current)/tt.pumps*tt.resistance
		if got := float64(tt.load.Voltage); tt.load.Current < 1*quantity.Ampere || math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: %v at the terminals, want %.6f V", tt.name, tt.load.Voltage, want)
		}
		if got := float64(tt.load.Drop); math.Abs(got-(tt.supply-want)) > 1e-6 {
			t.Errorf("%s: %v lost, want %.6f V", tt.name, tt.load.Drop, tt.supply-want)
		}
	}
}

// TestSharedCircuit: one circuit for both pumps carries both currents.
func TestSharedCircuit(t *testing.T) {
	b := arrangements(t)["surge shared wire"]
	shared, own := assess(t, b).Loads.Pumps[1], assess(t, open(t, "surge.toml")).Loads.Pumps[1]
	r := copper(awg(10), 17*0.3048, 55)*1.08 + 0.006
	if got, want := float64(shared.Voltage), 13.9-float64(shared.Current)*r; math.Abs(got-want) > 1e-6 {
		t.Errorf("%v V at the terminals, want %v", got, want)
	}
	if shared.Voltage >= own.Voltage || shared.Flow >= own.Flow {
		t.Errorf("shared %v and %v, each its own %v and %v", shared.Voltage, shared.Flow, own.Voltage, own.Flow)
	}
}

// TestPumpVoltage: pumps without wiring have the voltage that the sheet states, those
// with wiring what is left of the supply.
func TestPumpVoltage(t *testing.T) {
	b := open(t, "surge.toml")
	b.Electrical.PumpVoltage = 12.6 * quantity.Volt
	b.Pumps = slices.Clone(b.Pumps)
	b.Pumps[0].Wiring = nil
	l := assess(t, b).Loads.Pumps
	if l[0].Voltage != 12.6*quantity.Volt || l[0].Drop != 0 || l[1].Drop == 0 {
		t.Errorf("lift pump at %v, %v lost; main pumps %v lost", l[0].Voltage, l[0].Drop, l[1].Drop)
	}
}

// TestCollapse: wire too long and thin for the pumps' current stalls them.
func TestCollapse(t *testing.T) {
	b := open(t, "surge.toml")
	b.Pumps = slices.Clone(b.Pumps)
	w := *b.Pumps[1].Wiring
	w.Length, w.Return, w.Contacts = 50*quantity.Metre, 50*quantity.Metre, 1*quantity.Ohm
	b.Pumps[1].Wiring, b.Pumps[1].Curves = &w, b.Pumps[1].Curves[1:] // one curve: one current at any voltage
	a := assess(t, b)
	if x := warning(a, sizing.Wired); x == nil || !x.Grave || !strings.Contains(x.Text, "Skerry 340") {
		t.Errorf("warning %+v", x)
	}
	if p, _ := a.Part(sizing.PumpsPart); p.Status != sizing.Short || !a.Delivery.Sags {
		t.Errorf("pumps that stall: %+v", p)
	}
}

// TestEngineDriven follows the pump of driven.toml by hand, at the target and at idle:
// 5.5 cc a turn at half the crank's speed, 8 % of leakage at 3000 rpm and 100 psi in
// proportion to the pressure, 3 % off for wear.
func TestEngineDriven(t *testing.T) {
	const (
		psi   = 6894.757293168
		turn  = 5.5e-6
		leaks = 0.08 * turn * 3000 / 60 / (100 * psi) // m³/s per Pa
	)
	a := assess(t, open(t, "driven.toml"))
	d := a.Delivery
	want := 0.97 * (turn*0.5*7400/60 - leaks*float64(d.PumpRise))
	if !near(float64(d.PumpFlow), want, 1e-6) {
		t.Errorf("at the target %v m³/s, want %v", d.PumpFlow, want)
	}
	// The shaft's power is what it displaces against the pressure.
	if got, power := float64(a.Loads.Pumps[0].Power), turn*0.5*7400/60*float64(d.PumpRise); !near(got, power, 1e-6) {
		t.Errorf("shaft power %v W, want %v", got, power)
	}
	if l := a.Loads.Pumps[0]; l.Current != 0 || l.Voltage != 0 {
		t.Errorf("an engine-driven pump at %v and %v", l.Voltage, l.Current)
	}
	// At idle without the lines, whose loss is in the critical zone there.
	b := a.Build
	b.FeedLine, b.Suction, b.Tank.Head = sizing.Segment{}, nil, 0
	a = assess(t, b)
	through := a.Idle.Return + a.Idle.Fuel.Volume(a.Demand.Density)
	rise := float64(a.Idle.Rail.Above(b.Induction.Barometer))
	if idle := 0.97 * (turn*0.5*1300/60 - leaks*rise); !near(float64(through), idle, 1e-6) {
		t.Errorf("at idle %v m³/s, want %v", through, idle)
	}
}

// TestEngineDrivenRelief: above its opening pressure the relief valve takes a share of
// the flow in proportion to the excess, all of it a tenth above (pump.ReliefSpan).
func TestEngineDrivenRelief(t *testing.T) {
	b := open(t, "driven.toml")
	b.Pumps = slices.Clone(b.Pumps)
	b.Pumps[0].Relief = 75 * quantity.PSI
	a := assess(t, b)
	rise := float64(a.Delivery.PumpRise)
	over := rise/(75*6894.757293168) - 1
	full := driven(b.Pumps[0].Mechanical, float64(b.Engine.Speed), rise) * 0.97
	if want := full * (1 - over/0.1); over <= 0 || over >= 0.1 || !near(float64(a.Delivery.PumpFlow), want, 1e-6) {
		t.Errorf("%v m³/s at %v of the opening pressure, want %v", a.Delivery.PumpFlow, 1+over, want)
	}
	if warning(a, sizing.OutsideData) == nil {
		t.Error("no word of a pump beyond its relief pressure")
	}
}

// TestIdleStarved: an engine-driven pump whose leakage eats all that it displaces at
// idle holds no rail there, and that has to be said.
func TestIdleStarved(t *testing.T) {
	b := open(t, "driven.toml")
	b.Pumps = slices.Clone(b.Pumps)
	m := *b.Pumps[0].Mechanical
	m.Efficiency, m.Displacement = 0.6, 8*quantity.CubicCentimetre
	b.Pumps[0].Mechanical = &m
	a := assess(t, b)
	if a.Delivery.Sags {
		t.Fatal("the target sags too")
	}
	if driven(&m, float64(b.Engine.IdleSpeed), float64(60*quantity.PSI)) > 0 {
		t.Fatal("the pump brings something at idle")
	}
	if warning(a, sizing.RailSags) == nil {
		t.Error("nothing is brought at idle, and no warning says so")
	}
}

// TestSurgeTank: where the return comes back to the surge tank, the lift pumps replace
// what is burnt; power goes up to where the demand is all that they bring, and beyond
// it a full tank lasts as long as its volume over what is missing.
func TestSurgeTank(t *testing.T) {
	b := open(t, "surge.toml")
	a := assess(t, b)
	p, _ := a.Part(sizing.LiftPart)
	refill := a.Loads.Pumps[0].Flow
	if p.Capability != refill || p.Demand != a.Demand.Volume || p.Name != "Skerry lift 500" {
		t.Errorf("%q brings %v of %v, want %v of %v", p.Name, p.Capability, p.Demand, refill, a.Demand.Volume)
	}
	if got, want := float64(p.Limit), 405e3*float64(refill)/float64(a.Demand.Volume); !near(got, want, 1e-6) {
		t.Errorf("limit %v W, want %v", got, want)
	}
	if got, want := float64(p.Keeps), 405e3*float64(refill)/float64(a.Demand.Volume)/1.08; !near(got, want, 1e-6) {
		t.Errorf("keeps its margin to %v W, want %v", got, want)
	}
	// The rise over the lift pump: 18 kPa up to the surge tank, and what its inlet is
	// under ambient.
	f := a.Build.Fuel
	under := lost(t, a, a.Build.Suction, refill) - float64(f.Blend.Density(f.Temperature))*gravity*5*0.0254
	if got, want := float64(a.Loads.Pumps[0].Rise), 18e3+under; !near(got, want, 1e-6) {
		t.Errorf("rise over the lift pump %v, want %v Pa", got, want)
	}
	if a.Delivery.PumpInlet != b.Induction.Barometer {
		t.Errorf("the main pumps draw from %v, the surge tank is vented to %v", a.Delivery.PumpInlet, b.Induction.Barometer)
	}
	if warning(a, sizing.LiftShort) != nil {
		t.Error("warned of without cause")
	}

	over := assess(t, b.AtPower(quantity.Of(1.05, p.Limit)))
	w := warning(over, sizing.LiftShort)
	lasts := quantity.Time(2.5e-3 / float64(over.Demand.Volume-refill))
	if w == nil || !w.Grave || !strings.Contains(w.Text, "it lasts "+quantity.FormatIn(lasts, quantity.Second)+" at") {
		t.Errorf("%+v\nwant %s", w, quantity.FormatIn(lasts, quantity.Second))
	}
}

// TestSurgeTankToMain: where the return goes to the main tank, the lift pumps have to
// bring all that the main pumps pass, at any power.
func TestSurgeTankToMain(t *testing.T) {
	a := assess(t, arrangements(t)["surge main tank"])
	p, _ := a.Part(sizing.LiftPart)
	if p.Demand != a.Delivery.PumpFlow || p.Limited || !near(float64(p.Margin), float64(a.Inlet.Flow)/float64(a.Delivery.PumpFlow)-1, 1e-9) {
		t.Errorf("%+v, want a demand of %v", p, a.Delivery.PumpFlow)
	}
}

// TestSeries: one flow through both, and the pressures add up; straight curves, so that
// a straight line through two points tells what each brings.
func TestSeries(t *testing.T) {
	points := func(texts ...string) []sizing.PumpCurve {
		c := sizing.PumpCurve{Voltage: 13.5 * quantity.Volt}
		for _, text := range texts {
			p, err := pump.ParsePoint(text)
			if err != nil {
				t.Fatal(err)
			}
			c.Points = append(c.Points, p)
		}
		return []sizing.PumpCurve{c}
	}
	b := open(t, "lift.toml")
	b.Pumps = []sizing.Pump{
		{Role: sizing.Lift, Curves: points("280 L/h at 0 kPa", "80 L/h at 200 kPa")},
		{Curves: points("260 L/h at 100 kPa", "160 L/h at 600 kPa")},
	}
	a := assess(t, b)
	l := a.Loads.Pumps
	kpa := func(i int) float64 { return l[i].Rise.In(quantity.KilopascalDiff) }
	flow := a.Delivery.PumpFlow.In(quantity.LitrePerHour)
	if want := 280 - kpa(0); !near(flow, want, 1e-6) {
		t.Errorf("%v L/h through the lift pump at %v kPa, want %v", flow, kpa(0), want)
	}
	if want := 260 - (kpa(1)-100)/5; !near(flow, want, 1e-6) {
		t.Errorf("%v L/h through the main pump at %v kPa, want %v", flow, kpa(1), want)
	}
	if sum := kpa(0) + kpa(1); !near(sum, a.Delivery.PumpRise.In(quantity.KilopascalDiff), 1e-9) {
		t.Errorf("the rises add up to %v, want %v", sum, a.Delivery.PumpRise)
	}
	alone := b
	alone.Pumps = b.Pumps[1:]
	if without := assess(t, alone); without.Delivery.PumpFlow >= a.Delivery.PumpFlow {
		t.Errorf("with a lift pump %v, without %v", a.Delivery.PumpFlow, without.Delivery.PumpFlow)
	}
	if warning(a, sizing.LiftShort) != nil {
		t.Error("warned of without cause")
	}
}

// TestPumpSpeed: a controller lets the pump bring just what is injected. The motor
// voltage of which Speed is the share lies between the curves at 9 and 13.5 V, and the
// flow, and the power taken from the wiring, in proportion between theirs.
func TestPumpSpeed(t *testing.T) {
	b := open(t, "speed.toml")
	a := assess(t, b)
	d, l := a.Delivery, a.Loads.Pumps[0]
	if d.Return != 0 || a.Idle.Return != 0 || d.Rail != d.SetRail || !near(float64(d.PumpFlow), float64(a.Demand.Volume), 1e-12) {
		t.Errorf("returned %v and %v, rail %v of %v, pump %v of %v", d.Return, a.Idle.Return, d.Rail, d.SetRail, d.PumpFlow, a.Demand.Volume)
	}
	if l.Speed >= 1 || a.Idle.Speed >= l.Speed || a.Idle.Speed < b.Regulator.LeastSpeed || a.Idle.Excess != 0 {
		t.Errorf("speed %v at the target, %v at idle, %v too much there", l.Speed, a.Idle.Speed, a.Idle.Excess)
	}
	curves := make([]pump.Curve, len(b.Pumps[0].Curves))
	for i, c := range b.Pumps[0].Curves {
		var err error
		if curves[i], err = pump.NewCurve(c.Points, c.Voltage); err != nil {
			t.Fatal(err)
		}
	}
	between := func(u float64) (flow, current float64) {
		at := (u - 9) / 4.5
		return (1-at)*float64(curves[1].Flow(d.PumpRise)) + at*float64(curves[2].Flow(d.PumpRise)),
			(1-at)*float64(curves[1].Current(d.PumpRise)) + at*float64(curves[2].Current(d.PumpRise))
	}
	// At full speed the motor has what the wiring leaves: U = 13.8 V - R I(U).
	r := copper(6, 9, 60)*1.10 + 0.005
	full := 13.0
	for range 200 {
		_, i := between(full)
		full = 13.8 - r*i
	}
	motor := float64(l.Speed) * full
	flow, current := between(motor)
	if motor < 9 || motor > 13.5 || !near(flow, float64(a.Demand.Volume), 1e-6) {
		t.Errorf("at %v V on the motor %v m³/s, want %v", motor, flow, a.Demand.Volume)
	}
	if taken := float64(l.Voltage) * float64(l.Current); !near(taken, motor*current, 1e-6) || !near(float64(l.Power), taken, 1e-9) {
		t.Errorf("%v W are taken from the wiring, the motor takes %v, said to be %v", taken, motor*current, l.Power)
	}
	if !near(float64(l.Voltage), 13.8-r*float64(l.Current), 1e-9) {
		t.Errorf("%v at the controller, want %v", l.Voltage, 13.8-r*float64(l.Current))
	}
	if warning(a, sizing.PumpControl) != nil {
		t.Error("warned of without cause")
	}
}

// TestLeastSpeed: a controller that may not slow the pump down enough brings too much
// at idle: what the pump brings at that speed, less what is burnt.
func TestLeastSpeed(t *testing.T) {
	b := open(t, "speed.toml")
	b.Regulator.LeastSpeed = 0.75
	b.Pumps = slices.Clone(b.Pumps)
	b.Pumps[0].Wiring = nil
	b.Electrical.PumpVoltage = 13.5 * quantity.Volt
	a := assess(t, b)
	burnt := a.Idle.Fuel.Volume(a.Demand.Density)
	rise := float64(a.Idle.Rail) - float64(a.Build.Induction.Barometer) + lostAnyhow(a, float64(burnt))
	// 10.125 V is a quarter of the way from 9 to 13.5 V.
	var flows [2]float64
	for i := range flows {
		c, err := pump.NewCurve(b.Pumps[0].Curves[i+1].Points, b.Pumps[0].Curves[i+1].Voltage)
		if err != nil {
			t.Fatal(err)
		}
		flows[i] = float64(c.Flow(quantity.PressureDiff(rise)))
	}
	want := 0.75*flows[0] + 0.25*flows[1] - float64(burnt)
	if a.Idle.Speed != 0.75 || !near(float64(a.Idle.Excess), want, 1e-4) {
		t.Errorf("speed %v, %v too much, want %v m³/s", a.Idle.Speed, a.Idle.Excess, want)
	}
	if warning(a, sizing.PumpControl) == nil {
		t.Error("no warning")
	}
}

// lostAnyhow is what the feed line loses to height and, roughly, to a flow too small to
// matter: laminar.
func lostAnyhow(a *sizing.Assessment, q float64) float64 {
	f, s := a.Build.Fuel, a.Build.FeedLine
	rho, mu, d := float64(f.Blend.Density(f.Temperature)), float64(f.Blend.Viscosity(f.Temperature)), float64(s.Bore)
	return 128*mu*float64(s.Length)*q/(math.Pi*d*d*d*d) + rho*gravity*float64(s.Rise)
}
