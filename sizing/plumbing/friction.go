package plumbing

import "math"

// Reynolds numbers between which the flow is neither reliably laminar nor
// reliably turbulent: the critical zone of Moody's chart, in which no friction
// factor is quoted (Engineering Fluid Mechanics, Bookboon, section on internal
// flow, p. 61).
const (
	LaminarLimit   = 2000.0 // laminar at and below
	TurbulentLimit = 4000.0 // turbulent at and above
)

// FrictionFactor returns the Darcy friction factor of a full round pipe, four
// times the Fanning factor, from the Reynolds number and the wall roughness
// divided by the bore.
//
//	Re <= 2000            f = 64/Re                                  (Hagen, Poiseuille)
//	Re >= 4000            1/√f = -2 log10(ε/D/3.7 + 2.51/(Re √f))    (Colebrook 1939)
//	in between            a cubic in log f against log Re
//
// The cubic joins both laws in value and slope. No law is established in that
// zone; the bridge is there so that f is smooth and f·Re², to which the loss is
// proportional, rises without a break. Colebrook is solved to a few units in the
// last place. The equation itself is accurate to 15 % over Moody's chart, that is
// for relative roughness up to 0.05 (F. M. White, Fluid Mechanics, after eq. (6.64)).
//
// The factor is +Inf at Re = 0 and NaN for a negative or NaN argument.
func FrictionFactor(re, relativeRoughness float64) float64 {
	switch {
	case !(re >= 0 && relativeRoughness >= 0):
		return math.NaN()
	case re <= LaminarLimit:
		return 64 / re
	case re >= TurbulentLimit:
		f, _ := colebrook(re, relativeRoughness)
		return f
	}
	return bridge(re, relativeRoughness)
}

// colebrook solves the Colebrook equation for f and returns with it the slope
// of ln f against ln Re.
//
// With x = 1/√f the equation is g(x) = x + 2 log10(a + b x) = 0. g rises and is
// concave and nearly straight, so Newton's iteration from a rough start settles
// in three or four steps.
func colebrook(re, relativeRoughness float64) (f, slope float64) {
	const k = 2 / math.Ln10
	a, b := relativeRoughness/3.7, 2.51/re
	x := -k * math.Log(a+5*b)
	if math.IsInf(x, 1) {
		return 0, 0 // smooth, and no viscosity
	}
	var w float64
	for range 8 {
		u := a + b*x
		w = k * b / u // g'(x) - 1
		step := (x + k*math.Log(u)) / (1 + w)
		x -= step
		if math.Abs(step) < 1e-9*x {
			break // the next step would be of the order of its square
		}
	}
	return 1 / (x * x), -2 * w / (1 + w)
}

// bridge joins the laminar and the turbulent law by a cubic Hermite polynomial
// of ln f in ln Re. Its slope lies above -1, the laminar slope, so f·Re² rises:
// the slope is a concave parabola, least at its ends, because f is higher at the
// turbulent end than at the laminar one.
func bridge(re, relativeRoughness float64) float64 {
	const width = math.Ln2 // ln(TurbulentLimit/LaminarLimit)
	f1, slope := colebrook(TurbulentLimit, relativeRoughness)
	y0, y1 := math.Log(64/LaminarLimit), math.Log(f1)
	m0, m1 := -width, slope*width
	t := math.Log(re/LaminarLimit) / width
	d := y1 - y0
	return math.Exp(y0 + t*(m0+t*((3*d-2*m0-m1)+t*(m0+m1-2*d))))
}
