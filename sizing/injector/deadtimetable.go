package injector

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/railbook/sizing/internal/monotone"
	"example.com/railbook/sizing/quantity"
)

// column is the dead time against voltage at one pressure.
type column struct {
	pressure quantity.PressureDiff
	points   []DeadTimePoint // in order of rising voltage
	fit      monotone.Curve  // s over V; none for a single point
}

// The least differences between two points. A finer one says nothing and would
// spoil the arithmetic.
const (
	minStep     = 1 * quantity.Millivolt
	minPressure = 100 * quantity.PascalDiff
)

// newColumn fits points at one pressure; place gives where the i-th stands among
// those that the caller gave.
func newColumn(points []DeadTimePoint, place func(i int) int) (column, error) {
	times, voltages := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		why := ""
		switch {
		case len(points) > 1 && p.Voltage == 0:
			why = "the voltage is missing; only a single dead time can do without"
		case i > 0 && !(p.Voltage-points[i-1].Voltage >= minStep):
			why = fmt.Sprintf("the voltage must exceed that of the point before, %v", points[i-1])
		case i > 0 && p.Time > points[i-1].Time:
			why = fmt.Sprintf("the dead time must not exceed that of the point before, %v", points[i-1])
		}
		if why != "" {
			return column{}, refusePoint(place(i), p, why)
		}
		times[i], voltages[i] = float64(p.Time), float64(p.Voltage)
	}
	c := column{pressure: points[0].Pressure, points: slices.Clone(points)}
	if len(points) > 1 {
		var err error
		if c.fit, err = monotone.Through(voltages, times); err != nil {
			return column{}, fmt.Errorf("points: %w", err)
		}
	}
	return c, nil
}

// newTable sorts the points into columns and checks that they fill a table.
func newTable(points []DeadTimePoint) ([]column, error) {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(points[i].Pressure, points[j].Pressure), cmp.Compare(points[i].Voltage, points[j].Voltage))
	})
	var columns []column
	for start := 0; start < len(order); {
		end := start
		var rows []DeadTimePoint
		for end < len(order) && points[order[end]].Pressure == points[order[start]].Pressure {
			rows = append(rows, points[order[end]])
			end++
		}
		c, err := newColumn(rows, func(i int) int { return order[start+i] })
		if err != nil {
			return nil, err
		}
		if start > 0 {
			before := columns[len(columns)-1]
			if c.pressure-before.pressure < minPressure {
				return nil, refusePoint(order[start], rows[0], fmt.Sprintf("the pressure lies too near to %v, which is given too", before.pressure))
			}
			if i := slices.IndexFunc(before.points, func(p DeadTimePoint) bool { return !c.has(p.Voltage) }); i >= 0 {
				return nil, refusePoint(order[start], rows[0], fmt.Sprintf("the dead time at %v and %v is missing", before.points[i].Voltage, c.pressure))
			}
			if len(c.points) > len(before.points) {
				i := slices.IndexFunc(c.points, func(p DeadTimePoint) bool { return !before.has(p.Voltage) })
				return nil, refusePoint(order[start+i], rows[i], fmt.Sprintf("the dead time at %v and %v is missing", rows[i].Voltage, before.pressure))
			}
		}
		columns = append(columns, c)
		start = end
	}
	return columns, nil
}

func (c column) has(v quantity.Voltage) bool {
	return slices.ContainsFunc(c.points, func(p DeadTimePoint) bool { return p.Voltage == v })
}

func refusePoint(i int, p DeadTimePoint, why string) error {
	return fmt.Errorf("point %d: %w", i+1, &quantity.ParseError{
		Text: p.String(), Reason: why, Accepted: deadTimeAccepted, Err: quantity.ErrRange,
	})
}

// at is the dead time at voltage v: a monotone cubic through the points, held at
// the first and the last beyond them.
func (c *column) at(v float64) float64 {
	if c.fit.IsZero() {
		return float64(c.points[0].Time)
	}
	return c.fit.At(v)
}
