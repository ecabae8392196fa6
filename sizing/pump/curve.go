package pump

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Curve is the flow of one pump against differential pressure at one voltage. It
// is made by [NewCurve], cheap to copy, and does not change. The zero value delivers
// nothing.
type Curve struct{ m *measured }

// measured is what a [Curve] holds; nil is the zero one.
type measured struct {
	points  []Point
	voltage quantity.Voltage
	flow    characteristic // m³/s
	draw    characteristic // A; zero where it is not known
}

const curveAccepted = `points in order of rising pressure whose flow never rises, such as "340 L/h at 300 kPa", "300 L/h at 400 kPa"`

// minStep is the least difference in pressure between two points. A finer one
// says nothing and would spoil the arithmetic.
const minStep = 1 * quantity.PascalDiff

// NewCurve makes a curve from at least two points in order of rising pressure
// whose flow does not rise, measured at v. A voltage of zero stands for one that
// is not known. Either all of the points have a current or none; it may not fall
// as the pressure rises. The error names the first point at fault, counted from 1, and
// wraps a [*quantity.ParseError].
func NewCurve(points []Point, v quantity.Voltage) (Curve, error) {
	if err := check.Require(v >= 0 && finite(v), "voltage", v, "must not be negative"); err != nil {
		return Curve{}, err
	}
	if len(points) < 2 {
		return Curve{}, fmt.Errorf("points: %w", &quantity.ParseError{
			Text: join(points), Reason: "a curve has at least two points", Accepted: curveAccepted, Err: quantity.ErrRange,
		})
	}
	flows, pressures, currents := make([]float64, len(points)), make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		why := p.fault()
		switch {
		case why != "":
		case i == 0 && p.Flow == 0:
			why = "the flow at the lowest pressure must be greater than zero"
		case i > 0 && !(p.Pressure-points[i-1].Pressure >= minStep):
			why = fmt.Sprintf("the pressure must exceed that of the point before, %v", points[i-1])
		case i > 0 && p.Flow > points[i-1].Flow:
			why = fmt.Sprintf("the flow must not exceed that of the point before, %v", points[i-1])
		case i > 0 && (p.Current == 0) != (points[0].Current == 0):
			why = "the current has to be given at every point or at none"
		case i > 0 && p.Current < points[i-1].Current:
			why = fmt.Sprintf("the current must not be less than that of the point before, %v", points[i-1])
		}
		if why != "" {
			return Curve{}, fmt.Errorf("point %d: %w", i+1, &quantity.ParseError{
				Text: p.String(), Reason: why, Accepted: curveAccepted, Err: quantity.ErrRange,
			})
		}
		flows[i], pressures[i], currents[i] = float64(p.Flow), float64(p.Pressure), float64(p.Current)
	}
	m := measured{points: slices.Clone(points), voltage: v}
	var err error
	if m.flow, err = newCharacteristic(pressures, flows); err != nil {
		return Curve{}, fmt.Errorf("points: %w", err)
	}
	if points[0].Current != 0 {
		if m.draw, err = newCharacteristic(pressures, currents); err != nil {
			return Curve{}, fmt.Errorf("points: %w", err)
		}
	}
	return Curve{&m}, nil
}

func join(points []Point) string {
	texts := make([]string, len(points))
	for i, p := range points {
		texts[i] = p.String()
	}
	return strings.Join(texts, ", ")
}

// Flow returns the flow delivered against the differential pressure dp.
//
// Between the points it is a monotone cubic through them (F. N. Fritsch and
// J. Butland, SIAM J. Sci. Stat. Comput. 5, 1984), so it never overshoots. Below
// the first point it stays at that point's flow, which understates a pump that
// was not measured there. Beyond the last it goes on in a straight line, as
// steep as the last chord or the cubic's end, whichever falls faster, down to
// zero. [Curve.Covers] tells these apart.
func (c Curve) Flow(dp quantity.PressureDiff) quantity.VolumeFlow {
	return quantity.VolumeFlow(c.m.flowAt(float64(dp)))
}

func (m *measured) flowAt(dp float64) float64 {
	if m == nil {
		return 0
	}
	return max(0, m.flow.at(dp))
}

// Covers reports whether dp lies within the measured points.
func (c Curve) Covers(dp quantity.PressureDiff) bool {
	points := c.points()
	return len(points) > 0 && dp >= points[0].Pressure && dp <= points[len(points)-1].Pressure
}

// Shutoff returns the differential pressure at which the flow comes to nothing,
// and whether the points reach that far; otherwise it is the end of the straight
// line beyond the last point, +Inf where that line is level.
func (c Curve) Shutoff() (dp quantity.PressureDiff, measured bool) {
	if c.m == nil {
		return 0, false
	}
	for _, p := range c.m.points {
		if p.Flow == 0 {
			return p.Pressure, true
		}
	}
	f := &c.m.flow
	if f.tail == 0 {
		return quantity.PressureDiff(math.Inf(1)), false
	}
	return quantity.PressureDiff(f.last - f.end/f.tail), false
}

// Voltage returns the voltage at the pump during the measurement, zero where it
// is not known.
func (c Curve) Voltage() quantity.Voltage {
	if c.m == nil {
		return 0
	}
	return c.m.voltage
}

// Points returns a copy of the points.
func (c Curve) Points() []Point { return slices.Clone(c.points()) }

func (c Curve) points() []Point {
	if c.m == nil {
		return nil
	}
	return c.m.points
}
