package sweep

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"example.com/railbook/sizing"
)

// anywhere assesses a build at any values of some axes, not only at those listed. Any
// number of goroutines may use it.
type anywhere struct {
	b      sizing.Build
	axes   []Axis
	trials *sizing.Trials
}

// newAnywhere prepares the build; the error is as of [Stream].
func newAnywhere(b sizing.Build, axes []Axis) (anywhere, error) {
	fields := make([]sizing.Field, len(axes))
	for k, a := range axes {
		fields[k] = a.field
	}
	t, err := sizing.NewTrials(b, fields...)
	if refused := (*sizing.BuildError)(nil); err != nil && !errors.As(err, &refused) {
		err = fmt.Errorf("%w: %w", ErrAxis, err)
	}
	return anywhere{b, axes, t}, err
}

// assess sets the axes to values in their units and finds some sections of into.
func (w anywhere) assess(into *sizing.Assessment, finds sizing.Section, values ...float64) error {
	var room [8]float64
	si := room[:0]
	for k, a := range w.axes {
		si = append(si, a.si(values[k]))
	}
	return w.trials.Assess(si, finds, into)
}

// whole reports whether there is nothing between the values of an axis, as its field
// takes only whole numbers.
func (w anywhere) whole(k int) bool {
	a := w.axes[k]
	if len(a.Values) < 2 {
		return false
	}
	const share = 0.382 // no simple fraction
	low, high := a.Values[0], a.Values[1]
	_, first := a.field.Set(w.b, a.si(low))
	_, inside := a.field.Set(w.b, a.si(low+share*(high-low)))
	return first == nil && inside != nil
}

// model is a result over the whole plane of the grid's first two axes, NaN where there
// is none.
func (g *Grid) model(r Result, held []int) func(x, y float64) float64 {
	w, err := newAnywhere(g.Build, g.Axes)
	if err != nil {
		// Nor has the grid any answer then.
		return func(x, y float64) float64 { return math.NaN() }
	}
	rest := make([]float64, 0, 6)
	for k, a := range g.Axes[2:] {
		j := 0
		if k < len(held) {
			j = held[k]
		}
		rest = append(rest, a.Values[j])
	}
	pool := sync.Pool{New: func() any { return new(sizing.Assessment) }}
	f := func(x, y float64) float64 {
		a := pool.Get().(*sizing.Assessment)
		defer pool.Put(a)
		if err := w.assess(a, r.finds, append([]float64{x, y}, rest...)...); err != nil {
			return math.NaN()
		}
		return r.Of(a)
	}
	if w.whole(0) {
		known := f
		f = func(x, y float64) float64 {
			return straight(g.Axes[0].Values, x, func(x float64) float64 { return known(x, y) })
		}
	}
	if w.whole(1) {
		known := f
		f = func(x, y float64) float64 {
			return straight(g.Axes[1].Values, y, func(y float64) float64 { return known(x, y) })
		}
	}
	return f
}

// straight is f at the values of an axis, and straight in between.
func straight(values []float64, at float64, f func(float64) float64) float64 {
	k, listed := slices.BinarySearch(values, at)
	switch {
	case listed || k == 0:
		return f(at)
	case k == len(values):
		return f(values[k-1])
	}
	low, high := f(values[k-1]), f(values[k])
	return low + (high-low)*(at-values[k-1])/(values[k]-values[k-1])
}
