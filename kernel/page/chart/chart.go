// Package chart is the agreement between a program that makes a live chart and
// the page that shows it: what a notebook output of type [MIME] holds.
//
// The same output carries the still picture of the figure as image/png and a
// sentence as text/plain. The picture is what every reader gets first, and
// what remains where a live chart cannot be drawn, so it should say the same
// as the chart. A chart holds data only and no code: where a tooltip has to
// name quantities and units, [Spec.Names] and [Spec.Units] say them.
package chart

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// MIME is the type of a live chart in a notebook output.
const MIME = "application/vnd.railbook.chart+json"

// Heights of a live chart in CSS pixels.
const (
	MinHeight     = 160
	DefaultHeight = 460
	MaxHeight     = 2000
)

// Spec describes one live chart.
type Spec struct {
	// ID names the figure, "demand-surface". It may be linked to as
	// "#chart-demand-surface". An ID that a page holds twice gets a number.
	ID string `json:"id"`
	// Title is the figure's caption.
	Title string `json:"title,omitempty"`
	// Alt is one sentence for readers who cannot see the figure.
	Alt string `json:"alt,omitempty"`
	// Height is in CSS pixels; 0 means [DefaultHeight].
	Height int `json:"height,omitempty"`
	// GL is true of charts that need WebGL and the 3D extension. An option
	// with a grid3D is taken as such a chart in any case.
	GL bool `json:"gl,omitempty"`
	// Option is an ECharts option: a JSON object with at least one series.
	Option json.RawMessage `json:"option"`
	// Names and Units describe the quantities on the axes for the tooltip. Y
	// is the value of a line chart; Z is the value of a surface or heat map.
	Names Axes `json:"names,omitzero"`
	Units Axes `json:"units,omitzero"`
	// Layers, if there are any, are further charts of the same kind, through which
	// the reader goes with a slider.
	Layers *Layers `json:"layers,omitempty"`
}

// Layers are charts that take turns in one place. Names and Units of the [Spec] hold
// for all of them.
type Layers struct {
	// Name says what the slider changes: "base pressure".
	Name string `json:"name"`
	// Labels names each layer, least first: "43.5 psi".
	Labels []string `json:"labels"`
	// Options holds the ECharts option of each layer.
	Options []json.RawMessage `json:"options"`
	// Start is the number, from 0, of the layer that is shown first. It is that of
	// the still picture, and its option is the Spec's own.
	Start int `json:"start"`
}

// Axes holds one text for each axis, "" where there is nothing to say.
type Axes struct {
	X string `json:"x,omitempty"`
	Y string `json:"y,omitempty"`
	Z string `json:"z,omitempty"`
}

// Parse reads a chart and checks it. Fields it does not know are passed over.
// A height of 0 becomes the default. Errors name the field and what is
// accepted.
func Parse(raw []byte) (*Spec, error) {
	s := &Spec{}
	if err := json.Unmarshal(raw, s); err != nil {
		return nil, fmt.Errorf("chart: %w", err)
	}
	if s.Height == 0 {
		s.Height = DefaultHeight
	}
	if s.Height < MinHeight || s.Height > MaxHeight {
		return nil, fmt.Errorf("chart %q: height %d, want %d to %d pixels", s.ID, s.Height, MinHeight, MaxHeight)
	}
	gl, err := checkOption(s.Option)
	if err != nil {
		return nil, fmt.Errorf("chart %q: %w", s.ID, err)
	}
	s.GL = s.GL || gl
	if s.Layers != nil {
		if err := s.Layers.check(); err != nil {
			return nil, fmt.Errorf("chart %q: %w", s.ID, err)
		}
	}
	return s, nil
}

// checkOption checks an ECharts option, and reports whether it needs WebGL.
func checkOption(raw json.RawMessage) (gl bool, err error) {
	var option struct {
		Series json.RawMessage `json:"series"`
		Grid3D json.RawMessage `json:"grid3D"`
	}
	if err := json.Unmarshal(raw, &option); err != nil {
		return false, fmt.Errorf("option: %w, want a JSON object", err)
	}
	var series bytes.Buffer // without spaces; it is sound JSON or missing
	json.Compact(&series, option.Series)
	switch series.String() {
	case "", "null", "[]", "{}":
		return false, fmt.Errorf("option has no series")
	}
	return option.Grid3D != nil, nil
}

func (l *Layers) check() error {
	n := len(l.Options)
	if n < 2 || len(l.Labels) != n || l.Start < 0 || l.Start >= n {
		return fmt.Errorf("%d layers with %d labels, starting at layer %d; want two layers or more, a label for each, and one of them to start at",
			n, len(l.Labels), l.Start)
	}
	for i, o := range l.Options {
		if _, err := checkOption(o); err != nil {
			return fmt.Errorf("layer %q: %w", l.Labels[i], err)
		}
	}
	return nil
}
