package predict

import (
	"fmt"
	"math"
	"testing"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// asked is the combination that most tests ask for.
var asked = Combination{
	Induction: demand.Turbocharged, Blend: blend("E70"),
	Boost: 1.5 * quantity.BarDiff, Valves: 4,
}

func blend(name string) fuel.Blend {
	b, err := fuel.Parse(name)
	if err != nil {
		panic(err)
	}
	return b
}

// observed returns a pull at a place of its combination's band: z of the model.
func observed(c Combination, engine string, z float64) Observation {
	return Observation{Combination: c, Engine: engine, Energy: quantity.Ratio(math.Exp(c.logBand().middle + z))}
}

// TestHandWorked holds the posterior for given σ and r against normal means worked out by
// hand: level with prior variance κ², seen through engines.
func TestHandWorked(t *testing.T) {
	// The engine's part of σ² is 0.0012, the pull's 0.0004.
	const sigma, r, kappa = 0.04, 0.25, 0.04
	const s2 = 0.0016
	tests := []struct {
		name           string
		pulls          []Observation
		mean, variance float64 // of the level
	}{
		// One pull: variance of what is seen 0.0012 + 0.0004 = σ², as much as the prior's κ².
		{"one pull", []Observation{observed(asked, "a", 0.10)}, 0.05, s2 / 2},
		// Four pulls of one engine: 0.0012 + 0.0004/4 = 0.0013.
		{"four pulls of one engine", same(4, "a", 0.10), 0.10 * s2 / (s2 + 0.0013), s2 * 0.0013 / (s2 + 0.0013)},
		// Four engines: σ²/4.
		{"four engines", engines(4, 0.10), 0.10 * 4 / 5, s2 / 5},
		// Two engines, one with an own uncertainty of 2 %: 0.0016 and 0.0020.
		{
			"heteroscedastic",
			[]Observation{observed(asked, "a", 0.10), doubted(observed(asked, "b", 0.02), 0.02, 0)},
			(0.10/0.0016 + 0.02/0.0020) / (1/0.0016 + 1/0.0016 + 1/0.0020),
			1 / (1/0.0016 + 1/0.0016 + 1/0.0020),
		},
		// Four pulls of one engine with 3 % in common: 0.0013 + 0.0009 = 0.0022.
		{
			"shared uncertainty",
			each(same(4, "a", 0.10), func(o Observation) Observation { return doubted(o, 0, 0.03) }),
			0.10 * s2 / (s2 + 0.0022), s2 * 0.0022 / (s2 + 0.0022),
		},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			m, err := newModel(asked, "", c.pulls)
			if err != nil {
				t.Fatal(err)
			}
			d := m.given(sigma, r)
			f, err := m.fit(d, sigma, r, kappa)
			if err != nil {
				t.Fatal(err)
			}
			// leastOwn leaves 1e-8 of variance.
			near(t, "mean", f.coef[0], c.mean, 1e-6)
			near(t, "variance", f.variance(0), c.variance, 1e-8)
			for j := 1; j < m.width(); j++ {
				near(t, "what was not seen: mean", f.coef[j], 0, 1e-12)
				near(t, "what was not seen: sd", math.Sqrt(f.variance(j)), kappa*priorSD[m.columns[j].feature], 1e-12)
			}
			sum := 0.0
			for i, w := range m.weights(d, f.inverseTimes(m.target())) {
				sum += w * m.z[i]
			}
			near(t, "mean by weights", sum, f.coef[0], 1e-12)
		})
	}
}

// TestSlopeHandWorked: two engines of exactly known level would give the slope; with the
// priors it is a two by two system, solved by Cramer's rule.
func TestSlopeHandWorked(t *testing.T) {
	const sigma, r, kappa = 0.04, 0.25, 0.04
	low, high := asked, asked
	low.Boost, high.Boost = 0.5*quantity.BarDiff, 2.5*quantity.BarDiff
	m, err := newModel(asked, "", []Observation{observed(low, "a", 0.02), observed(high, "b", 0.08)})
	if err != nil {
		t.Fatal(err)
	}
	f, err := m.fit(m.given(sigma, r), sigma, r, kappa)
	if err != nil {
		t.Fatal(err)
	}
	// An engine's slope of its own adds 0.75²·0.0012 at one bar off.
	const v = 0.0016 + 0.5625*0.0012
	const boost = 4
	near(t, "level", f.coef[0], (0.10/v)/(1/0.0016+2/v), 1e-6)
	near(t, "slope", f.coef[boost], (0.06/v)/(1/(2.25*0.0016)+2/v), 1e-6)
	near(t, "its variance", f.variance(boost), 1/(1/(2.25*0.0016)+2/v), 1e-8)
}

