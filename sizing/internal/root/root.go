// Package root finds the zero of a continuous function between two points
// where it has opposite signs.
package root

import (
	"errors"
	"math"
)

// ErrNoBracket is returned where the function has the same sign at both ends,
// or no value at one of them.
var ErrNoBracket = errors.New("no change of sign between the ends")

// Find returns x between a and b with f(x) = 0, to within tol in x or as close
// as the floating-point numbers lie. f is called with a and b first; f(a) and
// f(b) must not have the same sign, or the error is ErrNoBracket.
//
// The method is ITP: bisection's worst case, with the speed of a secant on
// smooth functions (Oliveira and Takahashi, ACM Transactions on Mathematical
// Software 47(1), 2020, from memory).
func Find(f func(float64) float64, a, b, tol float64) (float64, error) {
	if a > b {
		a, b = b, a
	}
	fa, fb := f(a), f(b)
	switch {
	case fa == 0:
		return a, nil
	case fb == 0:
		return b, nil
	case !(fa < 0 && fb > 0) && !(fa > 0 && fb < 0):
		return 0, ErrNoBracket
	}
	sign := 1.0
	if fa > 0 {
		sign = -1
	}
	tol = max(tol, 4*epsilon*max(math.Abs(a), math.Abs(b)))
	k1 := 0.2 / (b - a)
	const k2, n0 = 2, 1
	half := math.Ceil(math.Log2((b - a) / (2 * tol)))
	for j := 0.0; b-a > 2*tol; j++ {
		middle := (a + b) / 2
		radius := tol*math.Exp2(half+n0-j) - (b-a)/2
		delta := k1 * math.Pow(b-a, k2)
		secant := (fb*a - fa*b) / (fb - fa)
		toward := math.Copysign(1, middle-secant)
		x := middle
		if delta <= math.Abs(middle-secant) {
			x = secant + toward*delta
		}
		if math.Abs(x-middle) > radius {
			x = middle - toward*radius
		}
		if x <= a || x >= b {
			x = middle
		}
		switch y := sign * f(x); {
		case y > 0:
			b, fb = x, sign*y
		case y < 0:
			a, fa = x, sign*y
		default:
			return x, nil // also for NaN: the caller sees it in f
		}
	}
	return (a + b) / 2, nil
}

const epsilon = 0x1p-52
