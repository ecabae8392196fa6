package report

import (
	"fmt"
	"slices"

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
	w.lead("The assessment is arithmetic; the checks of " + w.next() + " are the proof. Each gives what the assessment expects and leaves a place for what was found. A reading that does not agree is a finding, not a nuisance: stop, and find the reason. The order and the tolerances are common practice, no source; " + w.section(safetyTitle) + " comes before any of them.")
	if w.carriesTooLittle() {
		w.doc.Row(layout.Row{Cells: []layout.Cell{{
			Width: page, Fill: layout.Tint, Type: layout.Strong, Pad: layout.Pad{Left: 3, Top: 2, Right: 3, Bottom: 2},
			Text: tie(fmt.Sprintf("%s Do not run this system at %s. By this assessment the %s run out at %s; run no more than %s, up to which the margin wanted is kept.",
				graveMark, format(w, a.Power), a.Weakest().Kind, format(w, a.Weakest().Limit), format(w, a.Weakest().Keeps))),
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
	}
	if w.electric() {
		list = append(list, check{"Pump cut-off. Stall the engine with the pumps running; then trip the crash switch, where there is one.", "pumps stop by themselves"})
	} else {
		list = append(list, check{"Shut-off valve at the tank. Close it with the engine at idle.", "engine dies, rail goes down"})
	}
	for i, p := range b.Pumps {
		if l := a.Loads.Pumps[i]; p.Mechanical == nil && (p.Wiring != nil || i == w.firstBare()) {
			name := "Voltage at the pumps' terminals, pumps at full load."
			if p.Wiring != nil {
				name = "Voltage at the terminals of " + nameOr(p.Part, fmt.Sprintf("pump %d", i+1)) + ", pumps at full load."
			}
			list = append(list, check{name, format(w, l.Voltage) + " or more"})
		}
	}
	list = append(list, check{"Voltage at the injectors, engine at the target's speed.", format(w, a.Injection.Voltage) + " or more"})
	if b.SurgeTank != nil {
		list = append(list, check{"Surge tank: lift pumps alone, into a measuring vessel at the height of the tank.", format(w, w.liftFlow()) + " or more"})
	}
	switch b.Regulator.Kind {
	case regulator.ManifoldReferenced:
		list = append(list,
			check{"Base pressure set at the rail: reference hose off the regulator and its port open, pumps running.", format(w, b.Regulator.BasePressure)},
			check{"Rail pressure at idle, reference hose back on. Higher than expected: the return or the regulator cannot pass the flow.",
				gauge(w.idleSetpoint())})
	case regulator.Returnless:
		list = append(list, check{"Pressure at the pump's outlet, where the regulator sits, pumps running.", format(w, b.Regulator.BasePressure)})
	default:
		list = append(list, check{"Pressure at the rail, pumps running.", format(w, b.Regulator.BasePressure)})
	}
	if b.Regulator.Control == sizing.ByPumpSpeed {
		list = append(list, check{"Relief valve: pumps at full speed by hand, engine stopped, for a few seconds.", w.reliefAt()})
	}
	if content := b.Fuel.Blend.EthanolContent(); content > 0 {
		list = append(list, check{"Ethanol content of the fuel in the tank read, by sensor or by water in a test tube. Again after every filling.", format(w, content) + " by volume"})
	} else {
		list = append(list, check{"The fuel in the tank, by its delivery note.", b.Fuel.Blend.String()})
	}
	idle := format(w, a.Idle.Pulse)
	if least := b.Injectors.MinimumPulse; least > a.Idle.Pulse {
		idle = format(w, least) + " or more (" + idle + " computed)"
	} else if least != 0 {
		idle += ", at least " + format(w, least)
	}
	rail := check{"Rail pressure logged under load with manifold pressure, from a part-load pull upwards: rail less manifold.", format(w, a.Injection.Differential) + " throughout"}
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

// railDrop is how far rail less manifold pressure may fall below what it should be before
// a pull is stopped.
func (w *writer) railDrop() quantity.PressureDiff {
	return quantity.PressureDiff(float64(railDropStop) * float64(w.a.Injection.Differential))
}

// firstBare is the first entry of electric pumps without described wiring; -1 for none.
func (w *writer) firstBare() int {
	return slices.IndexFunc(w.a.Build.Pumps, func(p sizing.Pump) bool { return p.Mechanical == nil && p.Wiring == nil })
}

// liftFlow is what the lift pumps have to bring.
func (w *writer) liftFlow() quantity.VolumeFlow {
	if p, ok := w.a.Part(sizing.LiftPart); ok {
		return p.Demand
	}
	return w.a.Demand.Volume
}

// reliefAt says what a relief valve of the rail is to do.
func (w *writer) reliefAt() string {
	if r := w.a.Build.Regulator.Relief; r != 0 {
		return "opens at " + format(w, r)
	}
	return "one is fitted and opens"
}

func (w *writer) stops() []string {
	a, b := w.a, w.a.Build
	drop := w.railDrop()
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
