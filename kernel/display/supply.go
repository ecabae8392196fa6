package display

import (
	"fmt"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// SupplyTable shows what is before and around the pumps at the target: the inlet and its
// margin over the vapour pressure, the pumps' voltage and current, and the heat that the
// fuel picks up.
func SupplyTable(a *sizing.Assessment) sizing.Table { return a.SupplyTable(a.Build.Job.Units) }

// PumpBalance shows where the pumps work: the flow that they bring against pressure, the
// pressure that it takes to bring a flow to the rail, and the demand.
func PumpBalance(a *sizing.Assessment) figure.Figure { return cell.Must(pumpBalance(a)) }

func pumpBalance(a *sizing.Assessment) (figure.Figure, error) {
	const points = 60
	balance, err := a.Balance(points)
	if err != nil {
		return figure.Figure{}, err
	}
	sys, d := a.Build.Job.Units, a.Delivery
	line := func(name string, list ...sizing.BalancePoint) figure.Series {
		s := figure.Series{Name: name}
		for _, p := range list {
			s.Points = append(s.Points, sweep.Point{X: quantity.Number(p.Rise, sys), Y: quantity.Number(p.Flow, sys)})
		}
		return s
	}
	first, last := balance.Supply[0], balance.Supply[len(balance.Supply)-1]
	first.Flow, last.Flow = a.Demand.Volume, a.Demand.Volume
	here := line("pumps at the target", sizing.BalancePoint{Rise: d.PumpRise, Flow: d.PumpFlow})
	here.Style = figure.Marks
	f, err := plot("Pump delivery against demand",
		"pressure over the pumps in "+quantity.UnitSymbol[quantity.PressureDiff](sys), "flow in "+quantity.UnitSymbol[quantity.VolumeFlow](sys),
		[]figure.Series{
			line("pumps together at full speed", balance.Supply...), line("pressure needed to bring a flow to the rail", balance.System...),
			line("demand at the target", first, last), here,
		})
	if err != nil {
		return figure.Figure{}, err
	}
	f.ID = "pump-balance"
	f.Alt = fmt.Sprintf("At the target the pumps work at %s and bring %s; the engine needs %s.",
		quantity.Format(d.PumpRise, sys), quantity.Format(d.PumpFlow, sys), quantity.Format(a.Demand.Volume, sys))
	if d.Sags {
		f.Alt += " They cannot hold the rail at its set pressure, so the mark lies off the dashed line, where the rail has sagged."
	}
	return f, nil
}
