// Package monotone interpolates between points of which each next one lies no higher, or
// each no lower, without ever leaving the way from one to the next.
package monotone

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/interp"
)

// Curve is a monotone cubic through points (F. N. Fritsch and J. Butland, SIAM J. Sci.
// Stat. Comput. 5, 1984; the slopes at the points are those of package interp of gonum).
// It is made by [Through] and does not change. The zero value is no curve.
type Curve struct {
	pieces []piece // one from each point to the next; the last is level
	slope  float64 // at the last point
}

// piece is y + t (a + t (b + t c)) with t = x - start.
type piece struct{ start, y, a, b, c float64 }

// ErrPoints is returned by [Through] for points that no monotone curve goes through.
var ErrPoints = errors.New("want two points or more, in order of rising x, whose y only falls or only rises")

// Through makes the curve through the points (x[i], y[i]).
func Through(x, y []float64) (Curve, error) {
	if len(x) < 2 || len(x) != len(y) {
		return Curve{}, ErrPoints
	}
	last := len(x) - 1
	direction := y[last] - y[0]
	for i := range last {
		if !(x[i] < x[i+1] && (y[i+1]-y[i])*direction >= 0) || direction == 0 && y[i+1] != y[i] {
			return Curve{}, ErrPoints
		}
	}
	if math.IsInf(x[last]-x[0], 0) || math.IsInf(direction, 0) {
		return Curve{}, ErrPoints
	}
	var fit interp.FritschButland
	if err := fit.Fit(x, y); err != nil {
		return Curve{}, err
	}
	c := Curve{pieces: make([]piece, len(x)), slope: fit.PredictDerivative(x[last])}
	for i := range last {
		h, rise := x[i+1]-x[i], (y[i+1]-y[i])/(x[i+1]-x[i])
		from, to := fit.PredictDerivative(x[i]), fit.PredictDerivative(x[i+1])
		c.pieces[i] = piece{start: x[i], y: y[i], a: from, b: (3*rise - 2*from - to) / h, c: (from + to - 2*rise) / (h * h)}
	}
	c.pieces[last] = piece{start: x[last], y: y[last]}
	return c, nil
}

// At returns the value at x: through the points, and held at the first and the last
// beyond them. It is NaN for an x that is no number, and 0 where there is no curve.
func (c *Curve) At(x float64) float64 {
	i := len(c.pieces) - 1
	for i > 0 && x < c.pieces[i].start {
		i--
	}
	if i < 0 {
		return 0
	}
	p := &c.pieces[i]
	t := x - p.start
	if t < 0 {
		return p.y
	}
	y := p.y + t*(p.a+t*(p.b+t*p.c))
	if i+1 < len(c.pieces) {
		// Rounding alone could pass the next point.
		if end := c.pieces[i+1].y; (end-y)*(end-p.y) < 0 {
			return end
		}
	}
	return y
}

// EndSlope returns the slope at the last point.
func (c *Curve) EndSlope() float64 { return c.slope }

// IsZero reports whether c is no curve.
func (c *Curve) IsZero() bool { return len(c.pieces) == 0 }
