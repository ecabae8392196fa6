package sizing

import (
	"fmt"

	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// delivery shows what pumps and line bring, and at what power the first part runs out.
func (w *working) delivery(a *Assessment) {
	d := a.Delivery
	w.inlet(a)
	w.sag(a)
	pumps := from("pumps", "the pumps' curves")
	burnt := in(w, d.Delivered.Volume(a.Demand.Density))
	if d.Sags {
		burnt = from("injectors.flow", burnt)
	} else {
		burnt = w.of("volume", "", burnt)
	}
	w.add("Pump flow at the operating point", "q_pumps(Δp) = q_engine + q_return", fmt.Sprintf("%s, %s burnt, %s returned", pumps, burnt, from("regulator", in(w, d.Return))), out(w, d.PumpFlow), "solved by bracketing")
	w.name("pump flow")
	w.line(a)
	w.add("Pressure at the pumps' outlet", "p_outlet = p_rail + Δp_line", fmt.Sprintf("%s + %s", w.of("rail", "", in(w, d.Rail)), w.of("line loss", "feed_line", in(w, d.LineLoss))), out(w, d.PumpOutlet), "pressure balance")
	w.name("outlet")
	w.add("Pump pressure", "Δp_pump = p_outlet − p_inlet", w.of("outlet", "", in(w, d.PumpOutlet))+" − "+w.of("inlet", "induction.barometer", in(w, d.PumpInlet)), out(w, d.PumpRise), "definition")
	w.wiring(a)
	w.add("Most that the pumps bring to the rail", "q_pumps(p_set + Δp_line(q) − p_inlet) = q", pumps+", rail at "+w.of("set rail", "", in(w, d.SetRail)), out(w, d.Carried), "pump curves and line loss solved together by bracketing")
	w.name("carried")
	w.add("Pumps over demand", "margin = q_carried / q − 1", w.of("carried", "", in(w, d.Carried))+" / "+w.of("volume", "", in(w, a.Demand.Volume))+" − 1",
		signed(quantity.Ratio(over(d.Carried, a.Demand.Volume)-1)), "definition of the margin")
	if p, ok := a.Part(InjectorsPart); ok {
		w.add("Injectors over demand", "margin = q_injectable / q − 1", w.of("injectable", "injectors.flow", in(w, p.Capability))+" / "+w.injected(" volume", "volume", in(w, p.Demand))+" − 1", signed(p.Margin), "definition of the margin")
	}
	w.limits(a)
}

// sag shows where a rail settles that the pumps cannot hold.
func (w *working) sag(a *Assessment) {
	if d := a.Delivery; d.Sags {
		w.add("Rail pressure where it balances, absolute", "q_pumps(p) = q_injectors(p)", "injectors open as commanded at "+w.of("set rail", "", in(w, d.SetRail))+", "+from("pumps", "the pumps' curves"), out(w, d.Rail), "solved by bracketing")
		w.name("rail")
	}
}

// line shows what the feed line loses.
func (w *working) line(a *Assessment) {
	b, d := a.Build, a.Delivery
	l := b.FeedLine
	if l.bore() == 0 || d.LineFlow <= 0 {
		return
	}
	line, through := l.Line(), d.LineFlow
	visc := b.Fuel.Blend.Viscosity(b.Fuel.Temperature)
	re := line.Reynolds(through, a.Demand.Density, visc)
	f := plumbing.FrictionFactor(re, float64(l.Roughness/line.Bore))
	path := "feed_line.bore"
	if l.Bore == 0 {
		path = "feed_line.dash"
	}
	flow := w.of("pump flow", "", in(w, through))
	if through != d.PumpFlow {
		flow = w.of("volume", "", in(w, through))
	}
	w.add("Velocity in the feed line", "v = q / (π D²/4)", fmt.Sprintf("%s / (π/4 × (%s)²)", flow, from(path, in(w, line.Bore))), out(w, line.Velocity(through)), "continuity")
	w.name("velocity")
	w.add("Friction factor", "f(Re, ε/D), Re = ρ v D / μ", fmt.Sprintf("Re = %s, ε/D = %s", w.of("velocity", "", quantity.Digits(re, 4)), from("feed_line.roughness", quantity.Digits(float64(l.Roughness/line.Bore), 3))),
		quantity.Digits(f, 4), "Colebrook 1939 where turbulent, 64/Re where laminar")
	w.name("friction")
	filter := "none"
	if l.Filter.Drop != 0 {
		filter = from("feed_line.filter", in(w, l.Filter.Loss(through)))
	}
	w.add("Lost between pump and rail", "Δp = (f L/D + K) ρ v²/2 + ρ g z + filter",
		fmt.Sprintf("f = %s, L = %s, K = %s, z = %s, filter %s", w.of("friction", "", quantity.Digits(f, 4)), from("feed_line.length", lengthText(l.Length, w.sys)),
			from("feed_line.fittings", quantity.Digits(float64(l.LossCoefficient), 3)), from("feed_line.rise", lengthText(l.Rise, w.sys)), filter),
		out(w, d.LineLoss), "Darcy-Weisbach; filter by the square of the flow")
	w.name("line loss")
}

// limits shows the power at which the first part runs out, and what a sagging rail
// supports.
func (w *working) limits(a *Assessment) {
	b, d := a.Build, a.Delivery
	weakest := a.Weakest()
	rises := "demand in proportion to power"
	if b.Induction.Kind.Boosted() {
		rises += ", manifold pressure too"
	}
	w.add("Power at which the first part runs out", "capability(P) = demand(P), "+weakest.Kind.String(), rises,
		out(w, weakest.Limit), "solved by bracketing")
	if d.Sags {
		w.add("Power that the fuel delivered supports", "P = P_target · ṁ_delivered / ṁ", w.power(a)+" × "+w.of("pump flow", "", in(w, d.Delivered))+" / "+w.of("total", "", in(w, a.Demand.Total)), out(w, d.Supported), "same consumption as at the target")
	}
}
