package predict

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
	"gonum.org/v1/gonum/stat/distuv"
)

func newRand() *rand.Rand { return rand.New(rand.NewPCG(6, 2026)) }

// TestCalibration draws truths from the prior and pulls from the model, and asks where
// each truth lies in its posterior. If the posterior is right these places are uniform
// between 0 and 1 (simulation-based calibration: Talts and others, arXiv:1804.06788, from
// memory; with the distribution function in place of ranks).
func TestCalibration(t *testing.T) {
	const draws, bins = 120, 8
	rng := newRand()
	scale := priorScale(asked.logBand().half)
	gamma := distuv.Gamma{Alpha: priorDegrees / 2, Beta: priorDegrees * square(scale) / 2, Src: rng}
	beta := distuv.Beta{Alpha: 1, Beta: priorPart, Src: rng}
	counts := map[string]*[bins]int{}
	place := func(what string, p float64) {
		if counts[what] == nil {
			counts[what] = new([bins]int)
		}
		counts[what][min(int(p*bins), bins-1)]++
	}
	for range draws {
		sigma, r, kappa := 1/math.Sqrt(gamma.Rand()), beta.Rand(), 1/math.Sqrt(gamma.Rand())
		plan, err := newModel(asked, "", design())
		if err != nil {
			t.Fatal(err)
		}
		truth := make([]float64, len(plan.columns))
		for j := range truth {
			truth[j] = kappa * priorSD[plan.columns[j].feature] * rng.NormFloat64()
		}
		of := map[string]float64{} // what each engine lies off
		pulls := design()
		for e := range plan.engines {
			engine := sigma * math.Sqrt(1-r) * rng.NormFloat64()
			of[plan.engines[e].name] = engine
			ethanol, boost := ownSlope*sigma*math.Sqrt(1-r)*rng.NormFloat64(), ownSlope*sigma*math.Sqrt(1-r)*rng.NormFloat64()
			common := rng.NormFloat64()
			for _, i := range plan.engines[e].pulls {
				z := dot(plan.x[i], truth) + engine + ethanol*plan.x[i][3] + boost*plan.x[i][4] + sigma*math.Sqrt(r)*rng.NormFloat64() +
					math.Sqrt(plan.own[i])*rng.NormFloat64() + plan.shared[i]*common
				pulls[i].Energy = quantity.Ratio(math.Exp(pulls[i].logBand().middle + z))
			}
		}
		for _, again := range []string{"", "b"} {
			m, err := newModel(asked, again, pulls)
			if err != nil {
				t.Fatal(err)
			}
			p, err := m.posterior()
			if err != nil {
				t.Fatal(err)
			}
			if again != "" {
				next := truth[0] + of[again] + sigma*math.Sqrt(r)*rng.NormFloat64()
				place("a pull of an engine again", p.answer.CDF(next))
				continue
			}
			for j, c := range m.columns {
				place(fmt.Sprint(c.feature, j), p.unknowns[j].CDF(truth[j]))
			}
			place("a pull of a new engine", p.answer.CDF(truth[0]+sigma*rng.NormFloat64()))
			place("scatter", below(p.scatter, math.Log(sigma)))
			place("scale of the band's error", below(p.kappa, math.Log(kappa)))
		}
	}
	limit := distuv.ChiSquared{K: bins - 1}.Quantile(0.999)
	for what, n := range counts {
		chi2 := 0.0
		for _, k := range n {
			chi2 += square(float64(k)-draws/float64(bins)) / (draws / float64(bins))
		}
		t.Logf("%-26s chi² %5.1f of %.1f  %v", what, chi2, limit, *n)
		if chi2 > limit {
			t.Errorf("%s: the truth's places in the posterior are not uniform: %v", what, *n)
		}
	}
	if len(counts) != 10 {
		t.Errorf("%d quantities were looked at, want 10", len(counts))
	}
}

// below returns the probability of a point below x.
func below(p points, x float64) float64 {
	sum := 0.0
	for i, at := range p.at {
		if at < x {
			sum += p.weight[i]
		}
	}
	return sum
}

// design is the pulls of some engines, without what they measured.
func design() []Observation {
	var list []Observation
	add := func(engine string, pulls int, kind demand.Induction, fuel string, bar float64, valves int, own, shared quantity.Ratio) {
		for range pulls {
			list = append(list, Observation{
				Combination: Combination{kind, blend(fuel), quantity.Of(bar, quantity.BarDiff), valves},
				Engine:      engine, Energy: 1, Own: own, Shared: shared,
			})
		}
	}
	add("a", 2, demand.Turbocharged, "gasoline", 0.9, 4, 0.01, 0.02)
	add("a", 1, demand.Turbocharged, "E85", 1.8, 4, 0.01, 0.02)
	add("b", 2, demand.Turbocharged, "E85", 2.1, 4, 0.005, 0.015)
	add("c", 1, demand.Turbocharged, "E50", 1.4, 2, 0.02, 0.02)
	add("d", 2, demand.Supercharged, "E85", 0.7, 4, 0.01, 0)
	add("e", 2, demand.NaturallyAspirated, "gasoline", 0, 2, 0.01, 0.03)
	add("f", 1, demand.Turbocharged, "E85", 2.8, 5, 0, 0)
	return list
}
