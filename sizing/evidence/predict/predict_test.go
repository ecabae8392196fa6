package predict

import (
	"fmt"
	"math"
	"testing"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
	"gonum.org/v1/gonum/stat/distuv"
)

func predicted(t *testing.T, c Combination, engine string, pulls []Observation) *Prediction {
	t.Helper()
	p, err := Consumption(c, engine, pulls)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestWithoutDataTheBand: with no pull the central 68.27 % are the band, whatever is asked.
func TestWithoutDataTheBand(t *testing.T) {
	within := distuv.UnitNormal.CDF(1) - distuv.UnitNormal.CDF(-1)
	for kind := demand.NaturallyAspirated; kind <= demand.Turbocharged; kind++ {
		for name, bar := range map[string]float64{"gasoline": 0, "E70": 3} {
			p := predicted(t, Combination{kind, blend(name), quantity.Of(bar, quantity.BarDiff), 2 + int(bar)}, "", nil)
			got := p.After.Interval(within)
			what := fmt.Sprintf("%v on %s", kind, name)
			near(t, what+", low end over the band's", float64(got.Low)/float64(p.Band.Low), 1, 2e-5)
			near(t, what+", high end over the band's", float64(got.High)/float64(p.Band.High), 1, 2e-5)
			near(t, "weight of the band", p.BandWeight, 1, 0)
		}
	}
}

// TestConjugate holds the whole sum over the grid against conjugate normal-inverse-gamma
// models, which it is where every engine has one pull of no uncertainty and the level is
// known or not known at all: a new pull then follows Student's t (Gelman and others,
// Bayesian Data Analysis, sections 2.6 and 3.3, from memory). With s² = 0.0006, ν = 5 and
// the values 0.02 and 0.10, worked by hand:
//
//   - level known to be zero: 7 degrees of freedom, mean 0,
//     scale² = (5·0.0006 + 0.02² + 0.10²)/7 = 0.0134/7
//   - level not known: 6 degrees of freedom, mean 0.06,
//     scale² = (5·0.0006 + 0.04² + 0.04²)/6·(1 + 1/2) = 0.0062/4
func TestConjugate(t *testing.T) {
	tests := []struct {
		name  string
		sd    float64 // of the level, in units of κ
		want  distuv.StudentsT
		kappa distuv.StudentsT // of what has the standard deviation κ and was not seen
	}{
		{
			"level known", 1e-6, distuv.StudentsT{Mu: 0, Sigma: math.Sqrt(0.0134 / 7), Nu: 7},
			distuv.StudentsT{Mu: 0, Sigma: math.Sqrt(0.0006), Nu: 5},
		},
		{ // a level of any size, with the density 1/κ, counts as one more draw of size zero
			"level not known", 1e4, distuv.StudentsT{Mu: 0.06, Sigma: math.Sqrt(0.0062 / 4), Nu: 6},
			distuv.StudentsT{Mu: 0, Sigma: math.Sqrt(5 * 0.0006 / 6), Nu: 6},
		},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			m, err := newModel(asked, "", []Observation{observed(asked, "a", 0.02), observed(asked, "b", 0.10)})
			if err != nil {
				t.Fatal(err)
			}
			m.scale, m.sd[Level] = math.Sqrt(0.0006), c.sd
			post, err := m.posterior()
			if err != nil {
				t.Fatal(err)
			}
			for _, q := range []float64{0.01, 0.05, 0.5, 0.9, 0.99} {
				near(t, fmt.Sprintf("quantile %g of a new pull", q), post.answer.Quantile(q), c.want.Quantile(q), 2e-5)
			}
			near(t, "sd of a new pull", post.answer.SD(), c.want.Sigma*math.Sqrt(c.want.Nu/(c.want.Nu-2)), 1e-4)
			near(t, "quantile of a slope not seen", post.unknowns[4].Quantile(0.95), priorSD[Boost]*c.kappa.Quantile(0.95), 1e-4)
		})
	}
}

// TestLargeData: with many engines the prior no longer counts, and the answer is that of
// plain least squares.
func TestLargeData(t *testing.T) {
	var pulls []Observation
	const n = 400
	rng := newRand()
	sum, squares := 0.0, 0.0
	for i := range n {
		z := 0.05 + 0.02*rng.NormFloat64()
		sum += z
		squares += z * z
		pulls = append(pulls, observed(asked, fmt.Sprint(i), z))
	}
	p := predicted(t, asked, "", pulls)
	mean := sum / n
	sd := math.Sqrt((squares - n*mean*mean) / (n - 1))
	near(t, "mean", p.After.ln.Mean(), mean, 0.001)
	near(t, "sd", float64(p.After.SD()), sd, 0.001)
	near(t, "weight of the band", p.BandWeight, 0, 1.0/n)
}

// TestNarrows: the more data agree with the band, the narrower; an engine more narrows
// more than a pull more, and ten pulls of one engine are not ten engines.
func TestNarrows(t *testing.T) {
	before := predicted(t, asked, "", nil).After.SD()
	last, lastLevel := before, quantity.Ratio(math.Inf(1))
	for _, n := range []int{1, 2, 3, 5, 8, 12} {
		p := predicted(t, asked, "", engines(n, 0.005))
		if sd := p.After.SD(); sd >= last {
			t.Errorf("%d engines: sd %v after %v with fewer", n, sd, last)
		} else {
			last = sd
		}
		if sd := p.Effect(Level).After.SD(); sd >= lastLevel {
			t.Errorf("%d engines: sd of the level %v after %v with fewer", n, sd, lastLevel)
		} else {
			lastLevel = sd
		}
	}
	ten := predicted(t, asked, "", same(10, "a", 0.005))
	if ten.After.SD() >= before {
		t.Errorf("ten pulls of one engine: sd %v, not below %v", ten.After.SD(), before)
	}
	if ten.After.SD() <= 1.1*last {
		t.Errorf("ten pulls of one engine: sd %v, about as narrow as that of twelve engines, %v", ten.After.SD(), last)
	}
	one := predicted(t, asked, "", engines(1, 0.005))
	if one.BandWeight < ten.BandWeight || ten.BandWeight < 0.3 {
		t.Errorf("weight of the band: %v after one pull, %v after ten of the same engine", one.BandWeight, ten.BandWeight)
	}
}

