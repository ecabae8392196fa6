// Package montecarlo finds how results are spread where the numbers that they come from
// are: it draws the numbers, computes the results of each draw, and sums them up.
//
// It knows nothing of engines or fuel. Numbers are drawn by the scrambled Halton sequence
// or by Latin hypercube sampling, both those of gonum's package samplemv, in blocks that
// are scrambled each in its own way: every block covers the range of the numbers evenly,
// blocks do not depend on each other, and memory does not grow with their number. The same
// seed gives the same draws, however many processors work on them.
package montecarlo

import (
	"encoding/binary"
	"math"
	"math/rand/v2"

	"example.com/railbook/sizing/uncertainty/spread"
)

// Inputs are the numbers that are drawn.
type Inputs struct {
	Spreads []spread.Spread
	Copula  *spread.Copula // how they go together; nil where they do not
}

// Model makes a function that computes the results y of the numbers x. One function is
// made for each goroutine. A draw that makes no sense gives an error; a result that a
// draw has not is NaN.
type Model func() func(x, y []float64) error

// groups lists the inputs that go together, each in just one group.
func (in Inputs) groups() [][]int {
	if in.Copula != nil {
		return in.Copula.Groups()
	}
	groups := make([][]int, len(in.Spreads))
	for i := range groups {
		groups[i] = []int{i}
	}
	return groups
}

// The uses that draws are made for; each has a stream of random numbers of its own.
const (
	propagation = iota
	sensitivity
	resampling
)

// source returns the random numbers of the k-th block of a use.
func source(seed uint64, use, k int) *rand.ChaCha8 {
	var key [32]byte
	for i, v := range []uint64{seed, uint64(use), uint64(k)} {
		binary.LittleEndian.PutUint64(key[8*i:], v)
	}
	return rand.NewChaCha8(key)
}

// The ends of a distribution may be infinite, so they are kept off.
const (
	leastShare = 1.0 / (1 << 53)
	mostShare  = 1 - leastShare
)

// numbers turns a point of the unit cube into the numbers drawn, in place.
func (in Inputs) numbers(u []float64) {
	for i, v := range u {
		u[i] = min(max(v, leastShare), mostShare)
	}
	if in.Copula != nil {
		in.Copula.Join(u)
		for i, v := range u {
			u[i] = min(max(v, leastShare), mostShare)
		}
	}
	for i, s := range in.Spreads {
		u[i] = s.Quantile(u[i])
	}
}

// finite reports whether a result is a number.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
