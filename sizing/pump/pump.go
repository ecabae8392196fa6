package pump

import (
	"errors"
	"fmt"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// ReliefSpan is the rise above its opening pressure, as a part of it, over which
// a relief valve comes to pass the whole flow of the pump: a modelling choice,
// no source.
const ReliefSpan quantity.Ratio = 0.1

// Pump is one or more equal electric pumps in parallel, drawing from the same
// place and delivering to the same line.
type Pump struct {
	Part   string
	Count  int                   // in parallel; zero counts as one
	Curves []Curve               // of one pump, in order of rising voltage
	Derate quantity.Ratio        // allowance for wear: 0.05 takes 5 % off the flow, and -0.05 adds as much for a pump above its curve
	Relief quantity.PressureDiff // at which the pump's own relief valve opens; zero: none stated
}

// Flow returns the flow that all the pumps together deliver against the
// differential pressure dp with voltage v at their terminals. It falls or stays
// level as dp rises, without a break.
//
// With one curve that curve is used whatever v is; [Pump.HasVoltages] tells. With
// several, flow at equal pressure is interpolated linearly in voltage between
// the two nearest. Outside them the nearest is carried over by the affinity
// rules, flow as speed and pressure as its square (Crane TP-410, example 7.33),
// with speed taken as proportional to voltage, which is rough: [Pump.Covers] is
// false there.
//
// Above Relief the valve takes a share of the flow that grows in proportion to
// the excess, all of it at Relief × (1 + [ReliefSpan]).
func (p Pump) Flow(dp quantity.PressureDiff, v quantity.Voltage) quantity.VolumeFlow {
	one := oneFlow(p.Curves, float64(dp), float64(v))
	return quantity.VolumeFlow(one * float64(p.count()) * (1 - float64(p.Derate)) * keptBy(p.Relief, dp))
}

// oneFlow is the flow of one new pump without its relief valve.
func oneFlow(curves []Curve, dp, v float64) float64 {
	n := len(curves)
	switch n {
	case 0:
		return 0
	case 1:
		return curves[0].m.flowAt(dp)
	}
	hi := reaching(curves, v)
	switch hi {
	case 0:
		return curves[0].m.scaledFlow(dp, v)
	case n:
		return curves[n-1].m.scaledFlow(dp, v)
	}
	a, b := curves[hi-1], curves[hi]
	t := (v - float64(a.Voltage())) / float64(b.Voltage()-a.Voltage())
	return (1-t)*a.m.flowAt(dp) + t*b.m.flowAt(dp)
}

// reaching returns the index of the first curve whose voltage is not below v.
func reaching(curves []Curve, v float64) int {
	i := 0
	for i < len(curves) && float64(curves[i].Voltage()) < v {
		i++
	}
	return i
}

// scaledFlow carries the flow over to voltage v by the affinity rules.
func (m *measured) scaledFlow(dp, v float64) float64 {
	if m == nil {
		return 0
	}
	if r := v / float64(m.voltage); r > stalled {
		return r * m.flowAt(dp/(r*r))
	}
	return 0
}

// stalled is the share of its speed below which a pump stands still: so little that the
// square still has all its digits.
const stalled = 1e-100

// keptBy is the part of the flow that a relief valve leaves at dp.
func keptBy(relief, dp quantity.PressureDiff) float64 {
	if relief <= 0 || dp <= relief {
		return 1
	}
	return max(0, 1-float64((dp-relief)/relief)/float64(ReliefSpan))
}

func (p Pump) count() int {
	if p.Count == 0 {
		return 1
	}
	return p.Count
}

// HasVoltages reports whether the flow depends on voltage: whether there are
// curves at two or more.
func (p Pump) HasVoltages() bool { return len(p.Curves) > 1 }

// Covers reports whether the flow at dp and v lies within what was measured: v
// between the voltages of the curves, where there are several, dp within the
// points of each curve used, and not above Relief.
func (p Pump) Covers(dp quantity.PressureDiff, v quantity.Voltage) bool {
	n := len(p.Curves)
	if n == 0 || p.Relief > 0 && dp > p.Relief {
		return false
	}
	if n == 1 {
		return p.Curves[0].Covers(dp)
	}
	hi := reaching(p.Curves, float64(v))
	switch {
	case hi == n:
		return false
	case p.Curves[hi].Voltage() == v:
		return p.Curves[hi].Covers(dp)
	case hi == 0:
		return false
	}
	return p.Curves[hi-1].Covers(dp) && p.Curves[hi].Covers(dp)
}

// Validate reports everything that makes no sense, each error named after its
// field; curves are counted from 1. It refuses a curve that lies below one of
// lower voltage at a pressure where both were measured.
func (p Pump) Validate() error {
	errs := []error{
		requireCount(p.Count),
		check.Require(p.Derate > -1 && p.Derate < 1, "derate", p.Derate, "must lie between -1 and 1"),
		check.Require(p.Relief >= 0 && finite(p.Relief), "relief", p.Relief, "must not be negative"),
	}
	if len(p.Curves) == 0 {
		errs = append(errs, fmt.Errorf("curves: %w", &quantity.ParseError{Reason: "is missing", Accepted: curveAccepted, Err: quantity.ErrRange}))
	}
	for i, c := range p.Curves {
		if err := p.validateCurve(i, c); err != nil {
			errs = append(errs, fmt.Errorf("curve %d: %w", i+1, err))
		}
	}
	return errors.Join(errs...)
}

func (p Pump) validateCurve(i int, c Curve) error {
	if c.m == nil {
		return &quantity.ParseError{Reason: "has no points", Accepted: curveAccepted, Err: quantity.ErrRange}
	}
	if len(p.Curves) == 1 {
		return nil
	}
	if c.HasCurrent() != p.Curves[0].HasCurrent() {
		return &quantity.ParseError{
			Text: join(c.m.points), Reason: "the current has to be given on every curve or on none", Accepted: curveAccepted, Err: quantity.ErrRange,
		}
	}
	if err := check.Require(c.m.voltage > 0, "voltage", c.m.voltage, "each of several curves needs the voltage of its measurement"); err != nil {
		return err
	}
	if i == 0 || p.Curves[i-1].m == nil {
		return nil
	}
	lower := p.Curves[i-1]
	if err := check.Require(c.m.voltage > lower.m.voltage, "voltage", c.m.voltage, "must exceed that of the curve before, "+lower.m.voltage.String()); err != nil {
		return err
	}
	if at, found := lower.above(c); found {
		return &quantity.ParseError{
			Text:     Point{Flow: c.Flow(at), Pressure: at}.String(),
			Reason:   fmt.Sprintf("less flow at %v than at %v, %v", c.m.voltage, lower.m.voltage, lower.Flow(at)),
			Accepted: "curves whose flow does not fall as the voltage rises", Err: quantity.ErrRange,
		}
	}
	return nil
}

// above finds a measured pressure at which c delivers more than d although both
// were measured around it. Differences in the last digits do not count.
func (c Curve) above(d Curve) (at quantity.PressureDiff, found bool) {
	const slack = 1e-9
	for _, points := range [][]Point{c.m.points, d.m.points} {
		for _, p := range points {
			if c.Covers(p.Pressure) && d.Covers(p.Pressure) && c.Flow(p.Pressure) > (1+slack)*d.Flow(p.Pressure) {
				return p.Pressure, true
			}
		}
	}
	return 0, false
}
