package sweep

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Plan says what to sweep and what to read off.
type Plan struct {
	Axes    []Axis
	Results []Result // default [Usual]

	// SI counts results in coherent SI units, shares as such, and not in the units of the
	// build's sheet.
	SI bool

	// Progress, if not nil, is told now and then how many points are done, in the
	// goroutine that called.
	Progress func(done, points int)
}

// Points returns the number of points, and false where it exceeds 2^52.
func (p Plan) Points() (n int, ok bool) {
	n = 1
	for _, a := range p.Axes {
		if len(a.Values) > 0 && n > 1<<52/len(a.Values) {
			return 0, false
		}
		n *= len(a.Values)
	}
	return n, true
}

// Block is some consecutive points of a sweep. It is only good until the function that
// got it returns.
type Block struct {
	First   int         // number of the first point
	Columns [][]float64 // of each result of the plan, NaN where there is no answer
	Reasons []string    // why a point has no answer, empty where it has one; nil where all have one
}

// Len returns the number of points.
func (b *Block) Len() int {
	if len(b.Columns) > 0 {
		return len(b.Columns[0])
	}
	return len(b.Reasons)
}

// Reason returns why the i-th point of the block has no answer, empty where it has one.
func (b *Block) Reason(i int) string {
	if b.Reasons == nil {
		return ""
	}
	return b.Reasons[i]
}

// Numbers of points in a block: of terms enough that handing it over costs nothing, few
// enough that a column stays in the processor's cache; of points that are assessed few
// enough that all processors have work to the end.
const (
	termsBlock  = 4096
	assessBlock = 256
)

// blockLen is the number of points in a block of a plan.
func blockLen(v *sizing.Variation, p Plan) int {
	if slices.ContainsFunc(p.Results, func(r Result) bool { return !r.termed || !v.TermsKnown() }) {
		return assessBlock
	}
	return termsBlock
}

// Stream assesses the build at every point of a plan and hands the results over in
// order, block by block, with as many goroutines at work as there are processors. It
// needs no more memory for many points than for few. The numbers are those of
// [sizing.Assess] at each point, to the last bit.
//
// It stops early with the error of take, or with that of ctx. The error tells of a build
// that makes no sense whatever the axes say, or of axes that do not go together.
func Stream(ctx context.Context, b sizing.Build, p Plan, take func(*Block) error) error {
	v, err := p.vary(b)
	if err != nil {
		return err
	}
	if len(p.Results) == 0 {
		p.Results = Usual
	}
	return run(ctx, v, p, take)
}

// vary prepares the build for the plan's axes.
func (p Plan) vary(b sizing.Build) (*sizing.Variation, error) {
	if len(p.Axes) == 0 {
		return nil, fmt.Errorf("%w: none is given", ErrAxis)
	}
	axes := make([]sizing.Axis, len(p.Axes))
	for k, a := range p.Axes {
		axes[k] = sizing.Axis{Field: a.field, Values: a.values()}
	}
	v, err := sizing.Vary(b, axes...)
	if errors.Is(err, sizing.ErrAxes) {
		return nil, fmt.Errorf("%w: %w", ErrAxis, err)
	}
	return v, err
}

// job is one block on its way: filled by a worker, then handed over in its turn.
type job struct {
	block Block
	done  chan struct{}
}

