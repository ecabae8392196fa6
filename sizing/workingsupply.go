package sizing

import (
	"fmt"

	"example.com/railbook/sizing/quantity"
)

// inlet shows the pressure before the pumps and its margin over the vapour pressure.
func (w *working) inlet(a *Assessment) {
	b, x := a.Build, a.Inlet
	if len(b.Suction) > 0 || b.Tank.Head != 0 {
		lost := b.Induction.Barometer.Above(x.Pressure)
		w.add("Pressure at the pumps' inlet", "p = p_ambient + ρ g h − Σ(f L/D + K) ρ v²/2 − ρ g z − ρ a x",
			in(w, b.Induction.Barometer)+" − "+in(w, lost)+" in all at "+in(w, x.Flow), in(w, x.Pressure), "Darcy-Weisbach along the suction side; Euler for the acceleration")
	}
	w.add("Margin to boiling at the inlet", "Δp = p − p_vapour(T)", fmt.Sprintf("%s − %s at %s", in(w, x.Pressure), in(w, x.Vapour), in(w, b.Tank.Temperature)),
		in(w, x.Margin), "vapour pressure of the blend; winter grades have more")
}

// wiring shows what the wiring leaves of the supply voltage.
func (w *working) wiring(a *Assessment) {
	for i, l := range a.Loads.Pumps {
		p := a.Build.Pumps[i]
		if p.Wiring == nil || l.Current == 0 {
			continue
		}
		each := quantity.Current(float64(l.Current) / float64(p.Count))
		if p.Wiring.Feeds == AllOfIt {
			each = l.Current
		}
		w.add("Voltage at "+p.name(i), "U = U_supply − R · I(U)",
			fmt.Sprintf("%s − %s × %s", in(w, a.Build.Electrical.Supply), quantity.FormatIn(p.Wiring.circuit().Resistance(), quantity.Milliohm), in(w, each)),
			in(w, l.Voltage), "Ohm's law; copper by IEC 60028, solved together with the pump's current")
	}
}

// creep shows by how much the return flow raises the rail.
func (w *working) creep(a *Assessment) {
	if over := a.Delivery.Rail.Above(a.Delivery.SetRail); over > 0 {
		w.add("Rail over its set pressure", "q_pumps(p) = q + q_return(p)", "return of "+in(w, a.Delivery.Return), in(w, over), "regulator slope and return line, solved by bracketing")
	}
}
