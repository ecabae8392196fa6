package sweep

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"example.com/railbook/sizing"
)

// maxPoints bounds a grid: each point takes a tenth of a millisecond or so.
const maxPoints = 2_000_000

// Result is something that can be read off an assessment. The predeclared ones
// print in the unit system of the build's sheet.
type Result struct {
	Name string // "injector duty"
	unit func(sizing.Build) string
	of   func(*sizing.Assessment) float64
	// Limit draws a line on surfaces of this result, where it has one.
	limit func(sizing.Build) (value float64, label string, ok bool)
}

// Grid holds the assessment results over the points of some axes. Points are
// counted with the last axis running fastest.
type Grid struct {
	Axes  []Axis
	Build sizing.Build // the build that was varied

	columns map[string][]float64
	reasons []string // why a point is a gap; "" where it is none
}

// Over assesses the build at every point of the axes, each given as text for
// [ParseAxis]. It uses every processor and stops early when ctx is done, with
// ctx's error. The results do not depend on the number of processors.
func Over(ctx context.Context, b sizing.Build, axes ...string) (*Grid, error) {
	if len(axes) == 0 {
		return nil, fmt.Errorf("%w: none is given", ErrAxis)
	}
	g := &Grid{Build: b, columns: map[string][]float64{}}
	points, seen := 1, map[string]bool{}
	for _, text := range axes {
		a, err := ParseAxis(text)
		if err != nil {
			return nil, err
		}
		if seen[a.Field] {
			return nil, fmt.Errorf("%w: %s is swept twice", ErrAxis, a.Field)
		}
		seen[a.Field] = true
		if seen["boost"] && seen["power"] {
			return nil, fmt.Errorf("%w: boost and power move each other; sweep one of them", ErrAxis)
		}
		if points > maxPoints/len(a.Values) {
			return nil, fmt.Errorf("%w: the grid has more than %d points", ErrAxis, maxPoints)
		}
		points *= len(a.Values)
		g.Axes = append(g.Axes, a)
	}
	if err := b.Validate(); err != nil {
		return nil, err
	}
	g.reasons = make([]string, points)
	for _, r := range Results {
		g.columns[r.Name] = make([]float64, points)
	}
	return g, g.fill(ctx)
}

// fill assesses all points, in chunks taken by as many goroutines as there are
// processors.
func (g *Grid) fill(ctx context.Context) error {
	const chunk = 64
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for ctx.Err() == nil {
				start := int(next.Add(chunk)) - chunk
				if start >= len(g.reasons) {
					return
				}
				for i := start; i < min(start+chunk, len(g.reasons)); i++ {
					g.point(i)
				}
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// point assesses the i-th point and stores its results.
func (g *Grid) point(i int) {
	a, err := g.assess(i)
	if err != nil {
		g.reasons[i] = reason(err)
	}
	for _, r := range Results {
		v := math.NaN()
		if err == nil {
			v = r.of(a)
		}
		g.columns[r.Name][i] = v
	}
}

func (g *Grid) assess(i int) (*sizing.Assessment, error) {
	b := g.Build
	for k, j := range g.indices(i) {
		var err error
		if b, err = g.Axes[k].set(b, g.Axes[k].Values[j]); err != nil {
			return nil, err
		}
	}
	return sizing.Assess(b)
}

// indices splits a point's number into its place on each axis.
func (g *Grid) indices(i int) []int {
	at := make([]int, len(g.Axes))
	for k := len(g.Axes) - 1; k >= 0; k-- {
		n := len(g.Axes[k].Values)
		at[k], i = i%n, i/n
	}
	return at
}

// reason puts an error on one line.
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

// Len returns the number of points.
func (g *Grid) Len() int { return len(g.reasons) }

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

// Column returns a result at every point, NaN where there is no answer. The
// caller must not change it.
func (g *Grid) Column(r Result) []float64 { return g.columns[r.Name] }
