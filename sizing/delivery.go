package sizing

import (
	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// Delivery is the steady state of tank, pumps, line, regulator, rail and
// injectors at the target, solved together.
type Delivery struct {
	SetRail    quantity.Pressure     `json:"set_rail"`    // absolute, what the rail would have with the regulator in control
	Rail       quantity.Pressure     `json:"rail"`        // absolute, what it has
	PumpOutlet quantity.Pressure     `json:"pump_outlet"` // absolute
	PumpRise   quantity.PressureDiff `json:"pump_rise"`   // outlet over inlet
	PumpFlow   quantity.VolumeFlow   `json:"pump_flow"`   // through the pumps; where the regulator sits at the pump, what they could bring
	Carried    quantity.VolumeFlow   `json:"carried"`     // most that reaches the rail at its set pressure
	Return     quantity.VolumeFlow   `json:"return"`      // given back by the regulator
	LineLoss   quantity.PressureDiff `json:"line_loss"`   // from pump to rail, filter included
	Delivered  quantity.MassFlow     `json:"delivered"`   // through the injectors, and a nozzle on the rail
	Sags       bool                  `json:"sags"`        // the pumps cannot hold the set pressure
	Saturated  bool                  `json:"saturated"`   // the injectors are open all the time and still short
	Supported  quantity.CrankPower   `json:"supported"`   // power that the fuel delivered makes at the target's mixture
}

// deliver finds the steady state at the target.
//
// The injectors are opened for the demand at the set rail pressure, at most all
// the time. While the pumps bring more than that, the regulator holds the rail.
// Where they do not, the rail falls until both are equal: what the pumps bring
// rises as the rail falls, what the injectors pass falls with it, so there is
// one such pressure between manifold and set pressure.
func (s *system) deliver() Delivery {
	p := s.at(1)
	set := s.rail(p)
	d := Delivery{SetRail: set, Rail: set, Carried: s.carried(p)}

	full := s.injectable(p, 1)
	commanded := min(p.injected, full)
	d.Saturated = commanded < p.injected
	drawn := commanded + s.nozzle
	want := drawn.Volume(s.density)

	if d.Carried >= want {
		d.Delivered = drawn
		through := want
		if s.reg.Kind.AtRail() {
			through = d.Carried
			d.PumpOutlet = set.Plus(s.lineLoss(through))
		} else {
			d.PumpOutlet = p.setpoint
		}
		d.LineLoss = s.lineLoss(through)
		d.PumpFlow = d.Carried
		d.Return = d.Carried - want
	} else {
		d.Sags = true
		d.Rail = s.sag(p, drawn)
		flow := s.reach(d.Rail)
		d.Delivered = flow.Mass(s.density)
		d.PumpFlow = flow
		d.LineLoss = s.lineLoss(flow)
		d.PumpOutlet = d.Rail.Plus(d.LineLoss)
	}
	d.PumpRise = d.PumpOutlet.Above(s.ambient)
	d.Supported = quantity.CrankPower(float64(s.power) * float64(d.Delivered/p.carried))
	return d
}

// sag returns the rail pressure at which the pumps bring what injectors and nozzle
// pass when they draw the given flow at the set pressure. All of them pass the
// square root of the differential pressure, so one injector tells for all.
func (s *system) sag(p point, drawn quantity.MassFlow) quantity.Pressure {
	set, one := s.rail(p), s.sets[0]
	nominal := s.static(one, set, p.manifold)
	surplus := func(rail float64) float64 {
		r := quantity.Pressure(rail)
		passed := float64(drawn) * float64(s.static(one, r, p.manifold)/nominal)
		return float64(s.reach(r)) - passed/float64(s.density)
	}
	rail, err := root.Find(surplus, float64(p.manifold), float64(set), pressureTolerance)
	if err != nil {
		// The pumps bring nothing even at manifold pressure, or the set pressure
		// is no higher than that: the rail has nothing to give.
		return min(p.manifold, set)
	}
	return quantity.Pressure(rail)
}

// injectorRatio is what the injectors can pass at the share x of the target
// power, over the demand there. It falls as x rises.
func (s *system) injectorRatio(x float64) float64 {
	p := s.at(x)
	return float64(s.injectable(p, s.maxDuty) / p.injected)
}

// pumpRatio is what the pumps can carry at the share x of the target power, over
// the demand there. It falls as x rises.
func (s *system) pumpRatio(x float64) float64 {
	p := s.at(x)
	return float64(s.carried(p) / p.flow)
}

// lineCapacity is the flow at which the line from pump to rail loses what the
// policy allows; infinite where nothing resists.
func (s *system) lineCapacity(allowed quantity.PressureDiff) quantity.VolumeFlow {
	over := func(q float64) float64 { return float64(s.lineLoss(quantity.VolumeFlow(q)) - allowed) }
	if over(0) >= 0 {
		return 0
	}
	high := float64(1 * quantity.LitrePerHour)
	for over(high) < 0 {
		if high *= 2; high > float64(1e6*quantity.LitrePerHour) {
			return unlimitedFlow
		}
	}
	q, err := root.Find(over, 0, high, flowTolerance)
	if err != nil {
		return 0
	}
	return quantity.VolumeFlow(q)
}
