package sizing

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// inputRow adds a row to the table of inputs: what the paths of the sheet say.
type inputRow func(name, value string, paths ...string)

// InputTable shows the build as assessed, defaults filled in.
func (a *Assessment) InputTable(sys quantity.System) Table {
	b := a.Build
	t := Table{Caption: "The combination", Columns: []Column{{Name: "Input"}, {Name: "Value"}}}
	row := func(name, value string, paths ...string) {
		t.Rows = append(t.Rows, []string{name, value})
		t.Fields = append(t.Fields, paths)
	}
	row("Displacement", quantity.Format(b.Engine.Displacement, sys), "engine.displacement")
	row("Cylinders", fmt.Sprintf("%d, %s", b.Engine.Cylinders, map[int]string{2: "two-stroke", 4: "four-stroke"}[b.Engine.Strokes]), "engine.cylinders", "engine.strokes")
	row("Speed at the target", quantity.Format(b.Engine.Speed, sys), "engine.speed")
	row("Volumetric efficiency", b.Engine.VolumetricEfficiency.Percent(0), "engine.volumetric_efficiency")
	row("Brake efficiency of the heat released", b.Engine.BrakeEfficiency.Percent(0), "engine.brake_efficiency")
	row("Idle", quantity.Format(b.Engine.IdleSpeed, sys)+" at "+quantity.Format(b.Engine.IdlePressure, sys)+", absolute, in the manifold", "engine.idle_speed", "engine.idle_manifold_pressure")
	row("Target power at the crank", quantity.Format(a.Power, sys), "target.power")
	if b.Target.WheelPower != 0 {
		row("Target power at the wheels", quantity.Format(b.Target.WheelPower, sys)+", drivetrain loss "+b.Target.DrivetrainLoss.Percent(0), "target.wheel_power", "target.drivetrain_loss")
	}
	if b.Target.Torque != 0 {
		row("Target torque", quantity.Format(b.Target.Torque, sys), "target.torque")
	}
	if t := b.Target; t.VehicleMass != 0 {
		strip := quantity.FormatIn(t.TrapSpeed, quantity.MilePerHour)
		if t.ElapsedTime != 0 {
			strip = quantity.FormatIn(t.ElapsedTime, quantity.Second)
		}
		row("Standing quarter mile", strip+" with "+quantity.Format(t.VehicleMass, sys), "target.trap_speed", "target.elapsed_time", "target.vehicle_mass")
	}
	if t := b.Target; t.Correction != air.None {
		row("Target corrected by", fmt.Sprintf("%s, at %s, %s, humidity %s", t.Correction, quantity.Format(t.DynoBarometer, sys), quantity.Format(t.DynoTemperature, sys), t.DynoHumidity.Percent(0)), "target.correction", "target.dyno_barometer", "target.dyno_temperature", "target.dyno_humidity")
	}
	row("Lambda (λ)", quantity.Digits(float64(b.Target.Lambda), 3), "target.lambda")
	row("Allowance on the demand", b.Target.Allowance.Percent(0), "target.allowance")
	row("Induction", b.Induction.Kind.String(), "induction.kind")
	if b.Induction.Kind.Boosted() {
		row("Boost", quantity.Format(b.Induction.Boost, sys), "induction.boost")
	}
	row("Ambient pressure", quantity.Format(b.Induction.Barometer, sys), "induction.barometer")
	if b.Induction.Altitude != 0 {
		row("Altitude", lengthText(b.Induction.Altitude, sys), "induction.altitude")
	}
	if b.Induction.Humidity != 0 || b.Induction.ChargeTemperature == 0 || b.Tank.Cooling != 0 {
		row("Ambient temperature, humidity", quantity.Format(b.Induction.AmbientTemperature, sys)+", "+b.Induction.Humidity.Percent(0), "induction.ambient_temperature", "induction.humidity")
	}
	if e := b.Induction.CompressorEfficiency; e != 0 {
		row("Compressor efficiency", e.Percent(0), "induction.compressor_efficiency")
		if l := b.Induction.InletLoss; l != 0 {
			row("Loss before the compressor", quantity.Format(l, sys), "induction.inlet_loss")
		}
		row("Intercooler effectiveness", b.Induction.IntercoolerEffectiveness.Percent(0), "induction.intercooler_effectiveness")
		if t := b.Induction.CoolantTemperature; t != 0 {
			row("Coolant of the intercooler", quantity.Format(t, sys), "induction.coolant_temperature")
		}
		if l := b.Induction.IntercoolerLoss; l != 0 {
			row("Loss in the intercooler", quantity.Format(l, sys), "induction.intercooler_loss")
		}
		row("Charge temperature, computed", quantity.Format(b.ChargeTemperature(), sys), "induction.charge_temperature")
	} else {
		row("Charge temperature", quantity.Format(b.ChargeTemperature(), sys), "induction.charge_temperature")
	}
	row("Fuel", b.Fuel.Blend.String()+" at "+quantity.Format(b.Fuel.Temperature, sys), "fuel.blend", "fuel.temperature")
	if b.Fuel.BSFC != 0 {
		row("Measured BSFC", quantity.Format(b.Fuel.BSFC, sys), "fuel.bsfc")
	}
	b.supplyRows(row, sys)
	row("Injectors", named(b.Injectors.Part, fmt.Sprintf("%d, %s, %s", b.Injectors.Count, b.Injectors.Flow.Format(sys), b.Injectors.Firing)), "injectors.flow", "injectors.count", "injectors.firing", "injectors.part")
	row("Dead time", deadTimeText(b.Injectors.DeadTime), "injectors.dead_time")
	if shift := b.Injectors.DeadTimeShift; shift != 0 {
		row("Added to every dead time", quantity.Format(shift, sys), "injectors.dead_time_shift")
	}
	if l := b.Injectors.LowPulse; !l.IsZero() {
		row("Correction of short pulses", l.String(), "injectors.low_pulse")
	}
	if least := b.Injectors.MinimumPulse; least != 0 {
		row("Least linear pulse", quantity.Format(least, sys), "injectors.minimum_pulse")
	}
	if b.Injectors.Spread != 0 {
		row("Spread of the injector set", "±"+b.Injectors.Spread.Percent(0), "injectors.spread")
	}
	if i := b.Secondary; i != nil {
		row("Second set of injectors", named(i.Part, fmt.Sprintf("%d, %s, from a duty of %s of the first, %s staging", i.Count, i.Flow.Format(sys), i.Start.Percent(0), i.Staging)),
			"secondary_injectors", "secondary_injectors.flow", "secondary_injectors.count")
		row("Its dead time", deadTimeText(i.DeadTime), "secondary_injectors.dead_time")
		if i.Spread != 0 {
			row("Its spread", "±"+i.Spread.Percent(0), "secondary_injectors.spread")
		}
	}
	if n := b.Nitrous; a.Demand.Added.Nitrous != 0 {
		row("Nitrous oxide", fmt.Sprintf("%s, adding %s, at lambda %s, its fuel from: %s", quantity.Format(a.Demand.Added.Nitrous, sys),
			quantity.Format(a.Demand.Added.NitrousPower, sys), quantity.Digits(float64(n.Lambda), 3), n.Fuel), "nitrous")
	}
	if m := b.WaterMethanol; m.Flow != 0 {
		row("Water-methanol", fmt.Sprintf("%s at %s, %s methanol by volume, credit %s", quantity.FormatIn(m.Flow, quantity.CCPerMinute), quantity.Format(m.Temperature, sys), m.Methanol, m.Credit), "water_methanol")
	}
	b.regulatorRow(row, sys)
	for i, s := range b.Suction {
		lineRows(row, "Suction side", fmt.Sprintf("suction[%d]", i+1), s, sys)
	}
	for i, p := range b.Pumps {
		p.rows(row, fmt.Sprintf("pumps[%d]", i+1), sys)
	}
	if s := b.SurgeTank; s != nil {
		row("Surge tank", tankText(s.Volume, sys)+", "+quantity.Format(s.LiftRise, sys)+" up to it, return to the "+s.Return.String(), "surge_tank")
	}
	lineRows(row, "Feed line", "feed_line", b.FeedLine, sys)
	for i, s := range b.ReturnLine {
		lineRows(row, "Return line", fmt.Sprintf("return_line[%d]", i+1), s, sys)
	}
	row("Sized on the route", b.Policy.Route.String(), "policy.route")
	if b.Fuel.BSFC == 0 {
		row("Point of the consumption band", b.Policy.Band.String(), "policy.band")
	}
	row("Largest duty allowed", b.Policy.MaxDuty.Percent(0), "policy.max_duty")
	if !b.FeedLine.IsZero() {
		row("Loss allowed between pump and rail", quantity.Format(b.Policy.AllowedLineLoss, sys), "policy.allowed_line_loss")
	}
	row("Margin to boiling wanted at the inlet", quantity.Format(b.Policy.InletMargin, sys), "policy.inlet_margin")
	row("Margins wanted: injectors, pumps, line", b.Policy.InjectorMargin.Percent(0)+", "+b.Policy.PumpMargin.Percent(0)+", "+b.Policy.LineMargin.Percent(0), "policy.injector_margin", "policy.pump_margin", "policy.line_margin")
	return t
}

