package montecarlo

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// double draws two samples and what lies between them.
type double struct {
	in       Inputs
	sampling Sampling
	groups   [][]int
	compute  func(x, y []float64) error
	outputs  int
	centre   []float64 // of the results at the medians, off which they are counted, against rounding
	batch    *mat.Dense
	results  [][]float64 // of A, of B, and of each mixture
}

func newDouble(in Inputs, p Plan, groups [][]int, compute func(x, y []float64) error) *double {
	w := &double{in: in, sampling: p.Sampling, groups: groups, compute: compute, outputs: p.Outputs, centre: make([]float64, p.Outputs)}
	medians := make([]float64, len(in.Spreads))
	for i, s := range in.Spreads {
		medians[i] = s.Median()
	}
	w.run(medians, w.centre)
	for c, v := range w.centre {
		if !finite(v) {
			w.centre[c] = 0
		}
	}
	for range 2 + len(groups) {
		w.results = append(w.results, make([]float64, p.Outputs))
	}
	return w
}

// run computes results, NaN where a draw makes no sense.
func (w *double) run(x, y []float64) {
	if w.compute(x, y) != nil {
		for c := range y {
			y[c] = math.NaN()
		}
	}
}

// block computes one block of draws and tallies each result.
func (w *double) block(n int, src rand.Source) []tally {
	d := len(w.in.Spreads)
	w.batch = w.sampling.points(w.batch, n, 2*d, src)
	list := make([]tally, w.outputs)
	for c := range list {
		list[c].groups = make([]between, len(w.groups))
	}
	var a, b []float64
	mixed := make([]float64, d)
	for i := range n {
		if d > 0 {
			row := w.batch.RawRowView(i)
			a, b = row[:d], row[d:]
			w.in.numbers(a)
			w.in.numbers(b)
		}
		w.run(a, w.results[0])
		w.run(b, w.results[1])
		for g, group := range w.groups {
			copy(mixed, a)
			for _, k := range group {
				mixed[k] = b[k]
			}
			w.run(mixed, w.results[2+g])
		}
		for c := range list {
			list[c].draw(w.results, c, w.centre[c])
		}
	}
	return list
}

// tally is what the indices of one result are made of; tallies of several blocks add up.
type tally struct {
	n, dropped    int
	sums, squares float64 // of the results of A and B together
	size          float64 // of the greatest result
	groups        []between
}

// between is what it makes to take a group's numbers from B and not from A: the sum of the
// changes, of their squares, and of their products with the result of B.
type between struct{ change, squares, product float64 }

// draw adds the c-th result of one draw.
func (t *tally) draw(results [][]float64, c int, centre float64) {
	for _, y := range results {
		if !finite(y[c]) {
			t.dropped++
			return
		}
	}
	a, b := results[0][c]-centre, results[1][c]-centre
	t.n++
	t.size = max(t.size, math.Abs(results[0][c]), math.Abs(results[1][c]))
	t.sums += a + b
	t.squares += a*a + b*b
	for g := range t.groups {
		change := results[2+g][c] - centre - a
		t.groups[g].change += change
		t.groups[g].squares += change * change
		t.groups[g].product += change * b
	}
}

// join adds up tallies.
func join(list []tally, groups int) tally {
	all := tally{groups: make([]between, groups)}
	for _, t := range list {
		all.n += t.n
		all.size = max(all.size, t.size)
		all.sums += t.sums
		all.squares += t.squares
		for g, b := range t.groups {
			all.groups[g].change += b.change
			all.groups[g].squares += b.squares
			all.groups[g].product += b.product
		}
	}
	return all
}

// indices of the g-th group, first-order and total; zero where the result does not vary.
func (t *tally) indices(g int) (first, total float64) {
	if t.n == 0 {
		return 0, 0
	}
	n := float64(t.n)
	mean := t.sums / (2 * n)
	variance := t.squares/(2*n) - mean*mean
	if !(variance > 1e-24*t.size*t.size) { // or it is rounding
		return 0, 0
	}
	b := t.groups[g]
	return (b.product - mean*b.change) / n / variance, b.squares / (2 * n) / variance
}

// indices of all groups of a result, with their standard errors.
func indices(list []tally, groups int, r *rand.Rand) []Index {
	out := make([]Index, groups)
	whole := join(list, groups)
	for g := range out {
		out[g].First, out[g].Total = whole.indices(g)
	}
	first, total := make([]moments, groups), make([]moments, groups)
	again := make([]tally, len(list))
	for range resamples {
		for i := range again {
			again[i] = list[r.IntN(len(list))]
		}
		t := join(again, groups)
		for g := range out {
			f, s := t.indices(g)
			first[g].add([]float64{f})
			total[g].add([]float64{s})
		}
	}
	for g := range out {
		out[g].FirstError, out[g].TotalError = first[g].SD(), total[g].SD()
	}
	return out
}
