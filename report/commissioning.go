package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// Limits at which a pull is stopped: common practice, no source.
const (
	railDropStop   quantity.Ratio = 0.05 // of the differential pressure
	lambdaLeanStop quantity.Ratio = 0.03 // above the target's lambda
)

// check is one line of the commissioning list.
type check struct{ what, expect string }

// commissioning writes the checklist for the finished system.
func (w *writer) commissioning() {
	a := w.a
	w.text("The assessment is arithmetic; these checks are the proof. Each gives what the assessment expects and leaves a place for what was found. A reading that does not agree is a finding, not a nuisance: stop, and find the reason. The order and the tolerances are common practice, no source.")
	if w.carriesTooLittle() {
		w.doc.Row(layout.Row{Cells: []layout.Cell{{
			Width: page, Fill: layout.Tint, Type: layout.Strong, Pad: layout.Pad{Left: 3, Top: 2, Right: 3, Bottom: 2},
			Text: tie(fmt.Sprintf("%s Do not run this system at %s. By this assessment a part runs out at %s, and the power should stay below that by the margins wanted.",
				graveMark, format(w, a.Power), format(w, a.Weakest().Limit))),
		}}})
		w.doc.Space(1.5)
	}
	t := layout.Table{Caption: "Commissioning checklist", Columns: []layout.Column{
		{Name: "Done", Share: 0.06}, {Name: "Check", Share: 0.51}, {Name: "Expect", Share: 0.25}, {Name: "Found", Share: 0.18},
	}}
	for _, c := range w.checks() {
		t.Rows = append(t.Rows, []string{"☐", tie(c.what), tie(c.expect), ""})
	}
	w.put(t)
	w.doc.Heading("Stop the pull at once")
	w.doc.List("■", layout.Body, w.stops()...)
}

func (w *writer) checks() []check {
	a, b := w.a, w.a.Build
	ambient := b.Induction.Barometer
	gauge := func(p quantity.Pressure) string { return format(w, p.Above(ambient)) }
	list := []check{
		{"Leak test. Engine stopped, ignition off, an extinguisher at hand: run the pumps, hold the pressure for five minutes, wipe every joint with a dry cloth.", "no wetness, no smell"},
		{"Pump cut-off. Stall the engine with the pumps running; then trip the crash switch, where there is one.", "pumps stop by themselves"},
		{"Voltage at the pumps' terminals, pumps at full load.", format(w, b.Electrical.PumpVoltage) + " or more"},
		{"Voltage at the injectors, engine at the target's speed.", format(w, b.Electrical.Voltage) + " or more"},
	}
	switch b.Regulator.Kind {
	case regulator.ManifoldReferenced:
		list = append(list,
			check{"Base pressure at the rail, reference hose off the regulator and its port open, pumps running.", format(w, b.Regulator.BasePressure)},
			check{"Rail pressure at idle, reference hose back on. Higher than expected: the return or the regulator cannot pass the flow.",
				gauge(w.idleSetpoint())})
	case regulator.Returnless:
		list = append(list, check{"Pressure at the pump's outlet, where the regulator sits, pumps running.", format(w, b.Regulator.BasePressure)})
	default:
		list = append(list, check{"Pressure at the rail, pumps running.", format(w, b.Regulator.BasePressure)})
	}
	if content := b.Fuel.Blend.EthanolContent(); content > 0 {
		list = append(list, check{"Ethanol content of the fuel in the tank, by sensor or by water in a test tube. Again after every filling.", format(w, content) + " by volume"})
	} else {
		list = append(list, check{"The fuel in the tank, by its delivery note.", b.Fuel.Blend.String()})
	}
	idle := format(w, a.Idle.Pulse)
	if least := b.Injectors.MinimumPulse; least > a.Idle.Pulse {
		idle = format(w, least) + " or more (" + idle + " computed)"
	} else if least != 0 {
		idle += ", at least " + format(w, least)
	}
	rail := check{"Rail pressure at the target, logged with manifold pressure from a part-load pull upwards: rail less manifold.", format(w, a.Injection.Differential) + " throughout"}
	if b.Regulator.Kind != regulator.ManifoldReferenced {
		rail.expect = format(w, a.Injection.Differential) + " at the target"
	}
	duty := check{"Injector duty at the peak of the pull, dead time counted.", a.Injection.Duty.Percent(0) + ", at most " + b.Policy.MaxDuty.Percent(0)}
	if a.Injection.Duty > b.Policy.MaxDuty || a.Injection.Pulse == 0 {
		duty.expect = "at most " + b.Policy.MaxDuty.Percent(0)
	}
	return append(list,
		check{"Pulse width at idle, engine warm.", idle},
		rail, duty,
		check{"Lambda at the peak of the pull.", "λ " + quantity.Digits(float64(b.Target.Lambda), 3) + " or richer"},
		check{"Fuel temperature at the rail at the end of the hottest session.", format(w, b.Fuel.Temperature) + " or cooler"},
		check{"Leaks and filter once more, after the first heat cycle.", "dry; filter clean"},
	)
}

// idleSetpoint is where a manifold-referenced regulator holds the rail at idle.
func (w *writer) idleSetpoint() quantity.Pressure {
	b := w.a.Build
	r := regulator.Regulator{Kind: b.Regulator.Kind, BasePressure: b.Regulator.BasePressure, RisingRate: b.Regulator.Rise}
	return r.Setpoint(b.Engine.IdlePressure, b.Induction.Barometer)
}

func (w *writer) stops() []string {
	a, b := w.a, w.a.Build
	drop := quantity.PressureDiff(float64(railDropStop) * float64(a.Injection.Differential))
	lean := b.Target.Lambda + lambdaLeanStop
	list := []string{
		"A smell of fuel, wetness anywhere, a pump that changes its note.",
		"Lambda leaner than " + quantity.Digits(float64(lean), 3) + " under load.",
		"Injector duty above " + b.Policy.MaxDuty.Percent(0) + ".",
		"Knock, or exhaust temperature above the limit set for this engine.",
	}
	if a.Injection.Differential > 0 {
		list = append(list, "Rail less manifold pressure more than "+format(w, drop)+" ("+railDropStop.Percent(0)+") below what the checklist expects.")
	}
	if weakest := a.Weakest(); weakest.Status != sizing.Short {
		list = append(list, "Power above "+format(w, weakest.Keeps)+": from there on the margin wanted at the "+weakest.Kind.String()+" is no longer kept.")
	}
	for i := range list {
		list[i] = tie(list[i])
	}
	return list
}