// supplyRows says what the electric supply is, and the vehicle and tank.
func (b Build) supplyRows(row inputRow, sys quantity.System) {
	e := b.Electrical
	bare, wired := b.electricPumps()
	if wired || b.Injectors.Wiring != nil {
		row("Supply voltage, before the wiring", quantity.Format(e.Supply, sys), "electrical.supply")
	}
	if w := b.Injectors.Wiring; w != nil {
		all := *w
		all.Feeds = AllOfIt
		row("Injectors' wiring", all.text(sys), "injectors.wiring")
	} else {
		row("Voltage at the injectors", quantity.Format(e.Voltage, sys), "electrical.voltage")
	}
	if bare {
		row("Voltage at the pumps", quantity.Format(e.PumpVoltage, sys), "electrical.pump_voltage")
	}
	if c := b.Injectors.Coil; c != (injector.Coil{}) {
		row("Injector coil", c.String(), "injectors.coil")
	}
	if a := b.Vehicle.Acceleration; a != 0 {
		row("Acceleration of the vehicle", quantity.Format(a, sys), "vehicle.acceleration")
	}
	t := b.Tank
	text := "fuel at " + quantity.Format(t.Temperature, sys)
	if t.Fuel != 0 {
		text += ", " + tankText(t.Fuel, sys) + " of it"
	}
	if t.Head != 0 {
		text += ", " + lengthText(t.Head, sys) + " over the pickup"
	}
	if t.Cooling != 0 {
		text += ", cools by 63 % in " + minutes(t.Cooling)
	}
	row("Tank", text, "tank")
	if h := b.Heat; h != (Heat{}) {
		row("Heat picked up: feed, return", quantity.Format(h.Feed, sys)+", "+quantity.Format(h.Return, sys), "heat")
	}
}

