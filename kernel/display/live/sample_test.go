package live_test

import (
	"math"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// The figures of these tests are invented and small, so that what is drawn can
// be told by head.

// plane is a surface z = x + y over uneven axes, with its limit at 30.
func plane(view figure.View) figure.Figure {
	s := sweep.Surface{
		Title: "a plane",
		X:     sweep.Scale{Name: "boost", Unit: "psi", Values: []float64{0, 10, 12, 20}},
		Y:     sweep.Scale{Name: "ethanol", Unit: "%", Values: []float64{0, 10, 20}},
		Z:     sweep.Scale{Name: "injector duty", Unit: "%"},
	}
	for _, y := range s.Y.Values {
		for _, x := range s.X.Values {
			s.Z.Values = append(s.Z.Values, x+y)
		}
	}
	s.Limit = &sweep.Limit{Value: 30, Label: "largest duty allowed, 30 %", Lines: s.Contour(30)}
	return figure.OfSurface("plane", s, view)
}

// pinned is the plane with the build's own place on it.
func pinned(view figure.View) figure.Figure {
	f := plane(view)
	f.Surface.Here = &sweep.Point{X: 11, Y: 15}
	return f
}

// holed is the plane with a gap at its first point and without a limit.
func holed(view figure.View) figure.Figure {
	f := plane(view)
	f.Surface.Z.Values[0] = math.NaN()
	f.Surface.Limit = nil
	return f
}

// parts is a headroom figure with one bar of each kind.
func parts() figure.Figure {
	return figure.Figure{ID: "headroom", Title: "power at which each part runs out", Alt: "Four parts.", Headroom: &figure.Headroom{
		Unit: "hp", Target: 600, Bars: []figure.Bar{
			{Name: "pumps", Limit: 720, Keeps: 655},
			{Name: "feed line", Limit: 5000, Keeps: 4500},
			{Name: "injectors", Limit: 640, Keeps: 590, Status: sizing.Thin},
			{Name: "regulator", Limit: 0, Keeps: 0, Status: sizing.Short},
		},
	}}
}

// strokes is a chart with each style, a line in two pieces and one without
// points.
func strokes() figure.Figure {
	p := func(xy ...float64) []sweep.Point {
		var list []sweep.Point
		for i := 0; i < len(xy); i += 2 {
			list = append(list, sweep.Point{X: xy[i], Y: xy[i+1]})
		}
		return list
	}
	return figure.Figure{ID: "strokes", Title: "Strokes", Alt: "Lines.", Chart: &figure.Chart{
		X: sweep.Scale{Name: "boost", Unit: "psi"}, Y: sweep.Scale{Name: "injector duty", Unit: "%"},
		Series: []figure.Series{
			{Name: "broken", Points: p(14, 40, 16, 50), Style: figure.Solid},
			{Name: "dashed", Points: p(14, 45, 30, 90), Style: figure.Dashed},
			{Name: "broken", Points: p(20, 60, 30, 80), Style: figure.Solid},
			{Name: "dotted (not met)", Points: []sweep.Point{}, Style: figure.Dotted},
			{Name: "logged", Points: p(30, 72), Style: figure.Marks},
		},
	}}
}

// all holds every kind of figure.
func all() map[string]figure.Figure {
	return map[string]figure.Figure{
		"relief":        pinned(figure.Relief),
		"relief-holed":  holed(figure.Relief),
		"map":           pinned(figure.Map),
		"map-holed":     holed(figure.Map),
		"headroom":      parts(),
		"lines":         strokes(),
		"map-of-margin": margin(),
	}
}

// margin is a map whose heights go below zero and whose limit is met nowhere.
func margin() figure.Figure {
	f := plane(figure.Map)
	for i := range f.Surface.Z.Values {
		f.Surface.Z.Values[i] -= 45
	}
	f.Surface.Z.Name = "pump margin"
	f.Surface.Limit = &sweep.Limit{Value: 0, Label: "pumps carry no more"}
	return f
}
