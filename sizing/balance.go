package sizing

import "example.com/railbook/sizing/quantity"

// Balance is what the operating point at the target comes from: at each pressure over
// the pumps the flow that they bring, and at each flow the pressure that it takes to
// bring it to the rail at its set pressure. The curves cross where the pumps work
// while the regulator is in control.
type Balance struct {
	Supply []BalancePoint // in order of rising pressure
	System []BalancePoint // in order of rising flow
}

// BalancePoint is a flow through the pumps and the pressure over them.
type BalancePoint struct {
	Rise quantity.PressureDiff // outlet over inlet, lift pumps in series included
	Flow quantity.VolumeFlow
}

// Balance returns both curves with n points each, at least two. The error is that of
// a build that cannot be assessed.
func (a *Assessment) Balance(n int) (Balance, error) {
	s, _, err := newSystem(&a.Build, nil, nil, nil, nil)
	if err != nil {
		return Balance{}, err
	}
	n = max(n, 2)
	p, d := s.at(1), a.Delivery
	needed := func(q quantity.VolumeFlow) quantity.PressureDiff {
		through := q
		if !s.regAtRail() {
			through = p.flow
		}
		return d.SetRail.Plus(s.lineLoss(through)).Above(s.inlet(q))
	}
	most := 1.3 * max(needed(a.Demand.Volume), d.PumpRise, 100*quantity.KilopascalDiff)
	least := max(0, min(s.leastMeasured(), d.PumpRise, needed(a.Demand.Volume)/2))
	var b Balance
	top := a.Demand.Volume
	for i := range n {
		rise := least + quantity.PressureDiff(float64(most-least)*float64(i)/float64(n-1))
		q := s.pumps.rail.Flow(rise, p.drive)
		b.Supply = append(b.Supply, BalancePoint{rise, q})
		top = max(top, q)
	}
	for i := range n {
		q := quantity.VolumeFlow(float64(top) * float64(i) / float64(n-1))
		if rise := needed(q); least <= rise && rise <= most {
			b.System = append(b.System, BalancePoint{rise, q})
		}
	}
	return b, nil
}

// leastMeasured is the lowest pressure of any pump curve.
func (s *system) leastMeasured() quantity.PressureDiff {
	least := quantity.PressureDiff(0)
	found := false
	for _, u := range s.pumps.units {
		if u.electric == nil {
			continue
		}
		for _, c := range u.electric.Pump.Curves {
			if p := c.Points()[0].Pressure; !found || p < least {
				least, found = p, true
			}
		}
	}
	return least
}