// text describes the wiring.
func (w *Wiring) text(sys quantity.System) string {
	back := w.Return
	if back == 0 {
		back = w.Length
	}
	return fmt.Sprintf("%s, %s and %s back at %s, %s over solid copper, contacts %s, feeds %s", w.Conductor.Format(sys), lengthText(w.Length, sys), lengthText(back, sys),
		quantity.Format(w.Temperature, sys), w.Allowance.Percent(0), quantity.FormatIn(w.Contacts, quantity.Milliohm), w.Feeds)
}

// deadTimeText lists the points of a dead time.
func deadTimeText(points []injector.DeadTimePoint) string {
	list := make([]string, len(points))
	for i, p := range points {
		list[i] = p.String()
	}
	return strings.Join(list, ", ")
}

// rows describes the pumps of an entry.
func (p Pump) rows(row inputRow, path string, sys quantity.System) {
	text := fmt.Sprintf("%d", p.Count)
	if p.Role == Lift {
		text += ", lift"
	}
	switch {
	case p.Wear > 0:
		text += ", " + p.Wear.Percent(0) + " taken off for wear"
	case p.Wear < 0:
		text += ", " + (-p.Wear).Percent(0) + " above its curve"
	}
	if p.Relief != 0 {
		text += ", relief valve opens at " + quantity.Format(p.Relief, sys)
	}
	if m := p.Mechanical; m != nil {
		text += fmt.Sprintf(", driven by the engine at %s of its speed, %s per turn, volumetric efficiency %s at %s and %s", quantity.Digits(float64(m.Drive), 3),
			quantity.FormatIn(m.Displacement, quantity.CubicCentimetre), m.Efficiency.Percent(0), quantity.Format(m.TestSpeed, sys), quantity.Format(m.TestPressure, sys))
		if m.GreatestSpeed != 0 {
			text += ", up to " + quantity.Format(m.GreatestSpeed, sys)
		}
	}
	row("Pump", named(p.Part, text), path)
	if p.Wiring != nil {
		row("Its wiring", p.Wiring.text(sys), path+".wiring")
	}
	for i, c := range p.Curves {
		points := make([]string, len(c.Points))
		for i, point := range c.Points {
			points[i] = point.Format(sys)
		}
		row("Flow of one pump at "+quantity.Format(c.Voltage, sys), strings.Join(points, ", "), fmt.Sprintf("%s.curves[%d]", path, i+1))
	}
}

