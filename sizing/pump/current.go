package pump

import "example.com/railbook/sizing/quantity"

// HasCurrent reports whether the points give the current.
func (c Curve) HasCurrent() bool { return c.m != nil && !c.m.draw.fit.IsZero() }

// Current returns the current that the pump draws against the differential
// pressure dp, zero where the points give none.
//
// Between the points it is a monotone cubic as [Curve.Flow] is. Below the first
// point it stays at that point's current; beyond the last it rises in a straight
// line, as steep as the last chord or the cubic's end, whichever is steeper. It
// never falls as dp rises. [Curve.Covers] tells these apart.
func (c Curve) Current(dp quantity.PressureDiff) quantity.Current {
	return quantity.Current(c.m.currentAt(float64(dp)))
}

func (m *measured) currentAt(dp float64) float64 {
	if m == nil {
		return 0
	}
	return m.draw.at(dp)
}

// scaledCurrent carries the current over to voltage v: with flow as speed,
// pressure as its square and voltage as speed, power goes as the cube of speed and
// current as the square.
func (m *measured) scaledCurrent(dp, v float64) float64 {
	if r := v / float64(m.voltage); r > stalled {
		return r * r * m.draw.at(dp/(r*r))
	}
	return m.draw.tail * max(0, dp) // what is left of the straight line as r goes to nothing
}

// HasCurrent reports whether the curves give the current.
func (p Pump) HasCurrent() bool { return hasCurrent(p.Curves) }

func hasCurrent(curves []Curve) bool {
	for _, c := range curves {
		if !c.HasCurrent() {
			return false
		}
	}
	return len(curves) > 0
}

// Current returns the current that all the pumps together draw against the
// differential pressure dp with voltage v at their terminals, zero where the
// curves do not give it. It does not fall as dp rises, and has no break in dp or v.
//
// With one curve that curve is used whatever v is. Between the voltages of several
// it is interpolated linearly; outside them the nearest is carried over by the
// affinity rules, as the square of the voltage at a pressure that goes as the
// square too, which is rough: [Pump.Covers] is false there. Wear is taken to cost
// flow, not current, and an open relief valve to change nothing.
func (p Pump) Current(dp quantity.PressureDiff, v quantity.Voltage) quantity.Current {
	if !hasCurrent(p.Curves) {
		return 0
	}
	return quantity.Current(float64(p.count()) * oneCurrent(p.Curves, float64(dp), float64(v)))
}

// oneCurrent is the current of one pump whose curves give it.
func oneCurrent(curves []Curve, dp, v float64) float64 {
	n := len(curves)
	if n == 1 {
		return curves[0].m.draw.at(dp)
	}
	hi := reaching(curves, v)
	switch hi {
	case 0:
		return curves[0].m.scaledCurrent(dp, v)
	case n:
		return curves[n-1].m.scaledCurrent(dp, v)
	}
	a, b := curves[hi-1].m, curves[hi].m
	t := (v - float64(a.voltage)) / float64(b.voltage-a.voltage)
	return (1-t)*a.draw.at(dp) + t*b.draw.at(dp)
}

// Power returns the electric power that all the pumps together take up, zero where
// the current is not known. In a pump that the fuel runs through all of it ends as
// heat in the fuel, at the pump or where the pressure is lost again.
func (p Pump) Power(dp quantity.PressureDiff, v quantity.Voltage) quantity.Power {
	return v.Power(p.Current(dp, v))
}

// Efficiency returns the power that the flow gains in pressure as a part of the
// electric power, zero where the current is not known.
func (p Pump) Efficiency(dp quantity.PressureDiff, v quantity.Voltage) quantity.Ratio {
	taken := float64(p.Power(dp, v))
	if !(taken > 0) {
		return 0
	}
	return quantity.Ratio(float64(dp) * float64(p.Flow(dp, v)) / taken)
}
