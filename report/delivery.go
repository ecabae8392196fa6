package report

import (
	"fmt"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// deliveryID is the ID of the figure of pump delivery.
const deliveryID = "pump-delivery"

// deliveryFigure shows what the pumps bring against pressure, the pressure that
// it takes to bring a flow to the rail, and the demand.
func deliveryFigure(a *sizing.Assessment) (figure.Figure, error) {
	sys, d, b := a.Build.Job.Units, a.Delivery, a.Build
	pumps := make([]pump.Pump, len(b.Pumps))
	for i, p := range b.Pumps {
		var err error
		if pumps[i], err = p.Hardware(); err != nil {
			return figure.Figure{}, fmt.Errorf("pump %q: %w", p.Part, err)
		}
	}
	line := b.FeedLine.Line()
	visc := b.Fuel.Blend.Viscosity(b.Fuel.Temperature)
	// pressure is what the pumps must give to bring q to the rail at its set
	// pressure; a regulator at the pump holds its own whatever flows.
	pressure := func(q quantity.VolumeFlow) quantity.PressureDiff {
		loss := line.Drop(q, a.Demand.Density, visc) + b.FeedLine.Filter.Loss(q)
		if !b.Regulator.Kind.AtRail() {
			loss = line.Drop(a.Demand.Volume, a.Demand.Density, visc) + b.FeedLine.Filter.Loss(a.Demand.Volume)
		}
		return d.SetRail.Plus(loss).Above(b.Induction.Barometer)
	}
	point := func(p quantity.PressureDiff, q quantity.VolumeFlow) sweep.Point {
		return sweep.Point{X: quantity.Number(p, sys), Y: quantity.Number(q, sys)}
	}

	most := 1.3 * max(pressure(a.Demand.Volume), d.PumpRise, 100*quantity.KilopascalDiff)
	least := d.SetRail.Above(b.Induction.Barometer) / 2
	for _, p := range b.Pumps {
		for _, c := range p.Curves {
			least = min(least, c.Points[0].Pressure)
		}
	}
	least = max(0, min(least, d.PumpRise))
	const points = 60
	var supply, system []sweep.Point
	top := a.Demand.Volume
	for i := range points + 1 {
		p := least + quantity.PressureDiff(float64(most-least)*float64(i)/points)
		q := quantity.VolumeFlow(0)
		for _, h := range pumps {
			q += h.Flow(p, b.Electrical.PumpVoltage)
		}
		supply = append(supply, point(p, q))
		top = max(top, q)
	}
	for i := range points + 1 {
		q := quantity.VolumeFlow(float64(top) * float64(i) / points)
		if p := pressure(q); least <= p && p <= most {
			system = append(system, point(p, q))
		}
	}
	c := &figure.Chart{
		X: sweep.Scale{Name: "pump pressure, outlet over inlet,", Unit: quantity.UnitSymbol[quantity.PressureDiff](sys)},
		Y: sweep.Scale{Name: "flow", Unit: quantity.UnitSymbol[quantity.VolumeFlow](sys)},
		Series: []figure.Series{
			{Name: "Pumps together at " + quantity.Format(b.Electrical.PumpVoltage, sys), Style: figure.Solid, Points: supply},
			{Name: "Pressure needed to bring a flow to the rail", Style: figure.Dashed, Points: system},
			{Name: "Demand at the target", Style: figure.Dotted, Points: []sweep.Point{point(least, a.Demand.Volume), point(most, a.Demand.Volume)}},
			{Name: "Pumps at the target", Style: figure.Marks, Points: []sweep.Point{point(d.PumpRise, d.PumpFlow)}},
		},
	}
	alt := fmt.Sprintf("At the target the pumps work at %s and bring %s; the engine needs %s.",
		quantity.Format(d.PumpRise, sys), quantity.Format(d.PumpFlow, sys), quantity.Format(a.Demand.Volume, sys))
	if d.Sags {
		alt += " The pumps cannot hold the rail at its set pressure, so the mark lies off the dashed line, where the rail has sagged."
	}
	return figure.Figure{ID: deliveryID, Title: "Pump delivery against demand", Alt: alt, Chart: c}, nil
}
