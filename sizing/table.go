package sizing

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Table is a table of text, ready for a terminal, a notebook or a page. The
// first column names the row.
type Table struct {
	Caption string
	Columns []Column
	Rows    [][]string
	Status  []Status // of each row, where the table judges; nil otherwise
}

// Column heads one column of a [Table].
type Column struct {
	Name    string
	Numeric bool // to be set flush right
}

func columns(names ...string) []Column {
	list := make([]Column, len(names))
	for i, n := range names {
		list[i] = Column{Name: n, Numeric: i > 0}
	}
	return list
}

// DemandTable shows the fuel demand by its three routes.
func (a *Assessment) DemandTable(sys quantity.System) Table {
	d := a.Demand
	t := Table{
		Caption: "Fuel demand at " + quantity.Format(a.Power, sys) + " on " + a.Build.Fuel.Blend.String(),
		Columns: append(columns("Route", "Fuel mass flow", "Fuel volume flow", "BSFC"), Column{Name: ""}),
	}
	for _, r := range []struct {
		name  string
		route demand.Route
		flow  quantity.MassFlow
	}{
		{"Power", demand.Power, d.Routes.Power},
		{"Energy", demand.Energy, d.Routes.Energy},
		{"Air", demand.Air, d.Routes.Air},
	} {
		note := ""
		if r.route == d.Governing {
			note = "governs"
		}
		t.Rows = append(t.Rows, []string{
			r.name, quantity.Format(r.flow, sys), quantity.Format(r.flow.Volume(d.Density), sys),
			quantity.Format(quantity.SpecificConsumption(float64(r.flow)/float64(a.Power)), sys), note,
		})
	}
	if c := d.Added.Circuit; c.Pumps != 0 || c.Separate != 0 {
		flow := max(c.Pumps, c.Separate)
		t.Rows = append(t.Rows, []string{"Nitrous oxide", quantity.Format(flow, sys), quantity.Format(flow.Volume(d.Density), sys), "", "from: " + a.Build.Nitrous.Fuel.String()})
	}
	if d.Added.Replaced != 0 {
		note := "shown only"
		if d.Added.Credited != 0 {
			note = "taken off"
		}
		t.Rows = append(t.Rows, []string{"Replaced by methanol", quantity.Format(d.Added.Replaced, sys), quantity.Format(d.Added.Replaced.Volume(d.Density), sys), "", note})
	}
	note := "no allowance"
	if al := a.Build.Target.Allowance; al != 0 {
		note = al.Percent(0) + " allowance added"
	}
	t.Rows = append(t.Rows, []string{
		"Sized for", quantity.Format(d.Total, sys), quantity.Format(d.Volume, sys),
		quantity.Format(quantity.SpecificConsumption(float64(d.Total)/float64(a.Power)), sys), note,
	})
	return t
}

// MarginTable shows every part with what it can carry, what it has to, its
// margin and the power at which it runs out.
func (a *Assessment) MarginTable(sys quantity.System) Table {
	t := Table{
		Caption: "Parts and margins at " + quantity.Format(a.Power, sys),
		Columns: append(columns("Part", "Can carry", "Has to carry", "Margin", "Wanted", "Runs out at"), Column{Name: "Status"}),
	}
	weakest := a.Weakest()
	for _, p := range a.Parts {
		name := p.Kind.String()
		if p.Name != "" {
			name += ": " + p.Name
		}
		can, has := quantity.Format(p.Capability, sys), quantity.Format(p.Demand, sys)
		if p.Kind == IdleInjectionPart {
			can = quantity.Format(a.Build.Injectors.MinimumPulse, sys) + " least"
			has = quantity.Format(a.Idle.Pulse, sys)
		}
		limit, wanted := "any power", "none"
		if p.Limited {
			limit, wanted = quantity.Format(p.Limit, sys), p.Wanted.Percent(0)
			if p.Kind == weakest.Kind {
				limit += " (first)"
			}
		}
		t.Rows = append(t.Rows, []string{name, can, has, signed(p.Margin), wanted, limit, p.Status.Symbol() + " " + p.Status.String()})
		t.Status = append(t.Status, p.Status)
	}
	return t
}

func signed(margin quantity.Ratio) string {
	return strings.Replace(fmt.Sprintf("%+.0f %%", 100*float64(margin)), "-", "−", 1)
}

