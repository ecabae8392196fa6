package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// pumps writes the section on the pumps and their electric supply.
func (w *writer) pumps() {
	a, d := w.a, w.a.Delivery
	text := "Pumps, line, regulator and injectors were solved together: the flow is where what the pumps bring at a pressure is what the rest takes at it. "
	if d.Sags {
		text += fmt.Sprintf("The pumps cannot hold the set pressure. The rail settles at %s over the manifold, where what the pumps bring and what the injectors pass are equal, and the fuel delivered is enough for %s.",
			format(w, d.Rail.Above(a.Manifold)), format(w, d.Supported))
	} else {
		text += fmt.Sprintf("At the target they bring %s against %s, of which the engine burns %s.", format(w, d.PumpFlow), format(w, d.PumpRise), format(w, a.Demand.Volume))
	}
	if list := w.plates.delivery; len(list) > 0 {
		text += fmt.Sprintf(" %s sets what they bring against what is needed.", capital(figureRef(list[0].number)))
	}
	w.text(text)
	w.show(w.plates.delivery)
	w.lead(fmt.Sprintf("%s has the pumps one by one.", capital(w.next())))
	w.put(w.pumpTable())
	w.supplyWords()
	w.heatWords()
}

// pumpTable shows each entry of pumps at the target.
func (w *writer) pumpTable() layout.Table {
	a, b := w.a, w.a.Build
	_, currents := w.known()
	t := layout.Table{Caption: "Pumps at " + format(w, a.Power), Columns: []layout.Column{
		{Name: "Pump", Strong: true}, {Name: "Does", Share: 0.13}, {Name: "Flow, all", Align: layout.Right}, {Name: "Against", Align: layout.Right}, {Name: "Drive", Align: layout.Right},
	}}
	if currents {
		t.Columns = append(t.Columns, layout.Column{Name: "Current, all", Align: layout.Right}, layout.Column{Name: "Lost in wiring", Align: layout.Right})
	}
	for i, p := range b.Pumps {
		l := a.Loads.Pumps[i]
		does := "feeds the rail"
		if p.Role == sizing.Lift {
			does = "feeds the others"
			if b.SurgeTank != nil {
				does = "fills the surge tank"
			}
		}
		drive := format(w, l.Voltage)
		switch {
		case p.Mechanical != nil:
			drive = format(w, quantity.AngularSpeed(float64(p.Mechanical.Drive)*float64(b.Engine.Speed)))
		case l.Speed < 1:
			drive += ", slowed to " + l.Speed.Percent(0)
		}
		row := []string{counted(p.Count, nameOr(p.Part, fmt.Sprintf("pump %d", i+1))), does, tie(format(w, l.Flow)), tie(format(w, l.Rise)), tie(drive)}
		if currents {
			current, drop := "–", "–"
			if l.Current != 0 {
				current = format(w, l.Current)
			}
			if l.Drop != 0 {
				drop = format(w, l.Drop)
			}
			row = append(row, tie(current), tie(drop))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// known reports whether a pump has described wiring, and whether the current of one is
// known.
func (w *writer) known() (wired, currents bool) {
	for i, p := range w.a.Build.Pumps {
		wired = wired || p.Wiring != nil
		currents = currents || w.a.Loads.Pumps[i].Current != 0
	}
	return wired, currents
}

// electric reports whether any pump has a motor.
func (w *writer) electric() bool {
	for _, p := range w.a.Build.Pumps {
		if p.Mechanical == nil {
			return true
		}
	}
	return false
}

// supplyWords says what is known of the electric supply, and what is not.
func (w *writer) supplyWords() {
	if !w.electric() {
		w.text("The engine drives the pumps: they bring no fuel before it turns, and no electric supply limits them.")
		return
	}
	b := w.a.Build
	wired, currents := w.known()
	switch {
	case wired && currents:
		w.text(fmt.Sprintf("The wiring starts from %s. What it loses was solved together with the pumps' current; contacts in fuse, relay and connectors are in it. As far as currents are known, pumps and injectors together take %s: fuse each circuit for its pump's greatest current and size relay and alternator for the sum.",
			format(w, b.Electrical.Supply), format(w, w.a.Loads.Total)))
	case currents:
		w.text(fmt.Sprintf("The wiring is not described: %s is taken to stand at the pumps' terminals with the engine at full load. The pumps take %s there; fuse and wire each for its greatest current, and measure the voltage (%s).",
			format(w, b.Electrical.PumpVoltage), format(w, w.a.Loads.Total), w.section(commissioningTitle)))
	default:
		w.text(fmt.Sprintf("Neither wiring nor current of the pumps is described: %s is taken to stand at their terminals with the engine at full load, and a volt less costs an electric pump much of its flow at pressure. Measure it (%s).",
			format(w, b.Electrical.PumpVoltage), w.section(commissioningTitle)))
	}
}

// heatWords says what the pumps do to the fuel's temperature, where that is known.
func (w *writer) heatWords() {
	x := w.a.Warming
	if x == nil {
		return
	}
	text := fmt.Sprintf("The pumps put %s into the fuel at the target and %s at idle.", format(w, x.Pump), format(w, x.IdlePump))
	if x.HotRail != 0 {
		text += fmt.Sprintf(" Idling, the rail is at %s, %s short of boiling.", format(w, x.HotRail), format(w, x.HotMargin))
	}
	if x.AfterHour != 0 {
		text += fmt.Sprintf(" A tank with the fuel that the build sheet names is at %s after an hour of it.", format(w, x.AfterHour))
	}
	w.text(text)
}
