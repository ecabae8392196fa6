package spread

import (
	"errors"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"
)

// Pair says that two numbers go together: r is the correlation of the normal scores
// that stand for them. For normal distributions it is their correlation itself; for
// others the correlation of the numbers is somewhat less far from zero.
type Pair struct {
	I, J int
	R    float64
}

// Copula makes numbers that are equally spread from 0 to 1 go together as a normal
// distribution of several dimensions does, each still equally spread: a Gaussian copula.
// It does not change, and any number of goroutines may use it.
type Copula struct {
	groups [][]int     // of numbers that go together, alone or not, in order
	roots  [][]float64 // of each group of several the lower triangle of its matrix's root, by rows
}

// ErrCorrelation is wrapped by the error of [NewCopula].
var ErrCorrelation = errors.New("these correlations cannot be")

// Contradiction is the error of correlations that no numbers can have together.
type Contradiction struct{ Group []int }

// Error names the numbers by their place.
func (e *Contradiction) Error() string {
	return fmt.Sprintf("%v: the matrix of those among %v is not positive definite", ErrCorrelation, e.Group)
}

// Unwrap returns [ErrCorrelation].
func (e *Contradiction) Unwrap() error { return ErrCorrelation }

// NewCopula makes the copula of n numbers of which some pairs go together; the others do
// not depend on each other. The error wraps [ErrCorrelation]; it is a [*Contradiction]
// where the pairs do not go together.
func NewCopula(n int, pairs ...Pair) (*Copula, error) {
	seen := map[[2]int]bool{}
	root := make([]int, n) // of each number one that stands for its group
	for i := range root {
		root[i] = i
	}
	for _, p := range pairs {
		key := [2]int{min(p.I, p.J), max(p.I, p.J)}
		switch {
		case key[0] < 0 || key[1] >= n || key[0] == key[1]:
			return nil, fmt.Errorf("%w: %d and %d are no two of %d numbers", ErrCorrelation, p.I, p.J, n)
		case !(p.R > -1 && p.R < 1):
			return nil, fmt.Errorf("%w: r = %v does not lie between -1 and 1", ErrCorrelation, p.R)
		case seen[key]:
			return nil, fmt.Errorf("%w: %d and %d are given twice", ErrCorrelation, p.I, p.J)
		}
		seen[key] = true
		if from, to := root[key[1]], root[key[0]]; p.R != 0 && from != to {
			for i := range root {
				if root[i] == from {
					root[i] = to
				}
			}
		}
	}
	c := &Copula{}
	for i := range n {
		var group []int
		for k := range n {
			if root[k] == root[i] {
				group = append(group, k)
			}
		}
		if group[0] != i {
			continue
		}
		c.groups = append(c.groups, group)
		if len(group) > 1 {
			lower, ok := rootOf(group, pairs)
			if !ok {
				return nil, &Contradiction{Group: group}
			}
			c.roots = append(c.roots, lower)
		}
	}
	return c, nil
}

// rootOf is the lower triangle of the Cholesky root of a group's correlations; ok is
// false where there is none.
func rootOf(group []int, pairs []Pair) (lower []float64, ok bool) {
	n := len(group)
	m := mat.NewSymDense(n, nil)
	for i := range n {
		m.SetSym(i, i, 1)
	}
	for _, p := range pairs {
		i, j := slices.Index(group, p.I), slices.Index(group, p.J)
		if i >= 0 && j >= 0 {
			m.SetSym(i, j, p.R)
		}
	}
	var root mat.Cholesky
	if !root.Factorize(m) {
		return nil, false
	}
	var l mat.TriDense
	root.LTo(&l)
	for i := range n {
		for j := range i + 1 {
			lower = append(lower, l.At(i, j))
		}
	}
	return lower, true
}

// Groups lists the places of numbers that go together, each number in just one group.
// The caller must not change the lists.
func (c *Copula) Groups() [][]int { return c.groups }

// Join makes numbers of u, each between 0 and 1 and not depending on the others, go
// together, in place.
func (c *Copula) Join(u []float64) {
	k := 0
	var room [8]float64
	for _, group := range c.groups {
		if len(group) == 1 {
			continue
		}
		lower := c.roots[k]
		k++
		z := room[:0]
		for _, at := range group {
			z = append(z, mathext.NormalQuantile(u[at]))
		}
		// From the last row up, since each needs the scores before it.
		for i := len(group) - 1; i >= 0; i-- {
			row := lower[i*(i+1)/2:][:i+1]
			var sum float64
			for j, l := range row {
				sum += l * z[j]
			}
			u[group[i]] = cumulated(sum)
		}
	}
}
