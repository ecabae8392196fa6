package sizing

import (
	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// Delivery is the steady state of tank, suction side, pumps, line, regulator, rail,
// injectors and return at the target, solved together.
type Delivery struct {
	SetRail    quantity.Pressure     `json:"set_rail"`    // absolute, what the regulator is set to at the rail
	Rail       quantity.Pressure     `json:"rail"`        // absolute, what the rail has; above SetRail where return flow raises it
	PumpInlet  quantity.Pressure     `json:"pump_inlet"`  // absolute
	PumpOutlet quantity.Pressure     `json:"pump_outlet"` // absolute
	PumpRise   quantity.PressureDiff `json:"pump_rise"`   // outlet over inlet, lift pumps in series included
	PumpFlow   quantity.VolumeFlow   `json:"pump_flow"`   // through the pumps
	Carried    quantity.VolumeFlow   `json:"carried"`     // most that reaches the rail at its set pressure
	Return     quantity.VolumeFlow   `json:"return"`      // given back by the regulator
	LineFlow   quantity.VolumeFlow   `json:"line_flow"`   // through the feed line
	LineLoss   quantity.PressureDiff `json:"line_loss"`   // from pump to rail, filter included
	Delivered  quantity.MassFlow     `json:"delivered"`   // through the injectors, and a nozzle on the rail
	Sags       bool                  `json:"sags"`        // the pumps cannot hold the set pressure
	Saturated  bool                  `json:"saturated"`   // the injectors are open all the time and still short
	Supported  quantity.CrankPower   `json:"supported"`   // power that the fuel delivered makes at the target's mixture
}

// deliver finds the steady state at the target.
//
// The injectors are opened for the demand at the rail pressure that the regulator
// keeps, at most all the time. While the pumps bring more than that, the regulator
// holds the rail. Where they do not, the rail falls until both are equal: what the
// pumps bring rises as the rail falls, what the injectors pass falls with it, so
// there is one such pressure between manifold and set pressure.
func (s *system) deliver() Delivery {
	p := s.at(1)
	set := p.setpoint
	if !s.regAtRail() {
		set = max(0, set.Plus(-s.lineLoss(p.flow)))
	}
	// The regulator has to return some to hold its set point.
	most := s.brought(p)
	d := Delivery{SetRail: set, Carried: max(0, most-s.reg.LeastReturn)}

	full := s.injectable(p, 1)
	commanded := min(p.injected, full)
	d.Saturated = commanded < p.injected
	drawn := p
	drawn.injected, drawn.carried = commanded, commanded+s.nozzle
	drawn.flow = s.volume(drawn.carried)

	if r, ok := s.rest(drawn, most); ok {
		d.Rail, d.PumpOutlet, d.PumpFlow, d.Return, d.LineFlow = r.rail, r.outlet, r.through, r.returned, r.line
		d.Delivered = drawn.carried
	} else {
		d.Sags = true
		d.Rail = s.sag(drawn)
		d.PumpFlow = s.reach(d.Rail, true, p.drive)
		d.LineFlow = d.PumpFlow
		d.Delivered = d.PumpFlow.Mass(s.density)
		d.PumpOutlet = d.Rail.Plus(s.lineLoss(d.PumpFlow))
	}
	// Hard braking can pull fuel out of the pumps: there is no pressure below none.
	d.PumpOutlet = max(0, d.PumpOutlet)
	d.LineLoss = s.lineLoss(d.LineFlow)
	d.PumpInlet = s.inlet(d.PumpFlow)
	d.PumpRise = d.PumpOutlet.Above(d.PumpInlet)
	d.Supported = s.power
	if p.carried > 0 {
		d.Supported = quantity.CrankPower(float64(s.power) * float64(d.Delivered/p.carried))
	}
	return d
}

// sag returns the rail pressure at which the pumps bring what injectors and nozzle
// pass, opened for p at the pressure that the rail should have. All of them pass the
// square root of the differential pressure, so one injector tells for all.
func (s *system) sag(p point) quantity.Pressure {
	one, dp := s.sets[0], s.differential(p)
	set, nominal := dp.Above(p.manifold), s.static(one, dp)
	surplus := func(rail float64) float64 {
		r := quantity.Pressure(rail)
		passed := float64(p.carried) * float64(s.static(one, r.Above(p.manifold))/nominal)
		return float64(s.reach(r, true, p.drive)) - passed/float64(s.density)
	}
	rail, err := root.Find(surplus, float64(p.manifold), float64(set), pressureTolerance)
	if err != nil {
		// The pumps bring nothing even at manifold pressure, or the set pressure
		// is no higher than that: the rail has nothing to give.
		return max(0, min(p.manifold, set))
	}
	return quantity.Pressure(rail)
}

// injectorSpare is what the injectors can pass at the share x of the target power
// beyond m times the demand there. It falls as x rises.
func (s *system) injectorSpare(x, m float64) float64 {
	p := s.at(x)
	return over(s.volume(s.injectable(p, s.maxDuty)), s.volume(p.injected)) - m
}

// pumpSpare has the sign of what the pumps can carry at the share x of the target
// power beyond m times the demand there, as [Delivery] has it. It falls as x
// rises.
func (s *system) pumpSpare(x, m float64) float64 {
	p := s.at(x)
	q := max(leastFlow, quantity.VolumeFlow(m*float64(p.flow))+s.reg.LeastReturn)
	return float64(s.supplied(p.setpoint, q, s.regAtRail(), p.drive)/q) - 1
}

// lineCapacity is the flow at which the line from pump to rail loses what the
// policy allows; unlimitedFlow where nothing resists.
func (s *system) lineCapacity(allowed quantity.PressureDiff) quantity.VolumeFlow {
	q, err := s.feed.Capacity(allowed, s.stream(0))
	if err != nil {
		return 0
	}
	return min(q, unlimitedFlow)
}
