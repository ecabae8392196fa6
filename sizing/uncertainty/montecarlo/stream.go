package montecarlo

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Plan says how much to draw.
type Plan struct {
	Draws   int // for [Sensitivities] each of them costs as many as there are groups of inputs, and two
	Outputs int // how many results the model computes
	Seed    uint64
	Sampling

	// Progress, if not nil, is told now and then how many draws are done, in the goroutine
	// that called.
	Progress func(done, draws int)
}

// MaxDraws bounds how much is drawn.
const MaxDraws = 1 << 40

// ErrPlan is wrapped by the error of a plan that cannot be carried out.
var ErrPlan = errors.New("cannot draw")

func (p Plan) check() error {
	if p.Draws < 1 || p.Draws > MaxDraws {
		return fmt.Errorf("%w %d times; want a number from 1 to %d", ErrPlan, p.Draws, MaxDraws)
	}
	return nil
}

// Block is some consecutive draws. It is only good until the function that got it returns.
type Block struct {
	First   int         // number of the first draw
	Columns [][]float64 // of each result, NaN where there is none
	Errs    []error     // why a draw makes no sense; nil where it does

	batch *mat.Dense
}

// Len returns the number of draws.
func (b *Block) Len() int { return len(b.Errs) }

// blockLen is how many draws are scrambled together.
const blockLen = 4096

// Stream draws the inputs, computes the results of each draw, and hands them over in
// order, block by block. It needs no more memory for many draws than for few. It stops
// early with the error of take, or with that of ctx. The error wraps [ErrPlan] where
// there is nothing to draw.
func Stream(ctx context.Context, in Inputs, model Model, p Plan, take func(*Block) error) error {
	if err := p.check(); err != nil {
		return err
	}
	blocks := (p.Draws + blockLen - 1) / blockLen
	worker := func() func(int, *Block) {
		compute, y := model(), make([]float64, p.Outputs)
		return func(k int, b *Block) {
			b.size(k*blockLen, min(blockLen, p.Draws-k*blockLen), p.Outputs)
			b.batch = p.points(b.batch, b.Len(), len(in.Spreads), source(p.Seed, propagation, k))
			for i := range b.Len() {
				b.Errs[i] = in.draw(b.batch, i, compute, y)
				for c := range b.Columns {
					b.Columns[c][i] = y[c]
				}
			}
		}
	}
	return inOrder(ctx, blocks, worker, func(_ int, b *Block) error {
		if err := take(b); err != nil {
			return err
		}
		if p.Progress != nil {
			p.Progress(b.First+b.Len(), p.Draws)
		}
		return nil
	})
}

// draw computes the results y of one point of a block; they are NaN where it makes no
// sense.
func (in Inputs) draw(batch *mat.Dense, i int, compute func(x, y []float64) error, y []float64) error {
	var x []float64
	if batch != nil {
		x = batch.RawRowView(i)
		in.numbers(x)
	}
	err := compute(x, y)
	if err != nil {
		for c := range y {
			y[c] = math.NaN()
		}
	}
	return err
}

// size makes room for a block.
func (b *Block) size(first, n, outputs int) {
	if b.Columns == nil {
		b.Columns = make([][]float64, outputs)
		for c := range b.Columns {
			b.Columns[c] = make([]float64, blockLen)
		}
		b.Errs = make([]error, blockLen)
	}
	b.First, b.Errs = first, b.Errs[:n]
	for c := range b.Columns {
		b.Columns[c] = b.Columns[c][:n]
	}
}
