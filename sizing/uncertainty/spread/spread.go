// Package spread describes numbers that are not known exactly: how probable each value
// is, how a person writes it down, and how several of them go together.
//
// It knows nothing of engines or fuel.
package spread

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Spread is the distribution of a number. It is made by one of the functions below and
// does not change. The zero value is no distribution and has no use.
type Spread struct {
	kind      Kind
	law       law
	low, high float64 // the ends, infinite where there is none
}

// law is a distribution of package distuv, or one of our own.
type law interface {
	Quantile(p float64) float64
	Mean() float64
	StdDev() float64
}

// Kind is the shape of a distribution.
type Kind uint8

const (
	Uniform    Kind = iota // between two ends, each value as likely
	Triangular             // between two ends, most likely at a mode
	Normal
	Lognormal // its logarithm is normal
)

// String returns the name of the shape, as [Parse] reads it.
func (k Kind) String() string {
	if int(k) < len(forms) {
		return forms[k].name
	}
	return "?"
}

// ErrSpread is wrapped by the error of numbers that make no distribution.
var ErrSpread = errors.New("no such distribution")

// NewUniform returns the distribution of a number of which only its limits are known
// (JCGM 101:2008, 6.4.2). The error wraps [ErrSpread] where low does not lie below high.
func NewUniform(low, high float64) (Spread, error) {
	if !rises(low, high) {
		return Spread{}, fmt.Errorf("%w: the upper end must lie above the lower one", ErrSpread)
	}
	return Spread{kind: Uniform, law: distuv.Uniform{Min: low, Max: high}, low: low, high: high}, nil
}

// NewTriangular returns the distribution of a number between two limits that lies most
// likely at mode, which may be one of them. The error wraps [ErrSpread].
func NewTriangular(low, mode, high float64) (Spread, error) {
	if !rises(low, high) || !(mode >= low && mode <= high) {
		return Spread{}, fmt.Errorf("%w: the numbers must rise: lower end, most likely value, upper end", ErrSpread)
	}
	return Spread{kind: Triangular, law: distuv.NewTriangle(low, high, mode, nil), low: low, high: high}, nil
}

// NewNormal returns the normal distribution with a mean and a standard deviation. The
// error wraps [ErrSpread].
func NewNormal(mean, sd float64) (Spread, error) {
	if !(sd > 0) || !finite(mean, sd) {
		return Spread{}, fmt.Errorf("%w: the standard deviation must be greater than zero", ErrSpread)
	}
	return Spread{kind: Normal, law: distuv.Normal{Mu: mean, Sigma: sd}, low: math.Inf(-1), high: math.Inf(1)}, nil
}

// leastKept is how much of a normal distribution must lie within its limits.
const leastKept = 1e-3

// NewCutNormal returns the normal distribution of which only what lies between two
// limits can be. The error wraps [ErrSpread].
func NewCutNormal(mean, sd, low, high float64) (Spread, error) {
	s, err := NewNormal(mean, sd)
	if err != nil {
		return Spread{}, err
	}
	if !rises(low, high) {
		return Spread{}, fmt.Errorf("%w: the upper limit must lie above the lower one", ErrSpread)
	}
	c := cutNormal{mean: mean, sd: sd, low: low, high: high, below: cumulated((low - mean) / sd)}
	if c.kept = cumulated((high-mean)/sd) - c.below; c.kept < leastKept {
		return Spread{}, fmt.Errorf("%w: next to nothing of it lies within its limits", ErrSpread)
	}
	s.law, s.low, s.high = c, low, high
	return s, nil
}

// NewLognormal returns the distribution of a positive number of which the logarithm is
// normal: half of the values lie below median, and about 68 % between median/(1+share)
// and median·(1+share). The error wraps [ErrSpread].
func NewLognormal(median, share float64) (Spread, error) {
	if !(median > 0 && share > 0) || !finite(median, share) {
		return Spread{}, fmt.Errorf("%w: the median and the spread must be greater than zero", ErrSpread)
	}
	return Spread{kind: Lognormal, law: distuv.LogNormal{Mu: math.Log(median), Sigma: math.Log1p(share)}, low: 0, high: math.Inf(1)}, nil
}

// rises reports whether two ends are finite and in order, with numbers in between.
func rises(low, high float64) bool {
	return low < high && finite(low, high, high-low) && math.Nextafter(low, high) < high
}

func finite(list ...float64) bool {
	for _, v := range list {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Kind tells the shape.
func (s Spread) Kind() Kind { return s.kind }

// Quantile returns the value below which the number lies with probability p, from 0 to
// 1. It rises with p. Below 0 and 1 lie the ends; they are infinite where there is none.
func (s Spread) Quantile(p float64) float64 {
	switch {
	case p <= 0:
		return s.low
	case p >= 1:
		return s.high
	}
	// Rounding must not step over an end.
	return min(max(s.law.Quantile(p), s.low), s.high)
}

// Median is the value that the number lies below as likely as above.
func (s Spread) Median() float64 { return s.Quantile(0.5) }

// Mean is the expected value.
func (s Spread) Mean() float64 { return s.law.Mean() }

// SD is the standard deviation.
func (s Spread) SD() float64 { return s.law.StdDev() }

// Ends returns the least and the greatest value, and whether there are both.
func (s Spread) Ends() (low, high float64, bounded bool) {
	return s.low, s.high, finite(s.low, s.high)
}

// Times returns the distribution of k times the number; k must be greater than zero.
func (s Spread) Times(k float64) Spread {
	s.law, s.low, s.high = scaled{s.law, k}, s.low*k, s.high*k
	return s
}

// scaled is a law of k times a number.
type scaled struct {
	law
	k float64
}

func (s scaled) Quantile(p float64) float64 { return s.k * s.law.Quantile(p) }
func (s scaled) Mean() float64              { return s.k * s.law.Mean() }
func (s scaled) StdDev() float64            { return s.k * s.law.StdDev() }

// cutNormal is a normal law between limits.
type cutNormal struct {
	mean, sd    float64
	low, high   float64
	below, kept float64 // probability below low, and between low and high
}

func (c cutNormal) Quantile(p float64) float64 {
	return c.mean + c.sd*mathext.NormalQuantile(c.below+p*c.kept)
}

// Mean and StdDev are those of N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous
// Univariate Distributions 1, 1994, 13.10.1 (from memory); a test integrates them.
func (c cutNormal) Mean() float64 {
	a, b := (c.low-c.mean)/c.sd, (c.high-c.mean)/c.sd
	return c.mean + c.sd*(bell(a)-bell(b))/c.kept
}

func (c cutNormal) StdDev() float64 {
	a, b := (c.low-c.mean)/c.sd, (c.high-c.mean)/c.sd
	shift := (bell(a) - bell(b)) / c.kept
	return c.sd * math.Sqrt(max(0, 1+(a*bell(a)-b*bell(b))/c.kept-shift*shift))
}

// bell is the density of the standard normal distribution, and cumulated its integral.
func bell(z float64) float64      { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }
func cumulated(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
