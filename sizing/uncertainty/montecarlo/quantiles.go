package montecarlo

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

const (
	keptExactly = 1 << 14 // values up to which quantiles are exact
	bins        = 1 << 14 // in which further values are counted
)

// quantiles keeps some values, and from then on only counts how many lie in each of many
// bins of equal width. Bins are laid over the values kept; where one falls beside them the
// bins double their width until it does not. What is kept does not depend on who else
// works, only on the order of the values.
type quantiles struct {
	kept   []float64
	counts []int
	low    float64 // of the first bin
	width  float64
	least  float64
	most   float64
	n      int
}

func (q *quantiles) add(v float64) {
	if q.n == 0 {
		q.least, q.most = v, v
	}
	q.least, q.most = min(q.least, v), max(q.most, v)
	q.n++
	if q.counts == nil {
		if q.kept = append(q.kept, v); len(q.kept) == keptExactly {
			q.layOut()
		}
		return
	}
	q.drop(v)
}

// layOut counts the values kept, in bins over them with some room on both sides.
func (q *quantiles) layOut() {
	room := (q.most - q.least) / 4
	if !(room > 0) || math.IsInf(room, 0) {
		room = max(math.Abs(q.least), math.SmallestNonzeroFloat64*bins*bins) * 1e-9
	}
	q.low, q.width = q.least-room, (q.most-q.least+2*room)/bins
	q.counts = make([]int, bins)
	for _, v := range q.kept {
		q.drop(v)
	}
	q.kept = nil
}

// drop counts one value.
func (q *quantiles) drop(v float64) {
	for v < q.low {
		q.low -= bins * q.width
		q.double(bins / 2)
	}
	for v >= q.low+bins*q.width {
		q.double(0)
	}
	q.counts[min(int((v-q.low)/q.width), bins-1)]++
}

// double joins the bins in pairs, which then start at the bin first.
func (q *quantiles) double(first int) {
	joined := make([]int, bins)
	for i, c := range q.counts {
		joined[first+i/2] += c
	}
	q.counts, q.width = joined, 2*q.width
}

// Quantile returns the value below which a share p of all lie, NaN where there are none.
// It rises with p, and is exact to [quantiles.Resolution].
func (q *quantiles) Quantile(p float64) float64 {
	switch {
	case q.n == 0:
		return math.NaN()
	case p <= 0:
		return q.least
	case p >= 1:
		return q.most
	case q.counts == nil:
		if !slices.IsSorted(q.kept) {
			slices.Sort(q.kept)
		}
		return stat.Quantile(p, stat.LinInterp, q.kept, nil)
	}
	want := p * float64(q.n)
	below := 0.0
	for i, c := range q.counts {
		if c := float64(c); below+c >= want && c > 0 {
			v := q.low + q.width*(float64(i)+(want-below)/c)
			return min(max(v, q.least), q.most)
		} else {
			below += c
		}
	}
	return q.most
}

// Resolution is how far a quantile may be off: the width of a bin, or zero where all
// values are kept.
func (q *quantiles) Resolution() float64 {
	if q.counts == nil {
		return 0
	}
	return q.width
}

// Bar is the share of values in one part of their range.
type Bar struct {
	Low, High float64
	Share     float64
}

// Bars divides the range of the values into n parts of equal width. There are none where
// the values do not differ.
func (q *quantiles) Bars(n int) []Bar {
	if n < 1 || q.n == 0 || !(q.most > q.least) {
		return nil
	}
	list := make([]Bar, n)
	width := (q.most - q.least) / float64(n)
	for i := range list {
		list[i].Low, list[i].High = q.least+float64(i)*width, q.least+float64(i+1)*width
	}
	count := func(v float64, c int) {
		i := int((v - q.least) / width)
		list[min(max(i, 0), n-1)].Share += float64(c) / float64(q.n)
	}
	for _, v := range q.kept {
		count(v, 1)
	}
	for i, c := range q.counts {
		if c > 0 {
			count(q.low+(float64(i)+0.5)*q.width, c)
		}
	}
	return list
}
