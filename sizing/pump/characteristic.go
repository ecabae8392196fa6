package pump

import (
	"math"

	"example.com/railbook/sizing/internal/monotone"
)

// characteristic is what a pump brings or draws over its differential pressure in Pa: a
// monotone cubic through points, level before the first and straight beyond the last, as
// steep there as the last chord or the cubic's end, whichever is steeper. The zero value
// is nothing at any pressure.
type characteristic struct {
	fit       monotone.Curve
	last, end float64 // the last point
	tail      float64 // slope beyond it
}

func newCharacteristic(pressures, values []float64) (characteristic, error) {
	fit, err := monotone.Through(pressures, values)
	if err != nil {
		return characteristic{}, err
	}
	n := len(values) - 1
	c := characteristic{fit: fit, last: pressures[n], end: values[n], tail: fit.EndSlope()}
	if chord := (values[n] - values[n-1]) / (pressures[n] - pressures[n-1]); math.Abs(chord) > math.Abs(c.tail) {
		c.tail = chord
	}
	return c, nil
}

func (c *characteristic) at(dp float64) float64 {
	if over := dp - c.last; over > 0 {
		return c.end + c.tail*min(over, math.MaxFloat64) // no 0·Inf
	}
	return c.fit.At(dp)
}
