package injector

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// PulseFlow is the fuel of one injection at one pulse width, as a flow bench
// measures it: the dynamic flow Qd at PW in the words of SAE J1832.
type PulseFlow struct {
	Pulse quantity.Time // from switching on to switching off
	Fuel  quantity.Mass
}

// FlowLine is the straight line of fuel per injection over pulse width that stands
// for an injector at one voltage, pressure and liquid:
//
//	q = m (PW - X)
//
// In the words of SAE J1832 (February 2001; the terms read in its public summary,
// what they mean from memory) m is the slope and X the time offset: the dead time.
// Y = -m X is the flow offset, where the line cuts the axis of fuel. The static
// flow rate Qs of the injector held open need not be m: the line follows pulses
// that open and close. [FlowLine.Deviation] is the linearity deviation LD and
// [FlowLine.LinearRange] the linear flow range LFR.
type FlowLine struct {
	Slope  quantity.MassFlow
	Offset quantity.Time
}

// FitFlowLine returns the line through the points by least squares of the fuel. The
// error names what is wrong with them: fewer than two pulse widths, a value that is
// no positive number, or fuel that does not rise with the pulse.
func FitFlowLine(points ...PulseFlow) (FlowLine, error) {
	x, y := make([]float64, len(points)), make([]float64, len(points))
	spread := false
	for i, p := range points {
		err := errors.Join(
			check.Require(positive(p.Pulse), "pulse", p.Pulse, "must be greater than zero"),
			check.Require(positive(p.Fuel), "fuel", p.Fuel, "must be greater than zero"))
		if err != nil {
			return FlowLine{}, fmt.Errorf("point %d: %w", i+1, err)
		}
		x[i], y[i] = float64(p.Pulse), float64(p.Fuel)
		spread = spread || p.Pulse != points[0].Pulse
	}
	if !spread {
		return FlowLine{}, fmt.Errorf("points: %w", &quantity.ParseError{
			Reason: "fewer than two pulse widths", Accepted: "the fuel of one injection at two pulse widths or more", Err: quantity.ErrRange,
		})
	}
	intercept, slope := stat.LinearRegression(x, y, nil, false)
	if err := check.Require(slope > 0, "slope", quantity.MassFlow(slope), "the fuel has to rise with the pulse"); err != nil {
		return FlowLine{}, err
	}
	return FlowLine{Slope: quantity.MassFlow(slope), Offset: quantity.Time(-intercept / slope)}, nil
}

// Fuel returns the fuel that a pulse injects by the line, none for a pulse not
// longer than the offset.
func (l FlowLine) Fuel(pulse quantity.Time) quantity.Mass {
	return quantity.Mass(float64(l.Slope) * max(0, float64(pulse-l.Offset)))
}

// Pulse returns the pulse that injects the fuel by the line: the inverse of
// [FlowLine.Fuel]. It is +Inf where the line has no slope.
func (l FlowLine) Pulse(fuel quantity.Mass) quantity.Time {
	if !(l.Slope > 0) {
		return quantity.Time(math.Inf(1))
	}
	return quantity.Time(float64(fuel)/float64(l.Slope)) + l.Offset
}

// FlowOffset returns Y = -m X: where the line cuts the axis of fuel, below zero for
// an injector that opens later than it closes.
func (l FlowLine) FlowOffset() quantity.Mass {
	return quantity.Mass(-float64(l.Slope) * float64(l.Offset))
}

// Deviation returns the linearity deviation of a point: by what part its fuel lies
// above the line. It is +Inf for fuel where the line has none.
func (l FlowLine) Deviation(p PulseFlow) quantity.Ratio {
	return quantity.Ratio(float64((p.Fuel - l.Fuel(p.Pulse)) / l.Fuel(p.Pulse)))
}

// LinearityLimit is the linearity deviation within which SAE J1832 counts a flow as
// linear, 5 % (from memory).
const LinearityLimit quantity.Ratio = 0.05

// LinearRange returns the linear flow range among points in order of rising pulse:
// the first and the last of the longest run, by the ratio of their fuel, whose
// deviations stay within the limit, and that ratio. The pulse of the first is the
// minimum pulse of an [Injector]. The ratio is zero where no point is within.
func (l FlowLine) LinearRange(limit quantity.Ratio, points ...PulseFlow) (first, last PulseFlow, ratio quantity.Ratio) {
	start := -1
	for i, p := range points {
		if d := l.Deviation(p); !(d >= -limit && d <= limit) {
			start = -1
			continue
		}
		if start < 0 {
			start = i
		}
		if r := quantity.Ratio(p.Fuel / points[start].Fuel); r > ratio {
			first, last, ratio = points[start], p, r
		}
	}
	return first, last, ratio
}
