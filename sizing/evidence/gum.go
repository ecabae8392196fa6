package evidence

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// component is one part of a combined uncertainty: a standard uncertainty, already in the
// units of the result, with its degrees of freedom.
type component struct {
	u  float64
	df Degrees
}

// combine returns the combined standard uncertainty of independent components (GUM
// 5.1.2), and its effective degrees of freedom by the formula of Welch and Satterthwaite
// (GUM G.4.1, equation G.2b):
//
//	u_c² = Σ u_i²,  ν_eff = u_c⁴ / Σ u_i⁴/ν_i
func combine(parts ...component) component {
	square, fourth := 0.0, 0.0
	for _, p := range parts {
		square += p.u * p.u
		if !p.df.IsInfinite() && p.u != 0 {
			fourth += p.u * p.u * p.u * p.u / float64(p.df)
		}
	}
	c := component{math.Sqrt(square), Infinite}
	if fourth > 0 {
		c.df = Degrees(square * square / fourth)
	}
	if c.df > mostDegrees {
		c.df = Infinite
	}
	return c
}

// mostDegrees is beyond what makes a difference: the quantiles are those of infinitely
// many within 2e-5.
const mostDegrees = 1e5

// coverage returns the factor that makes an expanded uncertainty of a standard one: the
// two-sided quantile of Student's t (GUM G.3.2), that of the normal distribution for
// infinite degrees of freedom. Degrees are cut off to a whole number (GUM G.4.2).
func coverage(confidence float64, df Degrees) float64 {
	if df.IsInfinite() {
		return math.Sqrt2 * math.Erfinv(confidence)
	}
	nu := max(1, math.Floor(float64(df)))
	// The probability beyond ±t is the incomplete beta function I(x; ν/2, 1/2) at
	// x = ν/(ν + t²).
	x := mathext.InvRegIncBeta(nu/2, 0.5, 1-confidence)
	return math.Sqrt(nu * (1/x - 1))
}

// sensitivity returns the uncertainty that an input's uncertainty u brings to a result,
// by the difference that it makes (GUM 5.1.3, note 2):
//
//	u(y) = |y(x + u) - y(x - u)| / 2
func sensitivity(result func(shift float64) float64, u float64) float64 {
	if u == 0 {
		return 0
	}
	return math.Abs(result(u)-result(-u)) / 2
}
