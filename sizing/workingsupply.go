package sizing

import (
	"fmt"

	"example.com/railbook/sizing/quantity"
)

// inlet shows the pressure before the pumps and its margin over the vapour pressure.
func (w *working) inlet(a *Assessment) {
	b, x := a.Build, a.Inlet
	ambient := from("induction.barometer", in(w, b.Induction.Barometer))
	if len(b.Suction) > 0 || b.Tank.Head != 0 {
		moved, sign := b.Induction.Barometer.Above(x.Pressure), " − "
		if moved < 0 {
			moved, sign = -moved, " + "
		}
		w.add("Pressure at the pumps' inlet", "p = p_ambient + ρ g h − Σ(f L/D + K) ρ v²/2 − ρ g z − ρ a x",
			ambient+sign+from("suction", in(w, moved))+" in all at "+from("pumps", in(w, x.Flow)), out(w, x.Pressure), "Darcy-Weisbach along the suction side; Euler for the acceleration")
		w.name("suction")
		if b.SurgeTank == nil {
			w.name("inlet")
		}
	}
	w.add("Margin to boiling at the inlet", "Δp = p − p_vapour(T)", fmt.Sprintf("%s − %s at %s", w.of("suction", "induction.barometer", in(w, x.Pressure)), from("fuel.blend", in(w, x.Vapour)), from("tank.temperature", in(w, b.Tank.Temperature))),
		out(w, x.Margin), "vapour pressure of the blend; winter grades have more")
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
		path := fmt.Sprintf("pumps[%d].", i+1)
		w.add("Voltage at "+p.name(i), "U = U_supply − R · I(U)",
			fmt.Sprintf("%s − %s × %s", from("electrical.supply", in(w, a.Build.Electrical.Supply)), from(path+"wiring", quantity.FormatIn(p.Wiring.circuit().Resistance(), quantity.Milliohm)), from(path+"curves", in(w, each))),
			out(w, l.Voltage), "Ohm's law; copper by IEC 60028, solved together with the pump's current")
	}
}
