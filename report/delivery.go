package report

import (
	"fmt"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// deliveryID is the ID of the figure of pump delivery.
const deliveryID = "pump-delivery"

// deliveryFigure shows what the pumps bring against pressure, the pressure that
// it takes to bring a flow to the rail, and the demand.
func deliveryFigure(a *sizing.Assessment) (figure.Figure, error) {
	sys, d := a.Build.Job.Units, a.Delivery
	const points = 60
	balance, err := a.Balance(points)
	if err != nil {
		return figure.Figure{}, err
	}
	point := func(p sizing.BalancePoint) sweep.Point {
		return sweep.Point{X: quantity.Number(p.Rise, sys), Y: quantity.Number(p.Flow, sys)}
	}
	all := func(list []sizing.BalancePoint) []sweep.Point {
		drawn := make([]sweep.Point, len(list))
		for i, p := range list {
			drawn[i] = point(p)
		}
		return drawn
	}
	first, last := balance.Supply[0], balance.Supply[len(balance.Supply)-1]
	first.Flow, last.Flow = a.Demand.Volume, a.Demand.Volume
	c := &figure.Chart{
		X: sweep.Scale{Name: "pump pressure, outlet over inlet,", Unit: quantity.UnitSymbol[quantity.PressureDiff](sys)},
		Y: sweep.Scale{Name: "flow", Unit: quantity.UnitSymbol[quantity.VolumeFlow](sys)},
		Series: []figure.Series{
			{Name: "Pumps together at full speed", Style: figure.Solid, Points: all(balance.Supply)},
			{Name: "Pressure needed to bring a flow to the rail", Style: figure.Dashed, Points: all(balance.System)},
			{Name: "Demand at the target", Style: figure.Dotted, Points: []sweep.Point{point(first), point(last)}},
			{Name: "Pumps at the target", Style: figure.Marks, Points: []sweep.Point{point(sizing.BalancePoint{Rise: d.PumpRise, Flow: d.PumpFlow})}},
		},
	}
	alt := fmt.Sprintf("At the target the pumps work at %s and bring %s; the engine needs %s.",
		quantity.Format(d.PumpRise, sys), quantity.Format(d.PumpFlow, sys), quantity.Format(a.Demand.Volume, sys))
	if d.Sags {
		alt += " The pumps cannot hold the rail at its set pressure, so the mark lies off the dashed line, where the rail has sagged."
	}
	return figure.Figure{ID: deliveryID, Title: "Pump delivery against demand", Alt: alt, Chart: c}, nil
}
