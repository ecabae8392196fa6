package live

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// Stack is a set of surfaces over the same two axes, one for each value of a third.
type Stack struct {
	ID     string
	Title  string
	Alt    string
	Along  sweep.Scale // the third axis; its values are those of the layers
	Layers []figure.Surface
	Start  int // number of the layer shown first
}

// Label names a layer by its place on the third axis: "43.5 psi".
func (s Stack) Label(layer int) string {
	return strings.TrimSpace(label(s.Along.Values[layer]) + " " + s.Along.Unit)
}

// Spec returns the live chart of the stack: the map of one layer, and a slider that
// goes to the others. All share one scale of colours and heights of contour lines, so
// that layers compare. A layer may be without any height. The error says what keeps the
// stack from being drawn.
func (s Stack) Spec() (chart.Spec, error) {
	spec, err := s.spec()
	if err != nil {
		return chart.Spec{}, fmt.Errorf("figure %q: %w", s.ID, err)
	}
	return spec, nil
}

func (s Stack) spec() (chart.Spec, error) {
	if len(s.Layers) < 2 || len(s.Along.Values) != len(s.Layers) || s.Start < 0 || s.Start >= len(s.Layers) {
		return chart.Spec{}, fmt.Errorf("%d layers for %d values, starting at layer %d; want two layers or more, a value for each, and one of them to start at",
			len(s.Layers), len(s.Along.Values), s.Start)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range s.Layers {
		if err := checkShape(&s.Layers[i]); err != nil {
			return chart.Spec{}, fmt.Errorf("layer %s: %w", s.Label(i), err)
		}
		l, h := s.Layers[i].Range()
		low, high = min(low, l), max(high, h)
	}
	if low > high || math.IsInf(low, 0) || math.IsInf(high, 0) {
		return chart.Spec{}, errors.New("no point of any layer has a value, or one is infinite")
	}
	first := &s.Layers[s.Start]
	spec := chart.Spec{
		ID: s.ID, Title: capital(s.Title), Alt: s.Alt, Height: mapHeight, Names: names(first), Units: units(first),
		Layers: &chart.Layers{Name: s.Along.Name, Start: s.Start},
	}
	for i := range s.Layers {
		raw, err := mapOption(&s.Layers[i], low, high)
		if err != nil {
			return chart.Spec{}, fmt.Errorf("layer %s: %w", s.Label(i), err)
		}
		spec.Layers.Labels = append(spec.Layers.Labels, s.Label(i))
		spec.Layers.Options = append(spec.Layers.Options, raw)
	}
	spec.Option = spec.Layers.Options[s.Start]
	return spec, nil
}