// InjectionTable shows what each injector does at the target.
func (a *Assessment) InjectionTable(sys quantity.System) Table {
	in, d := a.Injection, a.Delivery
	rows := [][]string{
		{"Fuel per injector", quantity.Format(in.PerInjector, sys)},
		{"Differential pressure, rail over manifold", quantity.Format(in.Differential, sys)},
		{"Static flow on this fuel at that pressure", quantity.Format(in.Static, sys) + " = " + quantity.FormatIn(in.StaticVolume, quantity.CCPerMinute)},
		{"Static flow needed, dead time counted", quantity.Format(in.StaticNeeded, sys)},
		{"Static flow needed, dead time left out", quantity.Format(in.RuleOfThumb, sys)},
		{"Time between injections", quantity.Format(in.Interval, sys)},
		{"Dead time", quantity.Format(in.DeadTime, sys)},
		{"Pulse width", quantity.Format(in.Pulse, sys)},
		{"Duty, largest allowed " + a.Build.Policy.MaxDuty.Percent(0), in.Duty.Percent(1)},
		{"Pulse width at idle", quantity.Format(a.Idle.Pulse, sys)},
		{"Rail pressure over ambient, set", quantity.Format(d.SetRail.Above(a.Build.Induction.Barometer), sys)},
		{"Rail pressure over ambient, found", quantity.Format(d.Rail.Above(a.Build.Induction.Barometer), sys)},
		{"Pump pressure, outlet over inlet", quantity.Format(d.PumpRise, sys)},
		{"Pump flow", quantity.Format(d.PumpFlow, sys)},
		{"Returned by the regulator", quantity.Format(d.Return, sys)},
		{"Lost between pump and rail", quantity.Format(d.LineLoss, sys)},
		{"Fuel delivered", quantity.Format(d.Delivered, sys)},
		{"Power that this fuel supports", quantity.Format(d.Supported, sys)},
	}
	if second := in.Secondary; second != nil {
		rows = slices.Insert(rows, 9, [][]string{
			{"Second set: fuel per injector", quantity.Format(second.PerInjector, sys)},
			{"Second set: static flow", quantity.Format(second.Static, sys) + " = " + quantity.FormatIn(second.StaticVolume, quantity.CCPerMinute)},
			{"Second set: pulse width", quantity.Format(second.Pulse, sys)},
			{"Second set: duty", second.Duty.Percent(1)},
		}...)
	}
	return Table{Caption: "Injection and delivery at " + quantity.Format(a.Power, sys), Columns: columns("Quantity", "Value"), Rows: rows}
}

