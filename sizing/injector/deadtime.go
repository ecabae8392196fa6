package injector

import (
	"slices"

	"example.com/railbook/sizing/quantity"
)

// DeadTime is the time by which an injection is shorter than its pulse, against
// voltage and, where it was measured so, differential pressure: the delay in
// opening less the delay in closing. It is made by [NewDeadTime] and does not
// change. The zero value is none: no dead time.
//
// Its text form is a list of points between semicolons,
// "1.35 ms at 12 V; 1.05 ms at 13.5 V", one time without a voltage, "1.05 ms", or
// a table in any order of rows,
// "1.35 ms at 12 V and 3 bar; 1.05 ms at 13.5 V and 3 bar; 1.45 ms at 12 V and 4 bar; 1.12 ms at 13.5 V and 4 bar".
type DeadTime struct {
	points  []DeadTimePoint // as given
	columns []column        // in order of rising pressure; one where no pressure is stated
	shift   float64         // added to what the points say, in s
}

const deadTimeAccepted = `dead times in order of rising voltage such as "1.35 ms at 12 V; 1.05 ms at 13.5 V", one such as "1.05 ms", or a table with rows such as "1.05 ms at 13.5 V and 3 bar"`

// NewDeadTime makes a dead time of points in order of rising voltage whose time
// does not rise. A single point stands for every voltage and need not give its
// own.
//
// Where the points give a pressure, all of them have to, and there has to be one
// for each voltage at each pressure; then their order is free. The error names
// the first point at fault, counted from 1, and wraps a [*quantity.ParseError].
func NewDeadTime(points ...DeadTimePoint) (DeadTime, error) {
	if len(points) == 0 {
		return DeadTime{}, &quantity.ParseError{Reason: "is missing", Accepted: deadTimeAccepted, Err: quantity.ErrRange}
	}
	for i, p := range points {
		why := p.fault()
		if why == "" && (p.Pressure == 0) != (points[0].Pressure == 0) {
			why = "the pressure has to be given at every point or at none"
		}
		if why != "" {
			return DeadTime{}, refusePoint(i, p, why)
		}
	}
	d := DeadTime{points: slices.Clone(points)}
	if points[0].Pressure == 0 {
		c, err := newColumn(points, func(i int) int { return i })
		if err != nil {
			return DeadTime{}, err
		}
		d.columns = []column{c}
		return d, nil
	}
	columns, err := newTable(points)
	if err != nil {
		return DeadTime{}, err
	}
	d.columns = columns
	return d, nil
}

// At returns the dead time at voltage v: a monotone cubic through the points
// (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 1984), held at the
// first and last point beyond them. It never rises with v. Of a table it is the
// longest at any of its pressures; [DeadTime.AtPressure] is nearer.
func (d DeadTime) At(v quantity.Voltage) quantity.Time {
	var longest float64
	for i := range d.columns {
		longest = max(longest, d.columns[i].at(float64(v)))
	}
	return d.shifted(longest)
}

// Shifted returns d with a time added everywhere, on top of what was added before: for a
// driver or a batch that is known to be off the table, or may be. Sums below zero are
// zero.
func (d DeadTime) Shifted(by quantity.Time) DeadTime {
	d.shift += float64(by)
	return d
}

func (d DeadTime) shifted(seconds float64) quantity.Time {
	if d.shift == 0 {
		return quantity.Time(seconds)
	}
	return quantity.Time(max(0, seconds+d.shift))
}

// AtPressure returns the dead time at voltage v and differential pressure dp. In a
// table it is interpolated linearly between the two nearest pressures, at each of
// them as [DeadTime.At] does, and held at the first and last pressure beyond them.
// It has no break and never rises with v. Where no pressures were given dp makes
// no difference.
func (d DeadTime) AtPressure(v quantity.Voltage, dp quantity.PressureDiff) quantity.Time {
	n, hi := len(d.columns), 0
	if n == 0 {
		return 0
	}
	for hi < n && d.columns[hi].pressure < dp {
		hi++
	}
	switch hi {
	case 0:
		return d.shifted(d.columns[0].at(float64(v)))
	case n:
		return d.shifted(d.columns[n-1].at(float64(v)))
	}
	a, b := &d.columns[hi-1], &d.columns[hi]
	t := float64((dp - a.pressure) / (b.pressure - a.pressure))
	return d.shifted((1-t)*a.at(float64(v)) + t*b.at(float64(v)))
}

// Covers reports whether v lies within the points. A single point covers its own
// voltage, or every one where it gives none.
func (d DeadTime) Covers(v quantity.Voltage) bool {
	if d.IsZero() {
		return false
	}
	points := d.columns[0].points // the voltages are the same at every pressure
	if len(points) == 1 && points[0].Voltage == 0 {
		return true
	}
	return v >= points[0].Voltage && v <= points[len(points)-1].Voltage
}

// CoversPressure reports whether v and dp lie within the points. Where no pressures
// were given every one is covered.
func (d DeadTime) CoversPressure(v quantity.Voltage, dp quantity.PressureDiff) bool {
	if !d.Covers(v) {
		return false
	}
	first, last := d.columns[0].pressure, d.columns[len(d.columns)-1].pressure
	return first == 0 || dp >= first && dp <= last
}

// HasVoltages reports whether the dead time depends on voltage.
func (d DeadTime) HasVoltages() bool { return !d.IsZero() && !d.columns[0].fit.IsZero() }

// HasPressures reports whether the dead time depends on differential pressure.
func (d DeadTime) HasPressures() bool { return len(d.columns) > 1 }

// IsZero reports whether no dead time was given.
func (d DeadTime) IsZero() bool { return len(d.points) == 0 }

// Points returns a copy of the points, without what [DeadTime.Shifted] has added.
func (d DeadTime) Points() []DeadTimePoint { return slices.Clone(d.points) }
