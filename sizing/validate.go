package sizing

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// checker collects what is wrong with a build.
type checker struct{ problems []Problem }

func (c *checker) add(field, value, reason, accepted string) {
	c.problems = append(c.problems, Problem{Field: field, Value: value, Reason: reason, Accepted: accepted})
}

// within wants a quantity between two limits, which belong to it.
func within[Q quantity.Quantity](c *checker, field string, q, low, high Q) {
	switch {
	case math.IsNaN(float64(q)):
		c.add(field, "NaN", "is not a number", between(low, high))
	case q < low:
		c.add(field, both(q), "is too small", between(low, high))
	case q > high:
		c.add(field, both(q), "is too large", between(low, high))
	}
}

// optional is within for a field that may be left at zero.
func optional[Q quantity.Quantity](c *checker, field string, q, low, high Q) {
	if q != 0 {
		within(c, field, q, low, high)
	}
}

// both prints a quantity in SI and, where it reads differently, US units.
func both[Q quantity.Quantity](q Q) string {
	si, us := quantity.Format(q, quantity.SI), quantity.Format(q, quantity.US)
	if si == us {
		return si
	}
	return si + " (" + us + ")"
}

func between[Q quantity.Quantity](low, high Q) string {
	return "from " + both(low) + " to " + both(high)
}

// reason is an error without what it says would be accepted.
func reason(err error) string {
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		return strings.TrimSuffix(err.Error(), "; want "+pe.Accepted)
	}
	return err.Error()
}

func (c *checker) count(field string, n, low, high int) {
	if n < low || n > high {
		c.add(field, strconv.Itoa(n), "is out of range", fmt.Sprintf("a whole number from %d to %d", low, high))
	}
}

// problems checks b field by field. The limits are wide: they are there to catch
// slips of unit and decimal point, not to judge a combination.
func (b Build) problems() []Problem {
	c := &checker{}
	b.checkJob(c)
	b.inspect(c, everyCheck)
	return c.problems
}

// inspect makes some of the checks, in the order of the sheet.
func (b *Build) inspect(c *checker, which check) {
	for _, x := range []struct {
		of   check
		make func(*Build, *checker)
	}{
		{airCheck, (*Build).checkEngine}, {airCheck, (*Build).checkTarget}, {airCheck, (*Build).checkInduction},
		{fuelCheck, (*Build).checkFuel}, {electricalCheck, (*Build).checkElectrical}, {tankCheck, (*Build).checkTank},
		{injectorsCheck, (*Build).checkInjectors}, {injectorsCheck, (*Build).checkSecondary}, {addedCheck, (*Build).checkAdded},
		{regulatorCheck, (*Build).checkRegulator}, {pumpsCheck, (*Build).checkPumps}, {linesCheck, (*Build).checkLines}, {policyCheck, (*Build).checkPolicy},
	} {
		if which&x.of != 0 {
			x.make(b, c)
		}
	}
}

func (b *Build) checkEngine(c *checker) {
	e := b.Engine
	within(c, "engine.displacement", e.Displacement, 0.02*quantity.Litre, 60*quantity.Litre)
	c.count("engine.cylinders", e.Cylinders, 1, 24)
	if e.Strokes != 0 && e.Strokes != 2 && e.Strokes != 4 {
		c.add("engine.strokes", strconv.Itoa(e.Strokes), "is not a working cycle", "4 or 2")
	}
	within(c, "engine.speed", e.Speed, 500*quantity.RPM, 25000*quantity.RPM)
	optional(c, "engine.volumetric_efficiency", e.VolumetricEfficiency, 0.2, 1.6)
	optional(c, "engine.brake_efficiency", e.BrakeEfficiency, 0.05, 0.55)
	optional(c, "engine.idle_speed", e.IdleSpeed, 300*quantity.RPM, 5000*quantity.RPM)
	optional(c, "engine.idle_manifold_pressure", e.IdlePressure, 10*quantity.Kilopascal, 105*quantity.Kilopascal)
}

