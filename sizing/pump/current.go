package pump

import (
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// HasCurrent reports whether the points give the current.
func (c Curve) HasCurrent() bool { return c.draw != nil }

// Current returns the current that the pump draws against the differential
// pressure dp, zero where the points give none.
//
// Between the points it is a monotone cubic as [Curve.Flow] is. Below the first
// point it stays at that point's current; beyond the last it rises in a straight
// line, as steep as the last chord or the cubic's end, whichever is steeper. It
// never falls as dp rises. [Curve.Covers] tells these apart.
func (c Curve) Current(dp quantity.PressureDiff) quantity.Current { return c.current(dp) }

func (c *Curve) current(dp quantity.PressureDiff) quantity.Current {
	if c.draw == nil {
		return 0
	}
	first, last := &c.points[0], &c.points[len(c.points)-1]
	switch {
	case dp <= first.Pressure:
		return first.Current
	case dp >= last.Pressure:
		return last.Current + quantity.Current(c.drawTail*float64(dp-last.Pressure))
	}
	i := quantity.Current(c.draw.Predict(float64(dp)))
	return max(first.Current, min(last.Current, i)) // rounding alone could leave this range
}

// scaledCurrent carries the current over to voltage v: with flow as speed,
// pressure as its square and voltage as speed, power goes as the cube of speed and
// current as the square.
func (c *Curve) scaledCurrent(dp quantity.PressureDiff, v quantity.Voltage) quantity.Current {
	r := float64(v / c.voltage)
	if !(r > 0) {
		// Stalled: what is left of the straight line as r goes to nothing.
		return quantity.Current(c.drawTail * max(0, float64(dp)))
	}
	return quantity.Current(r * r * float64(c.current(quantity.PressureDiff(float64(dp)/(r*r)))))
}

// HasCurrent reports whether the curves give the current.
func (p Pump) HasCurrent() bool {
	for i := range p.Curves {
		if p.Curves[i].draw == nil {
			return false
		}
	}
	return len(p.Curves) > 0
}

// Current returns the current that all the pumps together draw against the
// differential pressure dp with voltage v at their terminals, zero where the
// curves do not give it. It does not fall as dp rises, as long as no curve lies
// below one of lower pressure, and has no break in dp or v.
//
// With one curve that curve is used whatever v is. Between the voltages of several
// it is interpolated linearly; outside them the nearest is carried over by the
// affinity rules, as the square of the voltage at a pressure that goes as the
// square too, which is rough: [Pump.Covers] is false there. Wear is taken to cost
// flow, not current, and an open relief valve to change nothing.
func (p Pump) Current(dp quantity.PressureDiff, v quantity.Voltage) quantity.Current {
	return quantity.Current(float64(p.count()) * float64(p.oneCurrent(dp, v)))
}

func (p Pump) oneCurrent(dp quantity.PressureDiff, v quantity.Voltage) quantity.Current {
	if !p.HasCurrent() {
		return 0
	}
	n := len(p.Curves)
	if n == 1 {
		return p.Curves[0].current(dp)
	}
	hi := p.reaching(v)
	switch hi {
	case 0:
		return p.Curves[0].scaledCurrent(dp, v)
	case n:
		return p.Curves[n-1].scaledCurrent(dp, v)
	}
	a, b := &p.Curves[hi-1], &p.Curves[hi]
	t := float64((v - a.voltage) / (b.voltage - a.voltage))
	return quantity.Current((1-t)*float64(a.current(dp)) + t*float64(b.current(dp)))
}

// Power returns the electric power that all the pumps together take up, zero where
// the current is not known. In a pump that the fuel runs through all of it ends as
// heat in the fuel, at the pump or where the pressure is lost again.
func (p Pump) Power(dp quantity.PressureDiff, v quantity.Voltage) wiring.Power {
	return wiring.PowerOf(v, p.Current(dp, v))
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