// InputTable shows the build as assessed, defaults filled in.
func (a *Assessment) InputTable(sys quantity.System) Table {
	b := a.Build
	var rows [][]string
	row := func(name, value string) { rows = append(rows, []string{name, value}) }
	row("Displacement", quantity.Format(b.Engine.Displacement, sys))
	row("Cylinders", fmt.Sprintf("%d, %s", b.Engine.Cylinders, map[int]string{2: "two-stroke", 4: "four-stroke"}[b.Engine.Strokes]))
	row("Speed at the target", quantity.Format(b.Engine.Speed, sys))
	row("Volumetric efficiency", b.Engine.VolumetricEfficiency.Percent(0))
	row("Brake efficiency of the heat released", b.Engine.BrakeEfficiency.Percent(0))
	row("Idle", quantity.Format(b.Engine.IdleSpeed, sys)+" at "+quantity.Format(b.Engine.IdlePressure, sys)+", absolute, in the manifold")
	row("Target power at the crank", quantity.Format(a.Power, sys))
	if b.Target.WheelPower != 0 {
		row("Target power at the wheels", quantity.Format(b.Target.WheelPower, sys)+", drivetrain loss "+b.Target.DrivetrainLoss.Percent(0))
	}
	if b.Target.Torque != 0 {
		row("Target torque", quantity.Format(b.Target.Torque, sys))
	}
	if t := b.Target; t.VehicleMass != 0 {
		strip := quantity.FormatIn(t.TrapSpeed, quantity.MilePerHour)
		if t.ElapsedTime != 0 {
			strip = quantity.FormatIn(t.ElapsedTime, quantity.Second)
		}
		row("Standing quarter mile", strip+" with "+quantity.Format(t.VehicleMass, sys))
	}
	if t := b.Target; t.Correction != air.None {
		row("Target corrected by", fmt.Sprintf("%s, at %s, %s, humidity %s", t.Correction, quantity.Format(t.DynoBarometer, sys), quantity.Format(t.DynoTemperature, sys), t.DynoHumidity.Percent(0)))
	}
	row("Lambda (λ)", quantity.Digits(float64(b.Target.Lambda), 3))
	row("Allowance on the demand", b.Target.Allowance.Percent(0))
	row("Induction", b.Induction.Kind.String())
	if b.Induction.Kind.Boosted() {
		row("Boost", quantity.Format(b.Induction.Boost, sys))
	}
	row("Ambient pressure", quantity.Format(b.Induction.Barometer, sys))
	if b.Induction.Altitude != 0 {
		row("Altitude", lengthText(b.Induction.Altitude, sys))
	}
	if b.Induction.Humidity != 0 || b.Induction.CompressorEfficiency != 0 {
		row("Ambient temperature, humidity", quantity.Format(b.Induction.AmbientTemperature, sys)+", "+b.Induction.Humidity.Percent(0))
	}
	if e := b.Induction.CompressorEfficiency; e != 0 {
		row("Compressor efficiency", e.Percent(0))
		row("Intercooler effectiveness", b.Induction.IntercoolerEffectiveness.Percent(0))
		row("Charge temperature, computed", quantity.Format(b.ChargeTemperature(), sys))
	} else {
		row("Charge temperature", quantity.Format(b.ChargeTemperature(), sys))
	}
	row("Fuel", b.Fuel.Blend.String()+" at "+quantity.Format(b.Fuel.Temperature, sys))
	if b.Fuel.BSFC != 0 {
		row("Measured BSFC", quantity.Format(b.Fuel.BSFC, sys))
	}
	row("Supply voltage: injectors, pumps", quantity.Format(b.Electrical.Voltage, sys)+", "+quantity.Format(b.Electrical.PumpVoltage, sys))
	row("Injectors", named(b.Injectors.Part, fmt.Sprintf("%d, %s, %s", b.Injectors.Count, b.Injectors.Flow.Format(sys), b.Injectors.Firing)))
	if b.Injectors.Spread != 0 {
		row("Spread of the injector set", "±"+b.Injectors.Spread.Percent(0))
	}
	if i := b.Secondary; i != nil {
		row("Second set of injectors", named(i.Part, fmt.Sprintf("%d, %s, from a duty of %s of the first, %s staging", i.Count, i.Flow.Format(sys), i.Start.Percent(0), i.Staging)))
	}
	if n := b.Nitrous; a.Demand.Added.Nitrous != 0 {
		row("Nitrous oxide", fmt.Sprintf("%s, adding %s, at lambda %s, its fuel from: %s", quantity.Format(a.Demand.Added.Nitrous, sys),
			quantity.Format(a.Demand.Added.NitrousPower, sys), quantity.Digits(float64(n.Lambda), 3), n.Fuel))
	}
	if m := b.WaterMethanol; m.Flow != 0 {
		row("Water-methanol", fmt.Sprintf("%s, %s methanol by volume, credit %s", quantity.FormatIn(m.Flow, quantity.CCPerMinute), m.Methanol, m.Credit))
	}
	row("Regulator", named(b.Regulator.Part, b.Regulator.Kind.String()+", base pressure "+quantity.Format(b.Regulator.BasePressure, sys)))
	for _, p := range b.Pumps {
		text := fmt.Sprintf("%d", p.Count)
		if p.Wear != 0 {
			text += ", " + p.Wear.Percent(0) + " taken off for wear"
		}
		if p.Relief != 0 {
			text += ", relief valve opens at " + quantity.Format(p.Relief, sys)
		}
		row("Pump", named(p.Part, text))
		for _, c := range p.Curves {
			points := make([]string, len(c.Points))
			for i, point := range c.Points {
				points[i] = point.Format(sys)
			}
			row("Flow of one pump at "+quantity.Format(c.Voltage, sys), strings.Join(points, ", "))
		}
	}
	if l := b.FeedLine; l.Bore != 0 {
		row("Feed line", named(l.Part, fmt.Sprintf("bore %s, length %s, fittings K %s, rise %s",
			quantity.FormatIn(l.Bore, quantity.Millimetre), lengthText(l.Length, sys), quantity.Digits(float64(l.LossCoefficient), 3), lengthText(l.Rise, sys))))
	}
	if f := b.FeedLine.Filter; f.Drop != 0 {
		row("Filter", f.Format(sys))
	}
	row("Largest duty allowed", b.Policy.MaxDuty.Percent(0))
	row("Margins wanted: injectors, pumps, line", b.Policy.InjectorMargin.Percent(0)+", "+b.Policy.PumpMargin.Percent(0)+", "+b.Policy.LineMargin.Percent(0))
	return Table{Caption: "The combination", Columns: []Column{{Name: "Input"}, {Name: "Value"}}, Rows: rows}
}

func named(part, text string) string {
	if part == "" {
		return text
	}
	return part + ": " + text
}

// lengthText prints lengths of pipe, for which millimetres and inches are too small.
func lengthText(l quantity.Length, sys quantity.System) string {
	if sys == quantity.US {
		return quantity.FormatIn(l, quantity.Foot)
	}
	return quantity.FormatIn(l, quantity.Metre)
}
