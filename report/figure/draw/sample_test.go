package draw_test

import (
	"fmt"
	"math"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// bowl is a map with a closed limit line, uneven steps along x and a gap in a
// corner.
func bowl() figure.Figure {
	const n = 21
	s := sweep.Surface{
		X: sweep.Scale{Name: "boost", Unit: "psi"},
		Y: sweep.Scale{Name: "lambda"},
		Z: sweep.Scale{Name: "injector duty", Unit: "%"},
	}
	for i := range n {
		s.X.Values = append(s.X.Values, float64(i*i)/20)
		s.Y.Values = append(s.Y.Values, 0.7+float64(i)*0.01)
	}
	for j := range n {
		for i := range n {
			x, y := float64(i-10), float64(j-10)
			z := 0.3*x*x + 0.5*y*y - 0.2*x*y
			if i > 15 && j > 12 {
				z = math.NaN()
			}
			s.Z.Values = append(s.Z.Values, z)
		}
	}
	s.Limit = &sweep.Limit{Value: 14, Label: "largest duty allowed, 14 %", Lines: s.Contour(14)}
	return figure.Figure{ID: "bowl", Title: "Duty over boost and lambda", Surface: &figure.Surface{
		Surface: s, View: figure.Map, Here: &sweep.Point{X: 5, Y: 0.82},
	}}
}

// flat is a map of one height, or of none where it is NaN.
func flat(height float64) figure.Figure {
	f := bowl()
	f.ID = "flat"
	n := len(f.Surface.Z.Values)
	f.Surface.Z.Values = nil
	for range n {
		f.Surface.Z.Values = append(f.Surface.Z.Values, height)
	}
	f.Surface.Limit = &sweep.Limit{Value: 14, Label: "largest duty allowed, 14 %"}
	return f
}

// headroom has a bar of every kind: short, thin, far beyond the axis, none.
func headroom() figure.Figure {
	return figure.Figure{ID: "headroom", Title: "Power at which each part runs out", Headroom: &figure.Headroom{
		Unit: "hp", Target: 640, Bars: []figure.Bar{
			{Name: "pumps", Limit: 600, Keeps: 540, Status: sizing.Short},
			{Name: "feed line with a name that never seems to end", Limit: 660, Keeps: 620, Status: sizing.Thin},
			{Name: "injectors", Limit: 3000, Keeps: 2700, Status: sizing.Carries},
			{Name: "regulator", Status: sizing.Short},
		},
	}}
}

// waves has two series of each style, with a gap in every one.
func waves() figure.Figure {
	c := &figure.Chart{X: sweep.Scale{Name: "power", Unit: "hp"}, Y: sweep.Scale{Name: "fuel flow", Unit: "lb/h"}}
	for k, style := range []figure.Style{figure.Solid, figure.Dashed, figure.Dotted, figure.Marks, figure.Solid, figure.Dashed, figure.Dotted, figure.Marks} {
		s := figure.Series{Name: fmt.Sprintf("Series number %d with a long name", k+1), Style: style}
		for i := range 30 {
			y := 100 * math.Sin(float64(i)/5+float64(k))
			if i == 12 {
				y = math.NaN()
			}
			s.Points = append(s.Points, sweep.Point{X: float64(i), Y: y})
		}
		c.Series = append(c.Series, s)
	}
	return figure.Figure{ID: "waves", Title: "Waves", Chart: c}
}