func (b *Build) checkTarget(c *checker) {
	t := b.Target
	const oneOf = `exactly one of power (such as "640 hp"), wheel_power with drivetrain_loss, torque, or vehicle_mass with trap_speed or elapsed_time`
	given := 0
	for _, v := range []float64{float64(t.Power), float64(t.WheelPower), float64(t.Torque), float64(t.TrapSpeed), float64(t.ElapsedTime)} {
		if v != 0 {
			given++
		}
	}
	switch given {
	case 0:
		c.add("target.power", "", "is missing", oneOf)
	case 1:
	default:
		c.add("target.power", "", "is given in more than one way", oneOf)
	}
	optional(c, "target.power", t.Power, 1*quantity.Horsepower, 5000*quantity.Horsepower)
	optional(c, "target.wheel_power", t.WheelPower, 1*quantity.HorsepowerAtWheel, 5000*quantity.HorsepowerAtWheel)
	optional(c, "target.torque", t.Torque, 1*quantity.NewtonMetre, 10000*quantity.NewtonMetre)
	optional(c, "target.trap_speed", t.TrapSpeed, 20*quantity.MilePerHour, 400*quantity.MilePerHour)
	optional(c, "target.elapsed_time", t.ElapsedTime, 3*quantity.Second, 60*quantity.Second)
	onStrip := t.TrapSpeed != 0 || t.ElapsedTime != 0
	switch {
	case onStrip && t.VehicleMass == 0:
		c.add("target.vehicle_mass", "", "is missing beside trap_speed or elapsed_time", `the vehicle as it runs, such as "1450 kg"`)
	case !onStrip && t.VehicleMass != 0:
		c.add("target.vehicle_mass", both(t.VehicleMass), "has no use without trap_speed or elapsed_time", "leave it out, or give one of them")
	default:
		optional(c, "target.vehicle_mass", t.VehicleMass, 100*quantity.Kilogram, 20000*quantity.Kilogram)
	}
	needsLoss := t.WheelPower != 0 || t.ElapsedTime != 0
	switch {
	case needsLoss && t.DrivetrainLoss == 0:
		c.add("target.drivetrain_loss", "", "is missing beside wheel_power or elapsed_time", `the share of crank power lost on the way, such as "12 %"`)
	case !needsLoss && t.DrivetrainLoss != 0:
		c.add("target.drivetrain_loss", both(t.DrivetrainLoss), "has no use without wheel_power or elapsed_time", "leave it out, or give one of them")
	default:
		optional(c, "target.drivetrain_loss", t.DrivetrainLoss, 0.005, 0.5)
	}
	within(c, "target.lambda", t.Lambda, 0.6, 1.2)
	within(c, "target.allowance", t.Allowance, 0, 1)
	b.checkCorrection(c)
	if given == 1 && len(c.problems) == 0 {
		within(c, "target.power", b.CrankPower(), 1*quantity.Horsepower, 5000*quantity.Horsepower)
	}
}

// checkCorrection wants the air of the pull beside a correction, and no correction
// of what no dynamometer has measured.
func (b *Build) checkCorrection(c *checker) {
	t := b.Target
	if t.Correction == air.None {
		for _, dyno := range []struct {
			field string
			given bool
		}{
			{"dyno_barometer", t.DynoBarometer != 0},
			{"dyno_temperature", t.DynoTemperature != 0},
			{"dyno_humidity", t.DynoHumidity != 0},
		} {
			if dyno.given {
				c.add("target."+dyno.field, "", "has no use without correction", "leave it out, or give correction")
			}
		}
		return
	}
	if t.TrapSpeed != 0 || t.ElapsedTime != 0 {
		c.add("target.correction", t.Correction.String(), "does not go with trap_speed or elapsed_time", `"none", or a power or torque from a dynamometer`)
	}
	within(c, "target.dyno_barometer", t.DynoBarometer, 50*quantity.Kilopascal, 110*quantity.Kilopascal)
	within(c, "target.dyno_temperature", t.DynoTemperature, quantity.Celsius(-40), quantity.Celsius(60))
	within(c, "target.dyno_humidity", t.DynoHumidity, 0, 1)
}

func (b *Build) checkInduction(c *checker) {
	i := b.Induction
	switch {
	case i.Kind.Boosted() && i.Boost == 0:
		c.add("induction.boost", "", "is missing on a "+i.Kind.String()+" engine", `the gauge pressure in the manifold at the target, such as "14 psi"`)
	case i.Kind.Boosted():
		within(c, "induction.boost", i.Boost, 0.1*quantity.PSI, 100*quantity.PSI)
	case i.Boost != 0:
		c.add("induction.boost", both(i.Boost), "contradicts kind = \""+i.Kind.String()+"\"",
			fmt.Sprintf("no boost, or kind %q or %q", demand.Supercharged, demand.Turbocharged))
	}
	within(c, "induction.altitude", i.Altitude, -500*quantity.Metre, 5000*quantity.Metre)
	optional(c, "induction.barometer", i.Barometer, 50*quantity.Kilopascal, 110*quantity.Kilopascal)
	optional(c, "induction.ambient_temperature", i.AmbientTemperature, quantity.Celsius(-40), quantity.Celsius(60))
	within(c, "induction.humidity", i.Humidity, 0, 1)
	b.checkCharge(c)
}