// TestUncertaintyCounts: a doubtful pull weighs less, and doubt that pulls share is not
// averaged away.
func TestUncertaintyCounts(t *testing.T) {
	weight := func(own, shared quantity.Ratio) float64 {
		return 1 - predicted(t, asked, "", each(same(9, "a", 0.05), func(o Observation) Observation {
			return doubted(o, own, shared)
		})).BandWeight
	}
	sure, own, shared := weight(0, 0), weight(0.06, 0), weight(0, 0.06)
	if !(sure > own && own > shared) {
		t.Errorf("weights of nine pulls: %v sure, %v with own doubt, %v with shared doubt; want them falling", sure, own, shared)
	}
}

// TestAgain: of the engine asked for again its own pulls tell most, and the answer is
// narrower than for a new engine.
func TestAgain(t *testing.T) {
	pulls := append(engines(5, 0.02), same(4, "mine", 0.12)...)
	fresh, again := predicted(t, asked, "", pulls), predicted(t, asked, "mine", pulls)
	near(t, "mean of the engine again", again.After.ln.Mean(), 0.12, 0.01)
	if again.After.SD() >= fresh.After.SD() {
		t.Errorf("sd %v of an engine again, %v of a new one", again.After.SD(), fresh.After.SD())
	}
	if fresh.After.ln.Mean() > 0.06 {
		t.Errorf("mean of a new engine %v follows the one with most pulls", fresh.After.ln.Mean())
	}
}

// TestPracticeConsumesMore: where the measured combinations consume more than the band
// says, as practice finds them mostly to do (common practice, no source), so does the
// prediction, and it says how sure that is. The pulls are invented.
func TestPracticeConsumesMore(t *testing.T) {
	var pulls []Observation
	for i, z := range []float64{0.09, 0.14, 0.11, 0.16, 0.08, 0.13} {
		c := asked
		c.Blend = blend([]string{"gasoline", "E30", "E85"}[i%3])
		c.Boost = quantity.Of(0.8+0.3*float64(i), quantity.BarDiff)
		pulls = append(pulls, doubted(observed(c, fmt.Sprint(i), z), 0.005, 0.02))
	}
	p := predicted(t, asked, "", pulls)
	if above := p.After.Above(p.Band.High); above < 0.85 {
		t.Errorf("probability of more than the band: %v", above)
	}
	if rises := p.Effect(Level).After.Rises(); rises < 0.97 {
		t.Errorf("probability that such combinations lie above the band's middle: %v", rises)
	}
	sum := p.BandWeight
	for _, e := range p.Engines {
		sum += e.Weight
	}
	near(t, "sum of the weights", sum, 1, 1e-12)
	mean := 0.0
	for _, s := range p.Pulls {
		mean += s.Weight * math.Log1p(float64(s.Off))
	}
	near(t, "mean by the weights", mean, p.After.ln.Mean(), 1e-12)
}

// TestBoost: "does consumption rise with boost?" is answered by an interval that holds
// the slope of the invented data, and by its prior where boost did not vary.
func TestBoost(t *testing.T) {
	const slope = 0.05 // per bar
	var pulls []Observation
	rng := newRand()
	for i := range 12 {
		c := asked
		c.Boost = quantity.Of(0.4+0.2*float64(i), quantity.BarDiff)
		pulls = append(pulls, observed(c, fmt.Sprint(i), 0.03+slope*(c.Boost-asked.Boost).In(quantity.BarDiff)+0.01*rng.NormFloat64()))
	}
	e := predicted(t, asked, "", pulls).Effect(Boost)
	low, high := e.After.Interval(0.90, 1)
	if !(low > 0 && float64(low) < math.Expm1(slope) && math.Expm1(slope) < float64(high) && high < 0.10) {
		t.Errorf("slope between %v and %v", low, high)
	}
	if e.After.Rises() < 0.99 || e.Learnt < 0.8 {
		t.Errorf("rises with probability %v, learnt %v", e.After.Rises(), e.Learnt)
	}
	flat := predicted(t, asked, "", engines(12, 0.03)).Effect(Boost)
	near(t, "probability that it rises where boost did not vary", flat.After.Rises(), 0.5, 1e-9)
	near(t, "learnt where boost did not vary", flat.Learnt, 0, 1e-9)
	// Less boost turns the interval round.
	a, b := e.After.Interval(0.90, -1)
	near(t, "one bar less", float64(a), 1/(1+float64(high))-1, 1e-12)
	near(t, "one bar less", float64(b), 1/(1+float64(low))-1, 1e-12)
}

// TestDistantData: what was measured at far less boost tells less.
func TestDistantData(t *testing.T) {
	far := asked
	far.Boost = 0
	pulls := engines(6, 0.10)
	nearby := predicted(t, asked, "", pulls)
	distant := predicted(t, asked, "", each(pulls, func(o Observation) Observation { return observed(far, o.Engine, 0.10) }))
	if distant.BandWeight <= nearby.BandWeight || distant.After.SD() <= nearby.After.SD() {
		t.Errorf("weight of the band %v and sd %v from afar, %v and %v from nearby",
			distant.BandWeight, distant.After.SD(), nearby.BandWeight, nearby.After.SD())
	}
}