// TestDensity holds the likelihood of given σ and r against the normal density of the
// data written out, by independent arithmetic.
func TestDensity(t *testing.T) {
	const sigma, r, kappa = 0.04, 0.25, 0.04
	m, err := newModel(asked, "", []Observation{
		doubted(observed(asked, "a", 0.06), 0.01, 0.02), doubted(observed(asked, "a", 0.09), 0.015, 0.02),
	})
	if err != nil {
		t.Fatal(err)
	}
	f, err := m.fit(m.given(sigma, r), sigma, r, kappa)
	if err != nil {
		t.Fatal(err)
	}
	s2 := sigma * sigma
	common := s2 + (1-r)*s2 + 0.02*0.02 // level, engine, shared uncertainty
	v1 := common + r*s2 + 0.01*0.01 + square(leastOwn)
	v2 := common + r*s2 + 0.015*0.015 + square(leastOwn)
	det := v1*v2 - common*common
	quadratic := (0.06*0.06*v2 - 2*0.06*0.09*common + 0.09*0.09*v1) / det
	near(t, "log density", f.logDensity, -math.Log(det)/2-quadratic/2, 1e-9)
}

func same(n int, engine string, z float64) []Observation {
	return each(make([]Observation, n), func(Observation) Observation { return observed(asked, engine, z) })
}

func engines(n int, z float64) []Observation {
	list := make([]Observation, n)
	for i := range list {
		list[i] = observed(asked, fmt.Sprintf("engine %d", i), z)
	}
	return list
}

func doubted(o Observation, own, shared quantity.Ratio) Observation {
	o.Own, o.Shared = own, shared
	return o
}

func each(list []Observation, f func(Observation) Observation) []Observation {
	for i := range list {
		list[i] = f(list[i])
	}
	return list
}

// TestMistakes: each names the pull and the field.
func TestMistakes(t *testing.T) {
	good := observed(asked, "a", 0)
	change := func(f func(*Observation)) []Observation {
		o := good
		f(&o)
		return []Observation{good, o}
	}
	tests := []struct {
		pulls []Observation
		want  string
	}{
		{change(func(o *Observation) { o.Engine = "" }), "pull 2: engine: no name given"},
		{change(func(o *Observation) { o.Valves = 0 }), "pull 2: valves per cylinder: 0; want 1 to 8"},
		{change(func(o *Observation) { o.Blend = fuel.Blend{} }), "pull 2: fuel: none given"},
		{change(func(o *Observation) { o.Induction = 7 }), `pull 2: induction: 7 is no kind; want one of "naturally aspirated", "supercharged", "turbocharged"`},
		{change(func(o *Observation) { o.Energy = 0 }), `pull 2: energy per unit of work: "0": is not above zero; want a number or a percentage such as "85 %" (units: %)`},
		{change(func(o *Observation) { o.Energy = quantity.Ratio(math.NaN()) }), `pull 2: energy per unit of work: "NaN": is not above zero; want a number or a percentage such as "85 %" (units: %)`},
		{change(func(o *Observation) { o.Own = -0.01 }), `pull 2: own uncertainty: "-0.01": lies outside 0 to 1; want a number or a percentage such as "85 %" (units: %)`},
		{change(func(o *Observation) { o.Shared = 2 }), `pull 2: shared uncertainty: "2": lies outside 0 to 1; want a number or a percentage such as "85 %" (units: %)`},
	}
	for _, c := range tests {
		_, err := Consumption(asked, "", c.pulls)
		if err == nil || err.Error() != c.want {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
	if _, err := Consumption(asked, "b", []Observation{good}); err == nil || err.Error() != `engine "b" has no pull among them` {
		t.Errorf("an engine that is not there: %v", err)
	}
}
