package report

import (
	"fmt"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// regulator writes the section on what holds the rail pressure.
func (w *writer) regulator() {
	b, d := w.a.Build, w.a.Delivery
	r := b.Regulator
	text := map[regulator.Kind]string{
		regulator.ManifoldReferenced: "The regulator follows the manifold, so that the injectors see the same differential pressure at any boost.",
		regulator.Returnless:         "The regulator sits at the pump and refers to ambient pressure: what the line loses, and what boost there is, is taken from the injectors.",
	}[r.Kind]
	if text == "" {
		text = "The regulator refers to ambient pressure, so that boost takes from the injectors' differential pressure."
	}
	if r.Control == sizing.ByPumpSpeed {
		text = "A controller slows the pumps until the rail has its pressure; nothing is returned. " + map[bool]string{
			true: "Its set point follows the manifold.", false: "Its set point refers to ambient pressure.",
		}[r.Kind == regulator.ManifoldReferenced]
	}
	w.lead(text + fmt.Sprintf(" %s has the pressures and flows.", capital(w.next())))
	w.table(w.regulatorTable())
	switch rise := d.Rail.Above(d.SetRail); {
	case d.Sags:
		w.text(fmt.Sprintf("At the target the pumps do not hold the set pressure; the regulator is shut and the rail is %s below it.", format(w, -rise)))
	case rise > 0:
		w.text(fmt.Sprintf("With its return flowing the rail stands %s above its set pressure, by the slope of the regulator and the loss of the return line. Margins of the pumps are taken at the set pressure.", format(w, rise)))
	}
	if p, ok := w.a.Part(sizing.RegulatorPart); ok {
		w.text(fmt.Sprintf("It returns most at idle: %s, where it can return %s.", format(w, p.Demand), format(w, p.Capability)))
	} else if r.Control == sizing.ByValve && w.a.Idle.Return > 0 {
		w.text(fmt.Sprintf("It returns most at idle: %s. How much it can return without losing control the build sheet does not say; ask its maker.", format(w, w.a.Idle.Return)))
	}
}

// regulatorTable shows the rail pressure and what is returned.
func (w *writer) regulatorTable() sizing.Table {
	a, b, d := w.a, w.a.Build, w.a.Delivery
	t := sizing.Table{Caption: "Rail pressure and return", Columns: []sizing.Column{{Name: "Quantity"}, {Name: "At the target", Numeric: true}, {Name: "At idle", Numeric: true}}}
	row := func(name, target, idle string) { t.Rows = append(t.Rows, []string{name, target, idle}) }
	over := func(p, base quantity.Pressure) string { return format(w, p.Above(base)) }
	ambient := b.Induction.Barometer
	row("Manifold pressure, absolute", format(w, a.Manifold), format(w, b.Engine.IdlePressure))
	row("Rail pressure over ambient, set", over(d.SetRail, ambient), over(w.idleSetpoint(), ambient))
	row("Rail pressure over ambient, found", over(d.Rail, ambient), over(a.Idle.Rail, ambient))
	row("Rail over manifold", over(d.Rail, a.Manifold), over(a.Idle.Rail, b.Engine.IdlePressure))
	row("Burnt", format(w, d.Delivered.Volume(a.Demand.Density)), format(w, a.Idle.Fuel.Volume(a.Demand.Density)))
	row("Returned", format(w, d.Return), format(w, a.Idle.Return))
	if a.Idle.Speed != 0 {
		target := quantity.Ratio(1)
		for i, p := range b.Pumps {
			if p.Role == sizing.Main {
				target = a.Loads.Pumps[i].Speed
			}
		}
		row("Speed of the pumps, of full motor voltage", target.Percent(0), a.Idle.Speed.Percent(0))
	}
	return t
}

// margins writes the section on the margins of all parts.
func (w *writer) margins() {
	a := w.a
	text := fmt.Sprintf("%s sets what each part can carry against what it has to carry at %s, both as fuel flow by volume at the rail. ", capital(w.next()), format(w, a.Power)) +
		"The status is ● carries where the demand is met with the margin wanted, ◐ thin where the demand is met but not the margin, and ○ short where the demand is not met."
	if list := w.plates.headroom; len(list) > 0 {
		text += fmt.Sprintf(" %s shows the power at which each runs out: the headroom over the target, which is drawn in.", capital(figureRef(list[0].number)))
	}
	w.text(text)
	w.table(a.MarginTable(w.sys))
	w.show(w.plates.headroom)
	hold := "The powers hold as long as the fuel goes in proportion to power"
	if a.Build.Induction.Kind.Boosted() {
		hold += ", and manifold pressure too"
	}
	w.text(hold + "; " + w.section(assumptionsTitle) + " has what follows where it does not.")
}
