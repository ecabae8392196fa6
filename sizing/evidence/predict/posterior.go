package predict

import "math"

// posterior is what the data say, summed over the grid of the scales.
type posterior struct {
	unknowns []mixture // of each unknown of the model
	answer   mixture   // of a further pull, of a new engine or the one asked for again
	weights  []float64 // what each pull adds to the mean of answer, per unit of its z
	learnt   []float64 // part of the prior variance taken away, by unknown, at given scales
	scatter  points    // of ln σ
	kappa    points    // of ln κ
	engines  float64   // mean of ln(σ·sqrt(1-r))
	pulls    float64   // mean of ln(σ·sqrt(r))
}

// points is a distribution on points.
type points struct{ weight, at []float64 }

func (p *points) add(weight, at float64) {
	p.weight = append(p.weight, weight)
	p.at = append(p.at, at)
}

// Points of the grid by axis: coarse ones to find where the posterior lies, fine ones to
// sum over, whose steps are then below a standard deviation.
const coarse, fine = 11, 17

// posterior sums over σ, r and κ.
func (m *model) posterior() (*posterior, error) {
	type node struct {
		*fit
		sigma, r, kappa, density float64
	}
	var (
		current *data // at the grid's present σ and r
		last    node
	)
	at := func(lnSigma, logit float64) func(lnKappa float64) (float64, error) {
		sigma, r := math.Exp(lnSigma), logistic(logit)
		current = m.given(sigma, r)
		return func(lnKappa float64) (float64, error) {
			kappa := math.Exp(lnKappa)
			f, err := m.fit(current, sigma, r, kappa)
			if err != nil {
				return 0, err
			}
			density := f.logDensity + logScalePrior(lnSigma, m.scale) + logScalePrior(lnKappa, m.scale) + logPartPrior(logit)
			last = node{f, sigma, r, kappa, density}
			return density, nil
		}
	}
	start := math.Log(m.scale)
	g, err := grid{{start - 2, start + 3, coarse}, {-8, 4, coarse}, {start - 2, start + 3, coarse}}.settle(at)
	if err != nil {
		return nil, err
	}
	most := math.Inf(-1)
	for axis := range g {
		g[axis].points = fine
	}
	// The nodes of one σ and r share their data.
	type plane struct {
		*data
		nodes []node
	}
	var planes []plane
	err = g.visit(at, func(i [3]int, density float64) {
		if i[2] == 0 {
			planes = append(planes, plane{data: current})
		}
		most = max(most, density)
		if density > most-negligible {
			p := &planes[len(planes)-1]
			p.nodes = append(p.nodes, last)
		}
	})
	if err != nil {
		return nil, err
	}
	total := 0.0
	for _, p := range planes {
		for i := range p.nodes {
			p.nodes[i].density = math.Exp(p.nodes[i].density - most)
			total += p.nodes[i].density
		}
	}
	post := &posterior{
		unknowns: make([]mixture, m.width()),
		weights:  make([]float64, len(m.z)),
		learnt:   make([]float64, m.width()),
	}
	c := m.target()
	for _, p := range planes {
		combined := make([]float64, len(c))
		for _, n := range p.nodes {
			w := n.density / total
			for j := range post.unknowns {
				v := n.variance(j)
				post.unknowns[j].add(w, n.coef[j], math.Sqrt(v))
				post.learnt[j] += w * (1 - v/square(n.prior[j]))
			}
			scatter := square(n.sigma)
			if m.again >= 0 {
				scatter *= n.r
			}
			post.answer.add(w, dot(c, n.coef), math.Sqrt(n.form(c)+scatter))
			for j, v := range n.inverseTimes(c) {
				combined[j] += w * v
			}
			post.scatter.add(w, math.Log(n.sigma))
			post.kappa.add(w, math.Log(n.kappa))
			post.engines += w * math.Log(n.sigma*math.Sqrt(1-n.r))
			post.pulls += w * math.Log(n.sigma*math.Sqrt(n.r))
		}
		for i, v := range m.weights(p.data, combined) {
			post.weights[i] += v
		}
	}
	return post, nil
}
