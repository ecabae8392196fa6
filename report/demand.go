package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// demand writes the section on fuel demand.
func (w *writer) demand() {
	a, d, b := w.a, w.a.Demand, w.a.Build
	w.text(fmt.Sprintf("Three routes lead to the fuel that the engine needs, and none is taken on trust. %s sets them side by side.", capital(w.next())))
	w.doc.List("–", layout.Body,
		tie(fmt.Sprintf("Power: %s at %s. %s", format(w, a.Power), format(w, d.Band.At(b.Policy.Band)), w.consumption())),
		tie(fmt.Sprintf("Energy: the same power at a brake efficiency of %s of the heat released, %s of the lower heating value of %s at this mixture.",
			b.Engine.BrakeEfficiency.Percent(0), b.Fuel.Blend.Completeness(b.Target.Lambda).Percent(1), format(w, b.Fuel.Blend.LHV()))),
		tie(fmt.Sprintf("Air: %s of air at a volumetric efficiency of %s, and fuel for λ %s at a stoichiometric ratio of %s.",
			format(w, d.Air), b.Engine.VolumetricEfficiency.Percent(0), quantity.Digits(float64(b.Target.Lambda), 3), quantity.Digits(float64(d.AFR), 4))),
	)
	w.table(a.DemandTable(w.sys))
	text := fmt.Sprintf("The highest route lies %s above the lowest. ", d.Spread.Percent(0))
	switch {
	case d.Spread > 0.25:
		text += "That is more than the routes' own doubts explain: target power, boost, speed and volumetric efficiency may not belong together. "
	case d.Spread > 0.12:
		text += "That is what separate estimates of one engine are wont to differ by; a logged pull would close the gap. "
	default:
		text += "Separate estimates of one engine seldom agree better. "
	}
	text += fmt.Sprintf("The system is sized on the %s route; %s shows the arithmetic.", d.Governing, w.section(workingTitle))
	w.text(text)
	w.addedDemand()
}

// consumption says where the consumption of the power route comes from.
func (w *writer) consumption() string {
	if w.a.Build.Fuel.BSFC != 0 {
		return "The consumption was measured; the build sheet gives it."
	}
	band := w.a.Demand.Band
	return fmt.Sprintf("Common practice, no source, has %s to %s for this induction and fuel; the %s point is taken.",
		format(w, band.Low), format(w, band.High), w.a.Build.Policy.Band)
}

// addedDemand tells what nitrous oxide and water-methanol do to the demand.
func (w *writer) addedDemand() {
	add, b := w.a.Demand.Added, w.a.Build
	if add.Nitrous != 0 {
		w.text(fmt.Sprintf("Nitrous oxide: %s of it adds %s and needs %s of fuel for as long as it flows, at any engine power. Its fuel comes from: %s.",
			format(w, add.Nitrous), format(w, add.NitrousPower), format(w, max(add.Circuit.Pumps, add.Circuit.Separate)), b.Nitrous.Fuel))
	}
	switch {
	case add.Credited != 0:
		w.text(fmt.Sprintf("Water-methanol: %s of the main fuel are taken off the demand, since the injected methanol burns in their place. Where the injection stops, the mixture leans to λ %s.",
			format(w, add.Credited), quantity.Digits(float64(add.LeanTo), 3)))
	case add.Replaced != 0:
		w.text(fmt.Sprintf("Water-methanol: the injected methanol could stand in for %s of the main fuel. The demand is not lowered by it, so that the engine has its fuel when the injection stops.", format(w, add.Replaced)))
	}
}

