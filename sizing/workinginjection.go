package sizing

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// injection shows what the injectors have to do and can do.
func (w *working) injection(a *Assessment) {
	b, x := a.Build, a.Injection
	w.setRail(a)
	rating := b.Injectors.Flow
	w.add("Differential pressure", "Δp = p_rail − p_manifold",
		w.of("rail", "", in(w, x.Differential.Above(a.Manifold)))+" − "+w.of("manifold", "", in(w, a.Manifold)), out(w, x.Differential), "both absolute, the regulator in control")
	w.name("differential")
	rated := func(text string) string { return from("injectors.flow", text) }
	w.add("Static flow of one injector", "ṁ = ṁ_test · √(ρ/ρ_test · Δp/Δp_test)",
		fmt.Sprintf("%s × √(%s / %s × %s / %s)", rated(in(w, rating.Mass())), from("fuel.blend", in(w, a.Demand.Density)), rated(in(w, rating.Density())), w.of("differential", "", in(w, x.Differential)), rated(in(w, rating.Pressure()))),
		out(w, x.Static)+" = "+quantity.FormatIn(x.StaticVolume, quantity.CCPerMinute), "orifice equation (Bernoulli)")
	w.name("static")

	total := w.injected("", "total", in(w, a.Demand.Injected))
	count := from("injectors.count", fmt.Sprint(b.injectorCount()))
	duty := from("policy.max_duty", b.Policy.MaxDuty.String())
	dead := from("injectors.dead_time", in(w, x.DeadTime))
	w.interval(a)
	interval := w.of("interval", "", in(w, x.Interval))
	w.add("Static flow needed, dead time left out", "ṁ_static = ṁ / (n · duty)",
		fmt.Sprintf("%s / (%s × %s)", total, count, duty), out(w, x.RuleOfThumb), "common practice, no source")
	if x.StaticNeeded != 0 {
		w.add("Static flow needed, dead time counted", "ṁ_static = ṁ / (n · (duty − t_dead/t))",
			fmt.Sprintf("%s / (%s × (%s − %s / %s))", total, count, duty, dead, interval), out(w, x.StaticNeeded), "slope and offset model")
	}
	if x.Secondary == nil {
		w.add("Fuel per injector", "ṁ_injector = ṁ / n", total+" / "+count, out(w, x.PerInjector), "mass balance")
	} else {
		w.add("Fuel per injector of the first set", "ṁ_injector = ṁ_first / n", total+", shared out by staging, "+from("secondary_injectors.staging", b.Secondary.Staging.String()), out(w, x.PerInjector), "mass balance")
	}
	w.name("each")
	perPulse := quantity.FormatIn(x.PerPulse, quantity.Gram)
	w.add("Fuel per injection", "m = ṁ_injector · t", fmt.Sprintf("%s × %s", w.of("each", "", in(w, x.PerInjector)), interval), perPulse, "mass balance")
	w.name("per pulse")
	if x.Pulse != 0 {
		static := injector.Injector{Spread: b.Injectors.Spread}.Weakest(x.Static)
		weakest := w.of("static", "", in(w, static))
		if b.Injectors.Spread != 0 {
			weakest = from("injectors.spread", in(w, static))
		}
		w.add("Pulse width", "t_pulse = m / ṁ_static + t_dead, weakest injector of the set",
			fmt.Sprintf("%s / %s + %s", w.of("per pulse", "", perPulse), weakest, dead), in(w, x.Pulse), "slope and offset model")
		w.name("pulse")
		w.add("Duty", "duty = t_pulse / t", w.of("pulse", "", in(w, x.Pulse))+" / "+interval, x.Duty.Percent(1), "definition; dead time counted")
	}
	if second := x.Secondary; second != nil {
		w.add("Duty of the second set", "duty = t_pulse / t", from("secondary_injectors", in(w, second.Pulse))+" / "+interval, second.Duty.Percent(1),
			"starts at a duty of "+b.Secondary.Start.Percent(0)+" of the first; "+b.Secondary.Staging.String()+" staging")
	}
	w.injectable(a)
}

