package predict

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Feature is something that consumption may depend on.
type Feature uint8

const (
	Level     Feature = iota // how combinations like the one asked for lie to the band
	Induction                // another kind than the one asked for
	Ethanol                  // the share of the fuel's energy that ethanol brings
	Boost
	Valves // per cylinder
	numFeatures
)

// String names the feature.
func (f Feature) String() string {
	if f >= numFeatures {
		return "?"
	}
	return [numFeatures]string{"level", "induction", "ethanol", "boost", "valves"}[f]
}

// The prior is what is believed before any pull, common practice with no source. All have
// the mean zero: no direction is favoured.
const (
	// priorDegrees is the degrees of freedom of σ² and of κ², which have the same prior.
	priorDegrees = 5.0
	// priorPart is b of the prior of r, the pull's part of σ², with the density b(1-r)^(b-1)
	// between 0 and 1: pulls of one engine differ less than engines do.
	priorPart = 3.0
	// ownSlope is how much engines differ in their slopes over ethanol and boost, as a
	// standard deviation in units of how much they differ in level: pulls of one engine at
	// many boosts tell of that engine's slope, and less of another's.
	ownSlope = 0.75
)

// priorSD is the prior standard deviation of the features in units of κ: of the level, of
// another kind of induction, for the whole of the fuel's energy from ethanol against none,
// per bar of boost and per valve.
var priorSD = [numFeatures]float64{Level: 1, Induction: 1.5, Ethanol: 1.5, Boost: 1.5, Valves: 0.5}

// priorScale returns the scale s of the priors of σ and κ such that a new pull has as much
// of its prior within a band of the given half-width as a normal distribution has within
// one standard deviation. That prior is the sum of two Student t distributions with the
// scale s, of the level and of the scatter.
func priorScale(half float64) float64 { return half / oneSD }

// oneSD is the quantile of the sum of two standard Student t distributions at the place
// where the normal distribution has one standard deviation.
var oneSD = func() float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: priorDegrees}
	below := func(x float64) float64 { // the convolution, by the trapezoid rule over sinh
		sum, step := 0.0, 1.0/32
		for v := -6.0; v <= 6; v += step {
			u := math.Sinh(v)
			sum += t.Prob(u) * t.CDF(x-priorSD[Level]*u) * math.Cosh(v) * step
		}
		return sum
	}
	want := distuv.UnitNormal.CDF(1)
	low, high := 0.0, 10.0
	for range 60 {
		if mid := (low + high) / 2; below(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}()

// logScalePrior returns the log density of the logarithm of a scale, up to a constant,
// where its square has the inverse gamma distribution (ν/2, ν s²/2).
func logScalePrior(ln, scale float64) float64 {
	return -priorDegrees*ln - priorDegrees*square(scale)/(2*math.Exp(2*ln))
}

// logPartPrior returns the log density of ln(r/(1-r)), up to a constant.
func logPartPrior(logit float64) float64 {
	r := logistic(logit)
	return math.Log(r) + priorPart*math.Log1p(-r)
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func square(x float64) float64 { return x * x }
