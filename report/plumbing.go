package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// plumbing writes the section on lines, filters and what the pumps draw from.
func (w *writer) plumbing() {
	a, b := w.a, w.a.Build
	ways := w.ways()
	if len(ways) == 0 {
		w.text("The build sheet describes no line and no filter. The pumps are taken to draw from and deliver to where they are, without a loss; a real line costs pump pressure, and so flow.")
	} else {
		w.lead(fmt.Sprintf("%s follows the fuel from the tank on, with the loss of each part at the flow that goes through it at the target. A loss below zero is a gain: fuel that runs downhill or is pushed back by the vehicle.", capital(w.next())))
		w.put(w.wayTable(ways))
		if b.FeedLine.IsZero() {
			w.text("No feed line is described: no loss is counted between pump and rail.")
		} else if p, ok := a.Part(sizing.FeedLinePart); ok {
			w.text(fmt.Sprintf("The feed line and its filter may lose %s at the demand; they do so at %s, a margin of %s.", format(w, b.Policy.AllowedLineLoss), format(w, p.Capability), signed(p.Margin)))
		}
	}
	if s := b.SurgeTank; s != nil {
		text := fmt.Sprintf("The surge tank holds %s, vented; the lift pumps work against %s up to it, and the return goes to the %s.", w.tank(s.Volume), format(w, s.LiftRise), s.Return)
		if p, ok := a.Part(sizing.LiftPart); ok {
			text += fmt.Sprintf(" The lift pumps bring %s where %s has to be replaced.", format(w, p.Capability), format(w, p.Demand))
		}
		w.text(text)
	}
	w.lead(fmt.Sprintf("%s shows how far the fuel is from boiling, before the pumps and at the rail.", capital(w.next())))
	w.table(w.boilingTable())
}

// tank prints the volume of a tank, for which cubic inches are too small.
func (w *writer) tank(v quantity.Volume) string {
	return w.sys.Each(func(s quantity.System) string {
		if s == quantity.US {
			return quantity.FormatIn(v, quantity.Gallon)
		}
		return quantity.FormatIn(v, quantity.Litre)
	})
}

// way is a segment of the fuel's way and the flow through it.
type way struct {
	name string
	sizing.Segment
	flow quantity.VolumeFlow
}

// ways lists the segments that are described, in the order fuel meets them.
func (w *writer) ways() []way {
	a, b := w.a, w.a.Build
	var list []way
	for _, s := range b.Suction {
		list = append(list, way{nameOr(s.Part, "suction side"), s, a.Inlet.Flow})
	}
	if !b.FeedLine.IsZero() {
		list = append(list, way{nameOr(b.FeedLine.Part, "feed line"), b.FeedLine, a.Delivery.LineFlow})
	}
	for _, s := range b.ReturnLine {
		list = append(list, way{nameOr(s.Part, "return line"), s, a.Delivery.Return})
	}
	return list
}

// wayTable shows the segments with what each loses.
func (w *writer) wayTable(ways []way) layout.Table {
	b := w.a.Build
	t := layout.Table{Caption: "The way of the fuel at " + format(w, w.a.Power), Columns: []layout.Column{
		{Name: "Part", Strong: true}, {Name: "Bore", Align: layout.Right}, {Name: "Length", Align: layout.Right}, {Name: "Flow", Align: layout.Right},
		{Name: "Velocity", Align: layout.Right}, {Name: "Line loses", Align: layout.Right}, {Name: "Filter loses", Align: layout.Right},
	}}
	for _, x := range ways {
		bore, length, velocity, filter := "–", "–", "–", "–"
		line := x.Line()
		lost := quantity.PressureDiff(0)
		if line.Bore != 0 {
			bore, length, velocity = format(w, line.Bore), w.length(line.Length), format(w, line.Velocity(x.flow))
			lost = plumbing.Segment{Line: line}.Drop(plumbing.Stream{
				Flow: x.flow, Density: w.a.Demand.Density, Viscosity: b.Fuel.Blend.Viscosity(b.Fuel.Temperature), Acceleration: b.Vehicle.Acceleration,
			})
		}
		if x.Filter.Drop != 0 {
			filter = format(w, x.Filter.Loss(x.flow))
		}
		loses := "–"
		if line.Bore != 0 {
			loses = format(w, lost)
		}
		t.Rows = append(t.Rows, []string{sentence(x.name), tie(bore), tie(length), tie(format(w, x.flow)), tie(velocity), tie(loses), tie(filter)})
	}
	return t
}

// boilingTable shows pressures over the vapour pressure.
func (w *writer) boilingTable() sizing.Table {
	a, b, in := w.a, w.a.Build, w.a.Inlet
	t := sizing.Table{Caption: "Margins to boiling", Columns: []sizing.Column{{Name: "Quantity"}, {Name: "Value", Numeric: true}}}
	row := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	row("Drawn from the tank", format(w, in.Flow))
	row("Pressure at the pumps' inlet, absolute", format(w, in.Pressure))
	row("Vapour pressure at "+format(w, b.Tank.Temperature)+", in the tank", format(w, in.Vapour))
	row("Margin at the inlet, wanted "+format(w, b.Policy.InletMargin), format(w, in.Margin))
	row("The same as a head of fuel (net positive suction head)", w.length(in.NPSH))
	if in.Velocity != 0 {
		row("Fastest in the suction side", format(w, in.Velocity))
	}
	row("Margin at the rail, fuel at "+format(w, b.Fuel.Temperature), format(w, in.RailHot))
	if x := a.Warming; x != nil && x.HotRail != 0 {
		row("Margin at the rail, idling, fuel at "+format(w, x.HotRail), format(w, x.HotMargin))
	}
	return t
}
