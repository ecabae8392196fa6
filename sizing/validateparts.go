package sizing

import (
	"fmt"
	"slices"
	"strconv"

	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

func (b *Build) checkElectrical(c *checker) {
	e := b.Electrical
	optional(c, "electrical.voltage", e.Voltage, 6*quantity.Volt, 60*quantity.Volt)
	optional(c, "electrical.pump_voltage", e.PumpVoltage, 6*quantity.Volt, 60*quantity.Volt)
	optional(c, "electrical.supply", e.Supply, 6*quantity.Volt, 60*quantity.Volt)
}

func (b *Build) checkTank(c *checker) {
	within(c, "vehicle.acceleration", b.Vehicle.Acceleration, -6*quantity.StandardGravity, 6*quantity.StandardGravity)
	t := b.Tank
	optional(c, "tank.fuel", t.Fuel, 0.2*quantity.Litre, 2000*quantity.Litre)
	optional(c, "tank.temperature", t.Temperature, quantity.Celsius(-40), quantity.Celsius(100))
	within(c, "tank.head", t.Head, -2*quantity.Metre, 5*quantity.Metre)
	optional(c, "tank.cooling", t.Cooling, 1*quantity.Minute, 1000*quantity.Hour)
	if t.Cooling != 0 && t.Fuel == 0 {
		c.add("tank.fuel", "", "is missing beside cooling", `the volume of fuel in it, such as "40 L"`)
	}
	within(c, "heat.feed", b.Heat.Feed, 0, 20*quantity.KilowattPower)
	within(c, "heat.return", b.Heat.Return, 0, 20*quantity.KilowattPower)
}

func (b *Build) checkInjectors(c *checker) {
	i := b.Injectors
	if i.Count != 0 {
		c.count("injectors.count", i.Count, 1, 48)
	}
	if i.Flow.IsZero() {
		c.add("injectors.flow", "", "is missing", i.Flow.Accepts())
	}
	if len(i.DeadTime) == 0 {
		c.add("injectors.dead_time", "", "is missing", injector.DeadTime{}.Accepts())
	} else if _, err := b.deadTime(0); err != nil {
		c.add("injectors.dead_time", "", reason(err), injector.DeadTime{}.Accepts())
	}
	within(c, "injectors.dead_time_shift", i.DeadTimeShift, -1*quantity.Millisecond, 1*quantity.Millisecond)
	optional(c, "injectors.minimum_pulse", i.MinimumPulse, 0.1*quantity.Millisecond, 10*quantity.Millisecond)
	within(c, "injectors.spread", i.Spread, 0, 0.3)
	if err := i.Coil.Validate(); err != nil {
		c.add("injectors.coil", i.Coil.String(), reason(err), i.Coil.Accepts())
	}
	if i.Wiring != nil {
		if i.Coil == (injector.Coil{}) {
			c.add("injectors.coil", "", "is missing beside wiring, whose loss follows from the current", i.Coil.Accepts())
		}
		c.wiring("injectors.wiring", *i.Wiring)
	}
}

func (c *checker) wiring(at string, w Wiring) {
	if w.Conductor.IsZero() {
		c.add(at+".conductor", "", "is missing", w.Conductor.Accepts())
	}
	within(c, at+".length", w.Length, 0.05*quantity.Metre, 50*quantity.Metre)
	optional(c, at+".return", w.Return, 0.01*quantity.Metre, 50*quantity.Metre)
	optional(c, at+".temperature", w.Temperature, quantity.Celsius(-40), quantity.Celsius(150))
	within(c, at+".allowance", w.Allowance, 0, 1)
	within(c, at+".contacts", w.Contacts, 0, 1*quantity.Ohm)
}

func (b *Build) checkRegulator(c *checker) {
	r := b.Regulator
	if r.Kind == 0 {
		c.add("regulator.kind", "", "is missing", `"manifold-referenced", "fixed" or "returnless"`)
	}
	within(c, "regulator.base_pressure", r.BasePressure, 10*quantity.PSI, 150*quantity.PSI)
	if r.Rise != 0 && r.Rise != 1 && r.Kind != 0 && r.Kind != regulator.ManifoldReferenced {
		c.add("regulator.rise", both(r.Rise), "belongs to a manifold-referenced regulator", `kind = "manifold-referenced" beside it`)
	} else {
		optional(c, "regulator.rise", r.Rise, 0.5, 20)
	}
	flow := func(name string, q quantity.VolumeFlow) {
		optional(c, "regulator."+name, q, 1*quantity.LitrePerHour, 10000*quantity.LitrePerHour)
	}
	flow("least_return", r.LeastReturn)
	flow("max_return", r.MaxReturn)
	flow("set_flow", r.SetFlow)
	if r.SetFlow != 0 && r.Control == ByValve && r.Slope == (regulator.Slope{}) {
		c.add("regulator.slope", "", "is missing beside set_flow, above which it begins", r.Slope.Accepts())
	}
	if r.MaxReturn >= 1*quantity.LitrePerHour && r.LeastReturn >= r.MaxReturn {
		c.add("regulator.least_return", both(r.LeastReturn), "is no less than max_return", "a flow below "+both(r.MaxReturn))
	}
	optional(c, "regulator.open_drop", r.OpenDrop, 0.1*quantity.KilopascalDiff, 500*quantity.KilopascalDiff)
	if r.OpenDrop != 0 && r.MaxReturn == 0 {
		c.add("regulator.max_return", "", "is missing beside open_drop, which is lost at that flow", `a flow such as "700 L/h"`)
	}
	if err := r.Slope.Validate(); err != nil {
		c.add("regulator.slope", r.Slope.String(), reason(err), r.Slope.Accepts())
	}
	optional(c, "regulator.least_speed", r.LeastSpeed, 0.05, 1)
	optional(c, "regulator.relief", r.Relief, 10*quantity.PSI, 300*quantity.PSI)
	b.checkControl(c)
}

// checkControl keeps apart what a valve has and what a controller has.
func (b *Build) checkControl(c *checker) {
	r := b.Regulator
	if r.Control == ByValve {
		if r.LeastSpeed != 0 {
			c.add("regulator.least_speed", r.LeastSpeed.Percent(0), "belongs to a controller", `control = "pump speed" beside it`)
		}
		if r.Relief != 0 {
			c.add("regulator.relief", both(r.Relief), "belongs to a controller", `control = "pump speed" beside it; pumps have a relief of their own`)
		}
		return
	}
	if r.Kind == regulator.Returnless {
		c.add("regulator.kind", r.Kind.String(), "is a valve at the pump, which control by pump speed has not", `"manifold-referenced" or "fixed": what the set point refers to`)
	}
	ofValve := func(name, value string) {
		c.add("regulator."+name, value, "belongs to a valve", "none of it beside control by pump speed")
	}
	if r.LeastReturn != 0 {
		ofValve("least_return", both(r.LeastReturn))
	}
	if r.MaxReturn != 0 {
		ofValve("max_return", both(r.MaxReturn))
	}
	if r.SetFlow != 0 {
		ofValve("set_flow", both(r.SetFlow))
	}
	if r.Slope != (regulator.Slope{}) {
		ofValve("slope", r.Slope.String())
	}
	if r.OpenDrop != 0 {
		ofValve("open_drop", both(r.OpenDrop))
	}
	if r.Relief >= 10*quantity.PSI && r.Relief <= r.BasePressure {
		c.add("regulator.relief", both(r.Relief), "does not exceed base_pressure, so that the valve is open all the time", "more than "+both(r.BasePressure))
	}
	if b.Heat.Return != 0 {
		c.add("heat.return", both(b.Heat.Return), "is given beside control by pump speed, which returns nothing", "no heat on the way back")
	}
	if len(b.ReturnLine) > 0 {
		c.add("return_line", "", "is given beside control by pump speed, which returns nothing", "no return line")
	}
	mains := slices.DeleteFunc(slices.Clone(b.Pumps), func(p Pump) bool { return p.Role != Main })
	if len(mains) > 1 || len(mains) == 1 && mains[0].Mechanical != nil || b.SurgeTank == nil && len(mains) != len(b.Pumps) {
		c.add("regulator.control", r.Control.String(), "controls more than one kind of pump", "one entry of electric main pumps; lift pumps only before a surge tank")
	}
}

func (b *Build) checkPumps(c *checker) {
	if len(b.Pumps) == 0 {
		c.add("pumps", "", "is missing", "one [[pumps]] table or more, each with part and curves")
		return
	}
	has := map[Role]bool{}
	for i, p := range b.Pumps {
		has[p.Role] = true
		c.pump(i, p, b.made != nil)
	}
	if !has[Main] {
		c.add("pumps", "", "are all lift pumps", `at least one entry with role = "main"`)
	}
	s := b.SurgeTank
	if s == nil {
		return
	}
	within(c, "surge_tank.volume", s.Volume, 0.1*quantity.Litre, 50*quantity.Litre)
	within(c, "surge_tank.lift_rise", s.LiftRise, 0, 500*quantity.KilopascalDiff)
	if !has[Lift] {
		c.add("surge_tank", "", "is filled by no pump", `an entry of [[pumps]] with role = "lift"`)
	}
}

// pump checks the i-th entry; its curves need no check where they are made.
func (c *checker) pump(i int, p Pump, made bool) {
	at := "pumps[" + strconv.Itoa(i+1) + "]"
	if p.Count != 0 {
		c.count(at+".count", p.Count, 1, 12)
	}
	within(c, at+".wear", p.Wear, -0.2, 0.9)
	optional(c, at+".relief", p.Relief, 10*quantity.PSI, 300*quantity.PSI)
	if m := p.Mechanical; m != nil {
		if len(p.Curves) > 0 {
			c.add(at+".curves", "", "are given beside mechanical", "one of the two")
		}
		if p.Wiring != nil {
			c.add(at+".wiring", "", "is given beside mechanical, which needs none", "no wiring")
		}
		in := at + ".mechanical"
		within(c, in+".displacement", m.Displacement, 0.05*quantity.CubicCentimetre, 200*quantity.CubicCentimetre)
		within(c, in+".drive", m.Drive, 0.05, 10)
		within(c, in+".efficiency", m.Efficiency, 0.2, 1)
		within(c, in+".test_speed", m.TestSpeed, 50*quantity.RPM, 25000*quantity.RPM)
		within(c, in+".test_pressure", m.TestPressure, 1*quantity.PSI, 300*quantity.PSI)
		optional(c, in+".greatest_speed", m.GreatestSpeed, 50*quantity.RPM, 25000*quantity.RPM)
		return
	}
	if len(p.Curves) == 0 {
		c.add(at+".curves", "", "is missing", `curves such as [{voltage = "13.5 V", points = ["340 L/h at 200 kPa", "285 L/h at 400 kPa"]}], or mechanical for a pump that the engine drives`)
	}
	if p.Wiring != nil {
		c.wiring(at+".wiring", *p.Wiring)
		if withoutCurrent(p.Curves) {
			c.add(at+".curves", "", "have no current beside wiring, whose loss follows from it", `points such as "340 L/h at 300 kPa at 9.8 A"`)
		}
	}
	if made {
		return
	}
	good := true // each curve by itself
	for j, curve := range p.Curves {
		in := fmt.Sprintf("%s.curves[%d]", at, j+1)
		within(c, in+".voltage", curve.Voltage, 6*quantity.Volt, 60*quantity.Volt)
		if _, err := pump.NewCurve(curve.Points, curve.Voltage); err != nil {
			good = false
			c.add(in+".points", "", reason(err), "two points or more, pressure rising and flow falling from each to the next, all with a current or none")
		}
	}
	if _, err := p.Hardware(); err != nil && good && len(p.Curves) > 1 {
		c.add(at+".curves", "", reason(err), "one curve per voltage, more flow at more voltage")
	}
}

// withoutCurrent reports whether a curve gives flow and pressure alone.
func withoutCurrent(curves []PumpCurve) bool {
	return slices.ContainsFunc(curves, func(c PumpCurve) bool {
		return !slices.ContainsFunc(c.Points, func(p pump.Point) bool { return p.Current != 0 })
	})
}

func (b *Build) checkLines(c *checker) {
	if !b.FeedLine.IsZero() {
		c.segment("feed_line", b.FeedLine)
	}
	for i, s := range b.Suction {
		c.segment(fmt.Sprintf("suction[%d]", i+1), s)
	}
	for i, s := range b.ReturnLine {
		c.segment(fmt.Sprintf("return_line[%d]", i+1), s)
	}
}

func (c *checker) segment(at string, l Segment) {
	if l.Bore != 0 && l.Dash.Bore() != 0 {
		c.add(at+".dash", l.Dash.String(), "is given beside bore", "one of the two")
	}
	if l.bore() == 0 {
		beside := ""
		switch {
		case l.Length != 0:
			beside = "length"
		case l.LossCoefficient != 0:
			beside = "fittings"
		case l.Rise != 0:
			beside = "rise"
		case l.Ahead != 0:
			beside = "ahead"
		case l.Roughness != 0:
			beside = "roughness"
		}
		if beside != "" {
			c.add(at+".bore", "", "is missing beside "+beside, `the inner diameter, such as "8 mm", or dash such as "-8 hose" in its place`)
		}
		return
	}
	size := "bore"
	if l.Bore == 0 {
		size = "dash"
	}
	within(c, at+"."+size, l.bore(), 2*quantity.Millimetre, 60*quantity.Millimetre)
	if l.Length == 0 {
		c.add(at+".length", "", "is missing beside "+size, `the length of the line, such as "1.2 m"`)
	} else {
		within(c, at+".length", l.Length, 0.01*quantity.Metre, 50*quantity.Metre)
	}
	most := min(500*quantity.Micrometre, l.bore()/20) // the end of the range of the Colebrook equation
	if l.Roughness > most && l.Roughness <= 500*quantity.Micrometre {
		c.add(at+".roughness", quantity.FormatIn(l.Roughness, quantity.Micrometre), "exceeds a twentieth of the bore", "no more than "+quantity.FormatIn(most, quantity.Micrometre))
	} else {
		optional(c, at+".roughness", l.Roughness, 0.01*quantity.Micrometre, 500*quantity.Micrometre)
	}
	within(c, at+".fittings", l.LossCoefficient, 0, 200)
	within(c, at+".rise", l.Rise, -5*quantity.Metre, 5*quantity.Metre)
	within(c, at+".ahead", l.Ahead, -20*quantity.Metre, 20*quantity.Metre)
}
