package montecarlo

import (
	"context"
	"math/rand/v2"
)

// Index says how much of the variance of a result comes from a group of inputs: alone, and
// with all that it does together with others. The errors are standard errors. An estimate
// may lie beside the 0 to 1 of what it estimates by as much as these.
type Index struct {
	First      float64 `json:"first"`
	FirstError float64 `json:"first_error"`
	Total      float64 `json:"total"`
	TotalError float64 `json:"total_error"`
}

// Sensitivity is what results depend on.
type Sensitivity struct {
	Groups  [][]int   // of inputs that go together, alone or not
	Indices [][]Index // of each result, by group; all zero where the result does not vary
	Dropped []int     // of each result, how many draws were left out as one of theirs made no sense
	Draws   int
}

const (
	sensitivityBlocks = 32  // that the draws are divided into
	resamples         = 400 // of the blocks, for the standard errors
)

// Sensitivities finds the Sobol' indices of results. Inputs that go together are one
// group, since only groups that do not depend on each other divide the variance among
// them.
//
// Two independent samples A and B are drawn, and for each group a third, A with the
// group's numbers taken from B. The first-order index is that of Saltelli et al.
// (Computer Physics Communications 181, 2010, table 2, (b)), the total index that of
// Jansen (Computer Physics Communications 117, 1999; there (f)); both from memory. The
// draws are divided into 32 blocks that do not depend on each other, and the standard
// errors come from resampling these (bootstrap).
//
// The errors are those of [Stream].
func Sensitivities(ctx context.Context, in Inputs, model Model, p Plan) (*Sensitivity, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	s := &Sensitivity{Groups: in.groups(), Dropped: make([]int, p.Outputs)}
	blocks := min(sensitivityBlocks, p.Draws)
	each := (p.Draws + blocks - 1) / blocks
	s.Draws = each * blocks
	all := make([][]tally, p.Outputs) // of each result, by block
	worker := func() func(int, *[]tally) {
		w := newDouble(in, p, s.Groups, model())
		return func(k int, into *[]tally) { *into = w.block(each, source(p.Seed, sensitivity, k)) }
	}
	err := inOrder(ctx, blocks, worker, func(k int, of *[]tally) error {
		for c, t := range *of {
			all[c] = append(all[c], t)
			s.Dropped[c] += t.dropped
		}
		if p.Progress != nil {
			p.Progress((k+1)*each, s.Draws)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	r := rand.New(source(p.Seed, resampling, 0))
	for _, list := range all {
		s.Indices = append(s.Indices, indices(list, len(s.Groups), r))
	}
	return s, nil
}