// setRail shows where the regulator, or what stands in for it, holds the rail.
func (w *working) setRail(a *Assessment) {
	b := a.Build
	ambient, base := from("induction.barometer", in(w, b.Induction.Barometer)), from("regulator.base_pressure", in(w, b.Regulator.BasePressure))
	formula, numbers, source := "p_rail = p_ambient + p_base", ambient+" + "+base, "definition of gauge pressure"
	switch {
	case b.Regulator.Kind == regulator.ManifoldReferenced && b.Regulator.Rise == 1:
		formula, numbers, source = "p_rail = p_manifold + p_base", w.of("manifold", "", in(w, a.Manifold))+" + "+base, "the regulator follows the manifold"
	case b.Regulator.Kind == regulator.ManifoldReferenced:
		formula = "p_rail = p_ambient + p_base + rise · (p_manifold − p_ambient)"
		numbers = fmt.Sprintf("%s + %s + %s × (%s − %s)", ambient, base, from("regulator.rise", quantity.Digits(float64(b.Regulator.Rise), 3)), w.of("manifold", "", in(w, a.Manifold)), ambient)
		source = "the regulator follows the manifold"
	case b.Regulator.Kind == regulator.Returnless && b.Regulator.Control == ByValve:
		formula, source = "p_rail = p_ambient + p_base − Δp_line", "the regulator sits at the pump"
		numbers += " − " + from("feed_line", in(w, a.Delivery.LineLoss))
	}
	w.add("Rail pressure set, absolute", formula, numbers, out(w, a.Delivery.SetRail), source)
	w.name("set rail")
	w.name("rail")
	if rail := a.Injection.Differential.Above(a.Manifold); rail > a.Delivery.SetRail {
		w.add("Rail pressure with its return, absolute", "p_rail = p_set + Δp(q_return)", fmt.Sprintf("%s + %s, returning %s", w.of("set rail", "", in(w, a.Delivery.SetRail)), from("regulator", in(w, rail.Above(a.Delivery.SetRail))), from("pumps", in(w, a.Delivery.Return))),
			out(w, rail), "regulator slope and return line, solved by bracketing")
		w.name("rail")
	}
}

// interval shows the time from one opening of an injector to the next.
func (w *working) interval(a *Assessment) {
	b := a.Build
	turns := math.Round(float64(a.Injection.Interval) * b.Engine.Speed.In(quantity.RPM) / 60)
	w.add("Time between injections", "t = turns / N", fmt.Sprintf("%s × (60 s/min) / %s", from("injectors.firing", quantity.Digits(turns, 2)), from("engine.speed", in(w, b.Engine.Speed))), out(w, a.Injection.Interval),
		"one opening in "+quantity.Digits(turns, 2)+" turns, "+b.Injectors.Firing.String())
	w.name("interval")
}

// injectable shows the most that the injectors pass.
func (w *working) injectable(a *Assessment) {
	b, x := a.Build, a.Injection
	static := injector.Injector{Spread: b.Injectors.Spread}.Weakest(x.Static)
	open := float64(b.Policy.MaxDuty) - float64(x.DeadTime)/float64(x.Interval)
	passed := float64(b.injectorCount()) * float64(static) * open / float64(a.Demand.Density)
	// Sets that differ and a correction of short pulses follow no such formula.
	if math.Abs(passed-float64(x.Capability)) > 1e-9*passed {
		return
	}
	w.add("Most that the injectors pass", "q = n · ṁ_static · (duty − t_dead/t) / ρ",
		fmt.Sprintf("%s × %s × (%s − %s / %s) / %s", from("injectors.count", fmt.Sprint(b.injectorCount())), w.of("static", "", in(w, static)), from("policy.max_duty", b.Policy.MaxDuty.String()),
			from("injectors.dead_time", in(w, x.DeadTime)), w.of("interval", "", in(w, x.Interval)), from("fuel.blend", in(w, a.Demand.Density))),
		out(w, x.Capability), "every injector as weak as the weakest, at the largest duty allowed")
	w.name("injectable")
}