// checkCharge wants the charge temperature stated, or the way to compute it.
func (b *Build) checkCharge(c *checker) {
	i := b.Induction
	computed := i.CompressorEfficiency != 0
	switch {
	case i.ChargeTemperature != 0 && computed:
		c.add("induction.charge_temperature", both(i.ChargeTemperature), "is given beside compressor_efficiency, which computes it", "one of the two")
	case i.ChargeTemperature == 0 && !computed && (i.Kind.Boosted() || i.AmbientTemperature == 0):
		want := `the temperature in the manifold, such as "45 degC"`
		if i.Kind.Boosted() {
			want += `, or compressor_efficiency, such as "72 %"`
		}
		c.add("induction.charge_temperature", "", "is missing", want)
	case computed && !i.Kind.Boosted():
		c.add("induction.compressor_efficiency", both(i.CompressorEfficiency), "contradicts kind = \""+i.Kind.String()+"\"", "charge_temperature")
	}
	if i.ChargeTemperature != 0 {
		within(c, "induction.charge_temperature", i.ChargeTemperature, quantity.Celsius(-40), quantity.Celsius(180))
	}
	optional(c, "induction.compressor_efficiency", i.CompressorEfficiency, 0.3, 0.9)
	within(c, "induction.inlet_loss", i.InletLoss, 0, 30*quantity.KilopascalDiff)
	within(c, "induction.intercooler_effectiveness", i.IntercoolerEffectiveness, 0, 1)
	optional(c, "induction.coolant_temperature", i.CoolantTemperature, quantity.Celsius(-40), quantity.Celsius(110))
	within(c, "induction.intercooler_loss", i.IntercoolerLoss, 0, 50*quantity.KilopascalDiff)
}

func (b *Build) checkAdded(c *checker) {
	if n := b.Nitrous; n.Flow != 0 && n.Power != 0 {
		c.add("nitrous.power", both(n.Power), "is given beside flow", "one of the two")
	} else {
		optional(c, "nitrous.flow", n.Flow, 1*quantity.GramPerSecond, 1*quantity.KilogramPerSecond)
		optional(c, "nitrous.power", n.Power, 1*quantity.Horsepower, 3000*quantity.Horsepower)
		optional(c, "nitrous.lambda", n.Lambda, 0.6, 1.2)
	}
	w := b.WaterMethanol
	optional(c, "water_methanol.flow", w.Flow, 1*quantity.CCPerMinute, 100*quantity.LitrePerMinute)
	within(c, "water_methanol.methanol", w.Methanol, 0, 1)
	optional(c, "water_methanol.temperature", w.Temperature, quantity.Celsius(-20), quantity.Celsius(60))
}

func (b *Build) checkSecondary(c *checker) {
	i := b.Secondary
	if i == nil {
		return
	}
	if i.Flow.IsZero() {
		c.add("secondary_injectors.flow", "", "is missing", i.Flow.Accepts())
	}
	if i.Count != 0 {
		c.count("secondary_injectors.count", i.Count, 1, 48)
	}
	if len(i.DeadTime) > 0 {
		if _, err := b.deadTime(1); err != nil {
			c.add("secondary_injectors.dead_time", "", reason(err), injector.DeadTime{}.Accepts())
		}
	}
	within(c, "secondary_injectors.spread", i.Spread, 0, 0.3)
	within(c, "secondary_injectors.start", i.Start, 0.05, 1)
}

func (b *Build) checkFuel(c *checker) {
	if b.Fuel.Blend.IsZero() {
		c.add("fuel.blend", "", "is missing", `a fuel such as "E70" or "gasoline"`)
	}
	optional(c, "fuel.temperature", b.Fuel.Temperature, quantity.Celsius(-40), quantity.Celsius(100))
	optional(c, "fuel.bsfc", b.Fuel.BSFC, 150*quantity.GramPerKilowattHour, 2500*quantity.GramPerKilowattHour)
}

func (b *Build) checkPolicy(c *checker) {
	p := b.Policy
	optional(c, "policy.max_duty", p.MaxDuty, 0.3, 1)
	for _, m := range []struct {
		field  string
		margin *quantity.Ratio
	}{{"injector_margin", p.InjectorMargin}, {"pump_margin", p.PumpMargin}, {"line_margin", p.LineMargin}} {
		if m.margin != nil {
			within(c, "policy."+m.field, *m.margin, 0, 2)
		}
	}
	optional(c, "policy.allowed_line_loss", p.AllowedLineLoss, 1*quantity.KilopascalDiff, 300*quantity.KilopascalDiff)
	optional(c, "policy.inlet_margin", p.InletMargin, 0.1*quantity.KilopascalDiff, 200*quantity.KilopascalDiff)
}
