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
// The factor is +Inf at Re = 0, and NaN for a negative or NaN argument and for a roughness
// greater than the bore.
func FrictionFactor(re, relativeRoughness float64) float64 {
	switch {
	case !(re >= 0 && relativeRoughness >= 0 && relativeRoughness <= 1):
		return math.NaN()
	case re <= LaminarLimit:
		return 64 / re
	case re >= TurbulentLimit:
		x, _ := colebrook(re, relativeRoughness)
		return 1 / (x * x)
	}
	return bridge(re, relativeRoughness)
}

// colebrook solves the Colebrook equation for x = 1/√f and returns with it the slope of
// ln f against ln Re. x is +Inf for a smooth pipe at an infinite Reynolds number.
//
// The equation is x + k ln(a + b x) = 0. With u = a + b x, r = x + k ln u and
// h = k b/(u + k b), the step
//
//	Δx = -r u/(u + k b) · (1 - r h²/(2k))
//
// solves it to the second order of r, and the slope is -2h at the root. The first step
// starts at the factor of a smooth pipe and uses a rough logarithm; it leaves an r below
// 1e-4, so that one step with the true logarithm is right to the last places.
func colebrook(re, relativeRoughness float64) (x, slope float64) {
	const k = 2 / math.Ln10
	a, b := relativeRoughness/3.7, 2.51/re
	if a+b == 0 {
		return math.Inf(1), 0
	}
	x = 1.8/math.Ln10*roughLog(re) - 1.50992836 // 1.8 log10(Re/6.9): S. E. Haaland, 1983, smooth
	u := a + b*x
	inverse := 1 / (u + k*b)
	h := k * b * inverse
	r := x + k*roughLog(u)
	x -= r * u * inverse * (1 - r*h*h/(2*k))
	for range 8 {
		u = a + b*x
		inverse = 1 / (u + k*b)
		h = k * b * inverse
		r = x + k*math.Log(u)
		x -= r * u * inverse * (1 - r*h*h/(2*k))
		if math.Abs(r) < 1e-4 {
			break // its third order is beyond the last place
		}
	}
	return x, -2 * h
}

// roughLog is ln x to 6e-5 for a normal positive x: its exponent, and of its mantissa m
// the polynomial of degree 4 that errs least on [1, 2], found by Remez' method.
func roughLog(x float64) float64 {
	bits := math.Float64bits(x)
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	exponent := float64(int(bits>>52) - 1023)
	mm := m * m
	return exponent*math.Ln2 + (2.821171992*m - 1.74177811) + mm*(0.4471786267*m-1.469940024-0.05657177027*mm)
}

// bridge joins the laminar and the turbulent law by a cubic Hermite polynomial
// of ln f in ln Re. Its slope lies above -1, the laminar slope, so f·Re² rises:
// the slope is a concave parabola, least at its ends, because f is higher at the
// turbulent end than at the laminar one.
func bridge(re, relativeRoughness float64) float64 {
	const width = math.Ln2         // ln(TurbulentLimit/LaminarLimit)
	const y0 = -3.4420193761824107 // ln(64/LaminarLimit)
	x, slope := colebrook(TurbulentLimit, relativeRoughness)
	d := -2*math.Log(x) - y0
	m0, m1 := -width, slope*width
	t := math.Log(re/LaminarLimit) / width
	return 64 / LaminarLimit * math.Exp(t*(m0+t*((3*d-2*m0-m1)+t*(m0+m1-2*d))))
}
