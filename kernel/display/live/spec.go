// Package live makes live charts of figures. A chart is an ECharts option built
// with go-echarts: data only and no code, as package chart asks for. What
// go-echarts has no field for is set in the option afterwards.
//
// The charts are drawn for a white ground. Colours never tell alone: lines
// differ in their dashes, bars carry the word of their status, and the limit on
// a surface is a thick line with its name.
package live

import (
	"fmt"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
)

// Heights in CSS pixels.
const (
	reliefHeight = 540
	mapHeight    = 480
	linesHeight  = 420
)

// Spec returns the live chart of a figure. The same figure gives the same bytes.
// The error says what keeps a figure from being drawn: no content, or a surface
// of fewer than two values along an axis or without any height.
func Spec(f figure.Figure) (chart.Spec, error) {
	var (
		s   chart.Spec
		err error
	)
	switch {
	case f.Surface != nil && f.Surface.View == figure.Relief:
		s, err = relief(f.Surface)
	case f.Surface != nil && f.Surface.View == figure.Map:
		s, err = contourMap(f.Surface)
	case f.Surface != nil:
		err = fmt.Errorf("unknown view %q of a surface; want %q or %q", f.Surface.View, figure.Relief, figure.Map)
	case f.Headroom != nil:
		s, err = headroom(f.Headroom)
	case f.Chart != nil:
		s, err = lines(f.Chart)
	default:
		err = fmt.Errorf("it holds neither a surface nor headroom nor a chart")
	}
	if err != nil {
		return chart.Spec{}, fmt.Errorf("figure %q: %w", f.ID, err)
	}
	s.ID, s.Title, s.Alt = f.ID, capital(f.Title), f.Alt
	return s, nil
}
