package predict

import (
	"math"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Effect is what the pulls say of one feature.
type Effect struct {
	Feature Feature
	Kind    demand.Induction // the other kind, where the feature is Induction

	Before, After Change // per unit of the feature
	// Learnt is the part of the prior variance that the pulls took away, at given scatter:
	// 0 where they tell nothing of the feature, near 1 where they tell all.
	Learnt float64
	// Seen is the range of the feature among the pulls, from what is asked for: zero
	// for both where there are none.
	Seen Range
}

// Range is a range of a feature in its unit.
type Range struct{ Low, High float64 }

// seen returns the range of a column among the pulls.
func (m *model) seen(j int) Range {
	var r Range
	for i, row := range m.x {
		if i == 0 {
			r = Range{row[j], row[j]}
		}
		r.Low, r.High = min(r.Low, row[j]), max(r.High, row[j])
	}
	return r
}

// Change is what is believed of the change of consumption with a feature: none for the
// unit of the level, the other kind against the one asked for, the whole of the fuel's
// energy from ethanol against none of it, one bar of boost, one valve per cylinder.
type Change struct{ ln mixture }

// Quantile returns the relative change of consumption, over steps units of the feature,
// below which the share p of the belief lies. For less than no steps the shares turn
// round, as they must.
func (c Change) Quantile(p, steps float64) quantity.Ratio {
	if steps < 0 {
		p = 1 - p
	}
	return quantity.Ratio(math.Expm1(steps * c.ln.Quantile(p)))
}

// Interval returns the central interval that holds the share level of the belief.
func (c Change) Interval(level, steps float64) (low, high quantity.Ratio) {
	return c.Quantile((1-level)/2, steps), c.Quantile((1+level)/2, steps)
}

// SD returns the standard deviation of the logarithm per unit of the feature.
func (c Change) SD() quantity.Ratio { return quantity.Ratio(c.ln.SD()) }

// Rises returns the probability that consumption rises with the feature.
func (c Change) Rises() float64 { return 1 - c.ln.CDF(0) }

// Source is an engine, or a pull, that the prediction rests on.
type Source struct {
	Engine string
	Pulls  int
	// Weight is what it adds to the logarithm of the predicted mean, per unit of its own
	// distance from its band. Pulls far from what is asked for may weigh less than nothing:
	// they then tell of a slope.
	Weight float64
	// Off is how far it lay above the middle of the band of its own fuel and induction; of
	// an engine the geometric mean of its pulls.
	Off quantity.Ratio
}
