package whatif

import (
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Axis is a scale that stays as the sliders move, so that bars can be seen to. A value
// beyond its end is drawn as far as the end.
type Axis struct {
	End   float64 `json:"end"` // in SI; it begins at zero
	Unit  string  `json:"unit"`
	Ticks []Tick  `json:"ticks"`
}

// Tick is a number on an axis.
type Tick struct {
	At   float64 `json:"at"` // in SI
	Text string  `json:"text"`
}

// farthest is the multiple of the target to which the axis of power goes for the sake of
// the parts' limits: a part that carries more is not what decides.
const farthest = 2.2

// axes makes axes that have room for what the sheet shows and for what each slider makes
// of it.
func (p *Panel) axes() (power, flow, duty Axis) {
	target := p.sheet.Power
	farthestPower, mostFuel := target, mostFlow(p.sheet)
	for _, part := range p.sheet.Parts {
		if part.Limited {
			farthestPower = max(farthestPower, min(part.Limit, quantity.Of(farthest, target)))
		}
	}
	for _, s := range p.sliders {
		last := len(s.values) - 1
		if s.ID == Power {
			farthestPower = max(farthestPower, quantity.CrankPower(s.values[last]))
		}
		b, err := p.at(Settings{Stops: map[string]int{s.ID: last}})
		if err != nil {
			continue
		}
		if a, err := sizing.Assess(b); err == nil {
			mostFuel = max(mostFuel, mostFlow(a))
		}
	}
	return axisTo(farthestPower, p.sys), axisTo(mostFuel, p.sys),
		Axis{End: 1.2, Ticks: []Tick{{0, "0"}, {0.2, "20"}, {0.4, "40"}, {0.6, "60"}, {0.8, "80"}, {1, "100 %"}}}
}

// mostFlow is the greatest mass flow that a state draws.
func mostFlow(a *sizing.Assessment) quantity.MassFlow {
	r := a.Demand.Routes
	return max(r.Power, r.Energy, r.Air, a.Demand.Total)
}

// axisTo makes the axis of a quantity that has a little room beyond a value.
func axisTo[Q quantity.Quantity](most Q, sys quantity.System) Axis {
	end := quantity.Number(most, sys)
	s := roundStep(end / 4)
	last := int(math.Ceil(end / s.of(1) * 1.02))
	at := func(k int) float64 { return float64(quantity.FromNumber[Q](s.of(k), sys)) }
	x := Axis{End: at(last), Unit: quantity.UnitSymbol[Q](sys)}
	for k := range last + 1 {
		x.Ticks = append(x.Ticks, Tick{at(k), quantity.Digits(s.of(k), 4)})
	}
	return x
}