// injectors writes the section on the injectors.
func (w *writer) injectors() {
	a, b, x := w.a, w.a.Build, w.a.Injection
	text := fmt.Sprintf("Each injector has %s between openings and, of these, the largest duty of %s less a dead time of %s to pass its fuel. ",
		format(w, x.Interval), b.Policy.MaxDuty.Percent(0), format(w, x.DeadTime))
	if x.StaticNeeded != 0 && x.RuleOfThumb != 0 {
		text += fmt.Sprintf("The usual rule, which leaves the dead time out, would ask for %s each; with the dead time counted it is %s, %s more. ",
			format(w, x.RuleOfThumb), format(w, x.StaticNeeded), quantity.Ratio(float64(x.StaticNeeded)/float64(x.RuleOfThumb)-1).Percent(0))
	}
	text += fmt.Sprintf("%s has what each does at the target and what it can do.", capital(w.next()))
	w.lead(text)
	w.table(w.injectorTable())
	if p, ok := a.Part(sizing.InjectorsPart); ok {
		w.text(fmt.Sprintf("At the largest duty allowed, every injector as weak as the weakest of the set, they pass %s where %s is needed: a margin of %s.",
			format(w, p.Capability), format(w, p.Demand), signed(p.Margin)))
	}
	w.idling()
}

// idling says what the injectors do at idle.
func (w *writer) idling() {
	b := w.a.Build
	text := fmt.Sprintf("At idle, %s and %s in the manifold, the pulse is %s", format(w, b.Engine.IdleSpeed), format(w, b.Engine.IdlePressure), format(w, w.a.Idle.Pulse))
	switch least := b.Injectors.MinimumPulse; {
	case least == 0:
		text += ". Whether the injector still meters in proportion there, the build sheet does not say."
	case w.a.Idle.Pulse < least:
		text += fmt.Sprintf(", shorter than the %s down to which the injector meters in proportion: fuelling at idle will not be even.", format(w, least))
	default:
		text += fmt.Sprintf(", longer than the %s down to which the injector meters in proportion.", format(w, least))
	}
	w.text(text)
}

// injectorTable shows what each injector does at the target.
func (w *writer) injectorTable() sizing.Table {
	a, b, x := w.a, w.a.Build, w.a.Injection
	t := sizing.Table{Caption: "Injectors at " + format(w, a.Power), Columns: []sizing.Column{{Name: "Quantity"}, {Name: "Value", Numeric: true}}}
	row := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	static := func(m quantity.MassFlow, v quantity.VolumeFlow) string {
		return format(w, m) + " = " + quantity.FormatIn(v, quantity.CCPerMinute)
	}
	set := ""
	if x.Secondary != nil {
		set = "First set: "
	}
	row("Injectors", fmt.Sprintf("%d, %s", b.Injectors.Count, b.Injectors.Firing))
	row("Rated flow", b.Injectors.Flow.Format(w.sys))
	row("Differential pressure, rail over manifold", format(w, x.Differential))
	row(set+"static flow on this fuel at that pressure", static(x.Static, x.StaticVolume))
	row("Static flow needed, dead time counted", orNone(x.StaticNeeded != 0, format(w, x.StaticNeeded)))
	row("Static flow needed, dead time left out", format(w, x.RuleOfThumb))
	row(set+"fuel per injector", format(w, x.PerInjector))
	row("Fuel per injection", quantity.FormatIn(x.PerPulse, quantity.Gram))
	row("Time between injections", format(w, x.Interval))
	row("Voltage at the injectors", format(w, x.Voltage))
	row("Dead time at that voltage", format(w, x.DeadTime))
	row(set+"pulse width of the weakest", orNone(x.Pulse != 0, format(w, x.Pulse)))
	row(set+"duty, largest allowed "+b.Policy.MaxDuty.Percent(0), orNone(x.Pulse != 0, x.Duty.Percent(1)))
	if s := x.Secondary; s != nil {
		row("Second set", fmt.Sprintf("%d, from a duty of %s of the first, %s staging", b.Secondary.Count, b.Secondary.Start.Percent(0), b.Secondary.Staging))
		row("Second set: rated flow", b.Secondary.Flow.Format(w.sys))
		row("Second set: static flow", static(s.Static, s.StaticVolume))
		row("Second set: fuel per injector", format(w, s.PerInjector))
		row("Second set: pulse width", format(w, s.Pulse))
		row("Second set: duty", s.Duty.Percent(1))
	}
	row("Pulse width at idle", format(w, a.Idle.Pulse))
	if c := a.Loads.Injectors; c != 0 {
		row("Mean current of all", format(w, c))
	}
	return t
}

func orNone(is bool, text string) string {
	if is {
		return text
	}
	return "none"
}
