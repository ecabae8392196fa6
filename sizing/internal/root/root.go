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
func Find(f func(float64) float64, a, b, tol float64) (float64, error) {
	return Within(f, a, f(a), b, f(b), tol)
}

// Within is [Find] with the values of f at the ends given.
//
// The first step is a secant. The method is then Chandrupatla's: inverse quadratic
// interpolation where the last three points lie so that it can be trusted, and
// bisection elsewhere (T. R. Chandrupatla, Advances in Engineering Software 28(3),
// 1997, from memory).
func Within(f func(float64) float64, a, fa, b, fb, tol float64) (float64, error) {
	switch {
	case fa == 0:
		return a, nil
	case fb == 0:
		return b, nil
	case !(fa < 0 && fb > 0) && !(fa > 0 && fb < 0):
		return 0, ErrNoBracket
	}
	tol = max(tol, 2*epsilon*max(math.Abs(a), math.Abs(b)))
	t := fa / (fa - fb)
	for range maxSteps {
		if width := math.Abs(b - a); width > 0 {
			t = min(max(t, tol/width), 1-tol/width)
		}
		x := a + t*(b-a)
		fx := f(x)
		// a becomes the newest point, b the one across the zero from it, and c the
		// one that was let go.
		c, fc := b, fb
		if (fx > 0) == (fa > 0) {
			c, fc = a, fa
		} else {
			b, fb = a, fa
		}
		a, fa = x, fx
		best, least := a, fa
		if math.Abs(fb) < math.Abs(fa) {
			best, least = b, fb
		}
		// A function without a value here stops the search; the caller sees it in f.
		if least == 0 || math.Abs(b-a) <= 2*tol || math.IsNaN(fx) {
			return best, nil
		}
		xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
		if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
			t = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
		} else {
			t = 0.5
		}
	}
	return (a + b) / 2, nil
}

const epsilon = 0x1p-52

// maxSteps is beyond what halving any interval of floating-point numbers takes.
const maxSteps = 4000