func (b Build) regulatorRow(row inputRow, sys quantity.System) {
	r := b.Regulator
	text := r.Kind.String() + ", base pressure " + quantity.Format(r.BasePressure, sys)
	if r.Rise != 1 && r.Kind == regulator.ManifoldReferenced {
		text += ", rises " + quantity.Digits(float64(r.Rise), 3) + " times as much as boost"
	}
	if r.Control == ByPumpSpeed {
		text = "by pump speed, " + text + ", least speed " + r.LeastSpeed.Percent(0)
		if r.Relief != 0 {
			text += ", relief valve opens at " + quantity.Format(r.Relief, sys) + " over ambient"
		}
		row("Pressure control", named(r.Part, text), "regulator")
		return
	}
	for _, f := range []struct {
		text  string
		flow  quantity.VolumeFlow
		given bool
	}{
		{", needs a return of ", r.LeastReturn, r.LeastReturn != 0},
		{", returns up to ", r.MaxReturn, r.MaxReturn != 0},
	} {
		if f.given {
			text += f.text + quantity.Format(f.flow, sys)
		}
	}
	if r.Slope != (regulator.Slope{}) {
		text += ", rises " + r.Slope.Format(sys)
		if r.SetFlow != 0 {
			text += " beyond " + quantity.Format(r.SetFlow, sys)
		}
	}
	if r.OpenDrop != 0 {
		text += ", loses " + quantity.Format(r.OpenDrop, sys) + " wide open at its most"
	}
	row("Regulator", named(r.Part, text), "regulator")
}

// lineRows describes a line and its filter, as far as there are any.
func lineRows(row inputRow, name, path string, s Segment, sys quantity.System) {
	if bore := s.bore(); bore != 0 {
		text := "bore " + quantity.FormatIn(bore, quantity.Millimetre)
		if s.Bore == 0 {
			text += " (" + s.Dash.Format(sys) + ")"
		}
		text += fmt.Sprintf(", length %s, fittings K %s, rise %s", lengthText(s.Length, sys), quantity.Digits(float64(s.LossCoefficient), 3), lengthText(s.Rise, sys))
		text += ", roughness " + quantity.FormatIn(s.Roughness, quantity.Micrometre)
		if s.Ahead != 0 {
			text += ", leads ahead " + lengthText(s.Ahead, sys)
		}
		row(name, named(s.Part, text), path)
	}
	if f := s.Filter; f.Drop != 0 {
		if name == "Feed line" || s.bore() != 0 {
			row("Filter", f.Format(sys), path+".filter")
		} else {
			row(name, named(s.Part, "filter, "+f.Format(sys)), path)
		}
	}
}

func named(part, text string) string {
	if part == "" {
		return text
	}
	return part + ": " + text
}

// tankText prints the volume of a tank, for which cubic inches are too small.
func tankText(v quantity.Volume, sys quantity.System) string {
	return sys.Each(func(s quantity.System) string {
		if s == quantity.US {
			return quantity.FormatIn(v, quantity.Gallon)
		}
		return quantity.FormatIn(v, quantity.Litre)
	})
}

// lengthText prints lengths of pipe, for which millimetres and inches are too small.
func lengthText(l quantity.Length, sys quantity.System) string {
	return sys.Each(func(s quantity.System) string {
		if s == quantity.US {
			return quantity.FormatIn(l, quantity.Foot)
		}
		return quantity.FormatIn(l, quantity.Metre)
	})
}