// run keeps the workers busy with the next blocks while it hands over the oldest.
func run(ctx context.Context, v *sizing.Variation, p Plan, take func(*Block) error) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	workers := runtime.GOMAXPROCS(0)
	ahead, size := 4*workers, blockLen(v, p)
	jobs, order := make(chan *job, ahead), make(chan *job, ahead)
	free := make(chan *job, ahead)
	for range ahead {
		j := &job{block: Block{Columns: make([][]float64, len(p.Results))}, done: make(chan struct{}, 1)}
		for c := range j.block.Columns {
			j.block.Columns[c] = make([]float64, size)
		}
		free <- j
	}
	var wg sync.WaitGroup
	defer wg.Wait()
	for range workers {
		wg.Go(func() {
			f := newFiller(v, p)
			for j := range jobs {
				if ctx.Err() == nil {
					f.fill(&j.block)
				}
				j.done <- struct{}{}
			}
		})
	}
	wg.Go(func() {
		defer close(jobs)
		defer close(order)
		for first := 0; first < v.Len(); first += size {
			select {
			case j := <-free:
				j.block.resize(first, min(size, v.Len()-first))
				jobs <- j
				order <- j
			case <-ctx.Done():
				return
			}
		}
	})
	for j := range order {
		<-j.done
		// What is still under way after an error is finished and thrown away.
		if ctx.Err() == nil {
			if err := take(&j.block); err != nil {
				stop(err)
			} else if p.Progress != nil {
				p.Progress(j.block.First+j.block.Len(), v.Len())
			}
		}
		free <- j
	}
	return context.Cause(ctx)
}

func (b *Block) resize(first, n int) {
	b.First = first
	for c := range b.Columns {
		b.Columns[c] = b.Columns[c][:n]
	}
	b.Reasons = nil
}

// filler assesses the points of blocks, with room of its own.
type filler struct {
	v       *sizing.Variation
	results []Result
	sys     quantity.System
	si      bool

	// Results that are terms, where the variation knows them, and the others.
	terms   []sizing.Term
	columns [][]float64 // of the terms
	scratch sizing.Scratch
	others  []int // places of the results that have to be assessed
	finds   sizing.Section
	a       sizing.Assessment
	reasons map[error]string
}

func newFiller(v *sizing.Variation, p Plan) *filler {
	f := &filler{v: v, results: p.Results, sys: v.Units(), si: p.SI, reasons: map[error]string{}}
	for c, r := range p.Results {
		if v.TermsKnown() && r.termed {
			f.terms = append(f.terms, r.term)
			continue
		}
		f.others = append(f.others, c)
		f.finds |= r.finds
	}
	f.columns = make([][]float64, len(f.terms))
	return f
}

func (f *filler) fill(b *Block) {
	if len(f.terms) > 0 {
		f.columns = f.columns[:0]
		for c, r := range f.results {
			if r.termed {
				f.columns = append(f.columns, b.Columns[c])
			}
		}
		f.v.Terms(b.First, f.terms, f.columns, &f.scratch)
	}
	if len(f.others) > 0 {
		f.assess(b)
	}
	for c, r := range f.results {
		if r.zeroIsNone && len(f.terms) > 0 && !f.v.Flows() {
			for i, v := range b.Columns[c] {
				if v == 0 {
					b.Columns[c][i] = math.NaN()
				}
			}
		}
		if !f.si {
			r.count(b.Columns[c], f.sys)
		}
	}
}

// assess finds the results that are no terms. Where terms are known every point makes
// sense.
func (f *filler) assess(b *Block) {
	for i := range b.Len() {
		if err := f.v.Assess(b.First+i, f.finds, &f.a); err != nil {
			if b.Reasons == nil {
				b.Reasons = make([]string, b.Len())
			}
			b.Reasons[i] = f.reason(err)
			for _, c := range f.others {
				b.Columns[c][i] = math.NaN()
			}
			continue
		}
		for _, c := range f.others {
			b.Columns[c][i] = f.results[c].raw(&f.a)
		}
	}
}

// reason puts an error on one line. Many points share one error.
func (f *filler) reason(err error) string {
	text, ok := f.reasons[err]
	if !ok {
		text = reason(err)
		if len(f.reasons) < 1000 {
			f.reasons[err] = text
		}
	}
	return text
}

func reason(err error) string {
	var be *sizing.BuildError
	if errors.As(err, &be) {
		list := make([]string, len(be.Problems))
		for i, p := range be.Problems {
			list[i] = p.String()
		}
		return strings.Join(list, "; ")
	}
	return err.Error()
}
