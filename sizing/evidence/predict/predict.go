package predict

import (
	"math"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Prediction is what to expect of a combination, and what that rests on.
type Prediction struct {
	Combination Combination
	Engine      string      // the engine asked for again; empty for a new one
	Band        demand.Band // of common practice

	Before Distribution // with no pull at all: the band
	After  Distribution // with the pulls

	Effects []Effect // level, other kinds of induction, ethanol, boost, valves
	Engines []Source // by name
	Pulls   []Source // in the order given

	// BandWeight is the part of the predicted mean that still comes from the band; the
	// weights of the engines make up the rest.
	BandWeight float64
	// BetweenEngines and WithinEngine are the scatter of engines alike in every feature and
	// of pulls of one engine, measurement left out, as relative standard deviations.
	BetweenEngines, WithinEngine quantity.Ratio
}

// Consumption predicts the consumption of a combination from pulls. A name asks for an
// engine among the pulls again; an empty one for a new engine. The uncertainties of the
// pulls are taken out: the answer is of what is really consumed in one pull.
//
// The error names the pull and the field that make no sense.
func Consumption(c Combination, engine string, pulls []Observation) (*Prediction, error) {
	m, err := newModel(c, engine, pulls)
	if err != nil {
		return nil, err
	}
	after, err := m.posterior()
	if err != nil {
		return nil, err
	}
	blank, err := newModel(c, "", nil)
	if err != nil {
		return nil, err
	}
	before, err := blank.posterior()
	if err != nil {
		return nil, err
	}
	middle := quantity.SpecificConsumption(math.Exp(c.logBand().middle) / float64(c.Blend.LHV()))
	p := &Prediction{
		Combination:    c,
		Engine:         engine,
		Band:           demand.BSFC(c.Induction, c.Blend),
		Before:         Distribution{middle, before.answer},
		After:          Distribution{middle, after.answer},
		BandWeight:     1,
		BetweenEngines: quantity.Ratio(math.Exp(after.engines)),
		WithinEngine:   quantity.Ratio(math.Exp(after.pulls)),
	}
	for j, col := range m.columns {
		p.Effects = append(p.Effects, Effect{
			Feature: col.feature, Kind: col.kind,
			Before: Change{before.unknowns[j]}, After: Change{after.unknowns[j]},
			Learnt: after.learnt[j],
			Seen:   m.seen(j),
		})
	}
	for i, o := range pulls {
		p.Pulls = append(p.Pulls, Source{Engine: o.Engine, Pulls: 1, Weight: after.weights[i], Off: quantity.Ratio(math.Expm1(m.z[i]))})
		p.BandWeight -= after.weights[i]
	}
	for _, e := range m.engines {
		s := Source{Engine: e.name, Pulls: len(e.pulls)}
		sum := 0.0
		for _, i := range e.pulls {
			s.Weight += after.weights[i]
			sum += m.z[i]
		}
		s.Off = quantity.Ratio(math.Expm1(sum / float64(len(e.pulls))))
		p.Engines = append(p.Engines, s)
	}
	return p, nil
}

// Effect returns the effect of a feature; of Induction, that of the first other kind.
func (p *Prediction) Effect(f Feature) Effect {
	for _, e := range p.Effects {
		if e.Feature == f {
			return e
		}
	}
	return Effect{Feature: f}
}

// Distribution is what is believed of a consumption.
type Distribution struct {
	middle quantity.SpecificConsumption
	ln     mixture // of ln(consumption / middle)
}

// Quantile returns the consumption below which the share p of the belief lies, for p
// between 0 and 1.
func (d Distribution) Quantile(p float64) quantity.SpecificConsumption {
	return quantity.SpecificConsumption(float64(d.middle) * math.Exp(d.ln.Quantile(p)))
}

// Interval returns the central interval that holds the share level of the belief.
func (d Distribution) Interval(level float64) demand.Band {
	return demand.Band{Low: d.Quantile((1 - level) / 2), High: d.Quantile((1 + level) / 2)}
}

// Mean returns the consumption at the mean of the logarithm: the geometric mean.
func (d Distribution) Mean() quantity.SpecificConsumption {
	return quantity.SpecificConsumption(float64(d.middle) * math.Exp(d.ln.Mean()))
}

// SD returns the standard deviation of the logarithm, which for small ones is the
// relative standard deviation.
func (d Distribution) SD() quantity.Ratio { return quantity.Ratio(d.ln.SD()) }

// Above returns the probability of a consumption above c.
func (d Distribution) Above(c quantity.SpecificConsumption) float64 {
	return 1 - d.ln.CDF(math.Log(float64(c)/float64(d.middle)))
}
