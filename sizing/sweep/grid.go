package sweep

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"example.com/railbook/sizing"
)

// Grid holds results over the points of some axes. Points are counted with the last
// axis running fastest.
type Grid struct {
	Axes    []Axis
	Results []Result
	Build   sizing.Build // the build that was varied

	plan    Plan
	columns [][]float64
	n       int
	reasons []string // why a point is a gap, "" where it is none; nil where there is no gap
}

// maxGrid bounds what a grid keeps in memory, in numbers; 2 GB.
const maxGrid = 1 << 28

// Over assesses the build at every point of the axes, each given as text for
// [ParseAxis], and keeps the results of [Usual]; see [Stream].
func Over(ctx context.Context, b sizing.Build, axes ...string) (*Grid, error) {
	var p Plan
	for _, text := range axes {
		a, err := ParseAxis(text)
		if err != nil {
			return nil, err
		}
		p.Axes = append(p.Axes, a)
	}
	return Keep(ctx, b, p)
}

// Keep assesses the build at every point of a plan, as [Stream] does, and keeps the
// results. The error tells also of more points than are kept in memory.
func Keep(ctx context.Context, b sizing.Build, p Plan) (*Grid, error) {
	if len(p.Results) == 0 {
		p.Results = Usual
	}
	n, ok := p.Points()
	if !ok || n > maxGrid/(len(p.Results)+2) {
		return nil, fmt.Errorf("%w: the grid has more than %d points for %d results; stream them", ErrAxis, maxGrid/(len(p.Results)+2), len(p.Results))
	}
	g := &Grid{Axes: p.Axes, Results: p.Results, plan: p, n: n}
	for range p.Results {
		g.columns = append(g.columns, make([]float64, n))
	}
	if err := g.Refill(ctx, b); err != nil {
		return nil, err
	}
	return g, nil
}

// Refill assesses another build at the grid's points and puts its results in the place
// of those there were. After an error the grid holds some of both.
func (g *Grid) Refill(ctx context.Context, b sizing.Build) error {
	v, err := g.plan.vary(b)
	if err != nil {
		return err
	}
	g.Build = b
	return g.fill(ctx, v)
}

// fill assesses all points, in blocks taken by as many goroutines as there are
// processors.
func (g *Grid) fill(ctx context.Context, v *sizing.Variation) error {
	g.reasons = nil
	var next atomic.Int64
	size := blockLen(v, g.plan)
	var gaps sync.Mutex
	var wg sync.WaitGroup
	done := make(chan int, 64)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			f := newFiller(v, g.plan)
			columns := make([][]float64, len(g.columns))
			for ctx.Err() == nil {
				first := int(next.Add(1)-1) * size
				if first >= v.Len() {
					return
				}
				end := min(first+size, v.Len())
				for c := range columns {
					columns[c] = g.columns[c][first:end]
				}
				b := Block{First: first, Columns: columns}
				if f.fill(&b); b.Reasons != nil {
					gaps.Lock()
					if g.reasons == nil {
						g.reasons = make([]string, g.n)
					}
					copy(g.reasons[first:end], b.Reasons)
					gaps.Unlock()
				}
				done <- end - first
			}
		})
	}
	go func() { wg.Wait(); close(done) }()
	points := 0
	for n := range done {
		points += n
		if g.plan.Progress != nil {
			g.plan.Progress(points, v.Len())
		}
	}
	return ctx.Err()
}

// Len returns the number of points.
func (g *Grid) Len() int { return g.n }

// Gaps returns how many points have no answer, and the reason of the first.
func (g *Grid) Gaps() (n int, reason string) {
	for _, r := range g.reasons {
		if r != "" {
			if n++; n == 1 {
				reason = r
			}
		}
	}
	return n, reason
}

// Reason returns why a point has no answer, empty where it has one.
func (g *Grid) Reason(point int) string {
	if g.reasons == nil {
		return ""
	}
	return g.reasons[point]
}

// Column returns a result at every point, NaN where there is no answer. The
// caller must not change it. It is nil for a result that the grid does not hold.
func (g *Grid) Column(r Result) []float64 {
	for c := range g.Results {
		if g.Results[c].Name == r.Name {
			return g.columns[c]
		}
	}
	return nil
}
