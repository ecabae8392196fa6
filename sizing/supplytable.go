package sizing

import "example.com/railbook/sizing/quantity"

// SupplyTable shows what is before and around the pumps at the target: the inlet and
// its margin over the vapour pressure, the pumps' voltage and current, and the heat
// that the fuel picks up.
func (a *Assessment) SupplyTable(sys quantity.System) Table {
	t := Table{Caption: "Inlet, electric load and heat at " + quantity.Format(a.Power, sys), Columns: columns("Quantity", "Value")}
	row := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	in := a.Inlet
	row("Drawn from the tank", quantity.Format(in.Flow, sys))
	row("Pressure at the pumps' inlet, absolute", quantity.Format(in.Pressure, sys))
	row("Vapour pressure at "+quantity.Format(a.Build.Tank.Temperature, sys), quantity.Format(in.Vapour, sys))
	row("Margin to boiling at the inlet, wanted "+quantity.Format(a.Build.Policy.InletMargin, sys), quantity.Format(in.Margin, sys))
	row("Net positive suction head available", lengthText(in.NPSH, sys))
	if in.Velocity != 0 {
		row("Fastest in the suction side", quantity.Format(in.Velocity, sys))
	}
	row("Margin to boiling at the rail, fuel at "+quantity.Format(a.Build.Fuel.Temperature, sys), quantity.Format(in.RailHot, sys))
	for i, l := range a.Loads.Pumps {
		l.rows(a.Build.Pumps[i].name(i), row, sys)
	}
	if a.Idle.Speed != 0 {
		row("Pump speed at idle", a.Idle.Speed.Percent(0)+" of full motor voltage")
	}
	if c := a.Loads.Injectors; c != 0 {
		row("Injectors: mean current of all", quantity.Format(c, sys))
	}
	if c := a.Loads.Total; c != 0 {
		row("Electric load, as far as it is known", quantity.Format(c, sys))
	}
	if w := a.Warming; w != nil {
		w.rows(a.Build, row, sys)
	}
	return t
}

func (l PumpLoad) rows(name string, row func(name, value string), sys quantity.System) {
	text := quantity.Format(l.Flow, sys) + " against " + quantity.Format(l.Rise, sys)
	if l.Voltage != 0 {
		text += " at " + quantity.Format(l.Voltage, sys)
	}
	row(name, text)
	if l.Speed < 1 {
		row(name+": speed", l.Speed.Percent(0)+" of full motor voltage")
	}
	if l.Current != 0 {
		row(name+": current", quantity.Format(l.Current, sys))
	}
	if l.Drop != 0 {
		row(name+": lost in the wiring", quantity.Format(l.Drop, sys))
	}
}

func (w *Warming) rows(b Build, row func(name, value string), sys quantity.System) {
	row("Heat from the pumps: target, idle", quantity.Format(w.Pump, sys)+", "+quantity.Format(w.IdlePump, sys))
	warmed := func(name string, target, idle quantity.TemperatureDiff) {
		switch {
		case idle != 0:
			row(name+": target, idle", quantity.Format(target, sys)+", "+quantity.Format(idle, sys))
		case target != 0:
			row(name+" at the target", quantity.Format(target, sys))
		}
	}
	warmed("Warmed from tank to rail", w.RailRise, w.IdleRailRise)
	warmed("Warmed once round", w.LapRise, w.IdleLapRise)
	if w.HotRail != 0 {
		row("Margin to boiling at the rail, idling, at "+quantity.Format(w.HotRail, sys), quantity.Format(w.HotMargin, sys))
	}
	if w.AfterHour != 0 {
		row("Tank of "+tankText(b.Tank.Fuel, sys)+" after an hour of idling", quantity.Format(w.AfterHour, sys))
	}
	if w.Boils != 0 {
		row("Idling until the inlet has not its margin", minutes(w.Boils))
	}
}
