package injector

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/interp"

	"example.com/railbook/sizing/quantity"
)

// DeadTime is the time by which an injection is shorter than its pulse, against
// voltage: the delay in opening less the delay in closing. It is made by
// [NewDeadTime] and does not change. The zero value is none: no dead time.
//
// Its text form is a list of points between semicolons,
// "1.35 ms at 12 V; 1.05 ms at 13.5 V", or one time without a voltage, "1.05 ms".
type DeadTime struct {
	points []DeadTimePoint
	fit    *interp.FritschButland // s over V; nil for fewer than two points
}

const deadTimeAccepted = `dead times in order of rising voltage such as "1.35 ms at 12 V; 1.05 ms at 13.5 V", or one such as "1.05 ms"`

// minStep is the least difference in voltage between two points. A finer one says
// nothing and would spoil the arithmetic.
const minStep = 1 * quantity.Millivolt

// NewDeadTime makes a dead time of points in order of rising voltage whose time
// does not rise. A single point stands for every voltage and need not give its
// own. The error names the first point at fault, counted from 1, and wraps a
// [*quantity.ParseError].
func NewDeadTime(points ...DeadTimePoint) (DeadTime, error) {
	if len(points) == 0 {
		return DeadTime{}, &quantity.ParseError{Reason: "is missing", Accepted: deadTimeAccepted, Err: quantity.ErrRange}
	}
	times, voltages := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		why := p.fault()
		switch {
		case why != "":
		case len(points) > 1 && p.Voltage == 0:
			why = "the voltage is missing; only a single dead time can do without"
		case i > 0 && !(p.Voltage-points[i-1].Voltage >= minStep):
			why = fmt.Sprintf("the voltage must exceed that of the point before, %v", points[i-1])
		case i > 0 && p.Time > points[i-1].Time:
			why = fmt.Sprintf("the dead time must not exceed that of the point before, %v", points[i-1])
		}
		if why != "" {
			return DeadTime{}, fmt.Errorf("point %d: %w", i+1, &quantity.ParseError{
				Text: p.String(), Reason: why, Accepted: deadTimeAccepted, Err: quantity.ErrRange,
			})
		}
		times[i], voltages[i] = float64(p.Time), float64(p.Voltage)
	}
	d := DeadTime{points: slices.Clone(points)}
	if len(points) > 1 {
		d.fit = new(interp.FritschButland)
		if err := d.fit.Fit(voltages, times); err != nil {
			return DeadTime{}, err
		}
	}
	return d, nil
}

// At returns the dead time at voltage v: a monotone cubic through the points
// (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 1984), held at the
// first and last point beyond them. It never rises with v.
func (d DeadTime) At(v quantity.Voltage) quantity.Time {
	if d.fit == nil {
		if len(d.points) == 0 {
			return 0
		}
		return d.points[0].Time
	}
	first, last := &d.points[0], &d.points[len(d.points)-1]
	switch {
	case v <= first.Voltage:
		return first.Time
	case v >= last.Voltage:
		return last.Time
	}
	t := quantity.Time(d.fit.Predict(float64(v)))
	return min(first.Time, max(last.Time, t)) // rounding alone could leave this range
}

// Covers reports whether v lies within the points. A single point covers its own
// voltage, or every one where it gives none.
func (d DeadTime) Covers(v quantity.Voltage) bool {
	n := len(d.points)
	switch {
	case n == 0:
		return false
	case n == 1 && d.points[0].Voltage == 0:
		return true
	}
	return v >= d.points[0].Voltage && v <= d.points[n-1].Voltage
}

// HasVoltages reports whether the dead time depends on voltage.
func (d DeadTime) HasVoltages() bool { return d.fit != nil }

// IsZero reports whether no dead time was given.
func (d DeadTime) IsZero() bool { return len(d.points) == 0 }

// Points returns a copy of the points.
func (d DeadTime) Points() []DeadTimePoint { return slices.Clone(d.points) }

// ParseDeadTime reads points between semicolons, "1.35 ms at 12 V; 1.05 ms at
// 13.5 V", or a single "1.05 ms". The error wraps a [*quantity.ParseError].
func ParseDeadTime(text string) (DeadTime, error) {
	var points []DeadTimePoint
	for part := range strings.SplitSeq(text, ";") {
		p, err := ParseDeadTimePoint(part)
		if err != nil {
			return DeadTime{}, err
		}
		points = append(points, p)
	}
	return NewDeadTime(points...)
}

// String prints the points with four digits.
func (d DeadTime) String() string {
	if d.IsZero() {
		return "no dead time"
	}
	texts := make([]string, len(d.points))
	for i, p := range d.points {
		texts[i] = p.String()
	}
	return strings.Join(texts, "; ")
}

// Accepts says in a phrase what [ParseDeadTime] takes.
func (DeadTime) Accepts() string { return deadTimeAccepted }

// MarshalText writes d in coherent SI units with every digit.
func (d DeadTime) MarshalText() ([]byte, error) {
	if d.IsZero() {
		return nil, &quantity.ParseError{Text: d.String(), Reason: "it cannot be written", Accepted: deadTimeAccepted, Err: quantity.ErrRange}
	}
	var text []byte
	for i, p := range d.points {
		one, err := p.MarshalText()
		if err != nil {
			return nil, err
		}
		if i > 0 {
			text = append(text, "; "...)
		}
		text = append(text, one...)
	}
	return text, nil
}

// UnmarshalText reads d as [ParseDeadTime] does and leaves it alone on an error.
func (d *DeadTime) UnmarshalText(text []byte) error {
	v, err := ParseDeadTime(string(text))
	if err != nil {
		return err
	}
	*d = v
	return nil
}
