package display

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// Plot shows lines and dots over common axes, each axis named with its unit behind "in":
//
//	Plot("Density as it warms", "temperature in °C", "density in kg/m³",
//		Curve("E70", -10, 60, func(t float64) float64 { return float64(e70.Density(quantity.Celsius(t))) }))
func Plot(title, x, y string, series ...figure.Series) figure.Figure {
	return cell.Must(plot(title, x, y, series))
}

func plot(title, x, y string, series []figure.Series) (figure.Figure, error) {
	if len(series) == 0 || len(series) > maxLines {
		return figure.Figure{}, fmt.Errorf("plot %q has %d lines; want 1 to %d, so that they can be told apart", title, len(series), maxLines)
	}
	if slug(title) == "" {
		return figure.Figure{}, fmt.Errorf("plot %q: want a title in letters", title)
	}
	c := &figure.Chart{X: scale(x), Y: scale(y)}
	lines := 0
	var says []string
	for _, s := range series {
		if len(s.Points) == 0 {
			return figure.Figure{}, fmt.Errorf("plot %q: %q has no points", title, s.Name)
		}
		for _, p := range s.Points {
			if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
				return figure.Figure{}, fmt.Errorf("plot %q: %q is %v at %v; want finite numbers", title, s.Name, p.Y, p.X)
			}
		}
		if s.Style != figure.Marks {
			s.Style = dashes[lines%len(dashes)]
			lines++
		}
		c.Series = append(c.Series, s)
		first, last := s.Points[0], s.Points[len(s.Points)-1]
		says = append(says, fmt.Sprintf("%s from %s to %s", s.Name, quantity.Digits(first.Y, 3), quantity.Digits(last.Y, 3)))
	}
	alt := fmt.Sprintf("%s over %s: %s.", c.Y.Title(), c.X.Title(), strings.Join(says, ", "))
	return figure.Figure{ID: slug("plot", title), Title: title, Alt: alt, Chart: c}, nil
}

// scale reads the name of an axis with its unit: "boost in psi".
func scale(text string) sweep.Scale {
	k := strings.LastIndex(text, " in ")
	if k < 0 {
		return sweep.Scale{Name: strings.TrimSpace(text)}
	}
	return sweep.Scale{Name: strings.TrimSpace(text[:k]), Unit: strings.TrimSpace(text[k+len(" in "):])}
}

// curvePoints is how many a curve is drawn through.
const curvePoints = 61

// Curve is a line of a [Plot]: a function of x between two ends.
func Curve(name string, from, to float64, f func(float64) float64) figure.Series {
	if !(from < to) {
		cell.Fail(fmt.Errorf("curve %q goes from %v to %v; want the lesser end first", name, from, to))
	}
	s := figure.Series{Name: name, Style: figure.Solid}
	for k := range curvePoints {
		x := from + (to-from)*float64(k)/(curvePoints-1)
		s.Points = append(s.Points, sweep.Point{X: x, Y: f(x)})
	}
	return s
}

// Dots are loose marks of a [Plot], given as x and y in turn.
func Dots(name string, xy ...float64) figure.Series {
	if len(xy) == 0 || len(xy)%2 != 0 {
		cell.Fail(errors.New("dots " + name + ": want x and y in turn"))
	}
	s := figure.Series{Name: name, Style: figure.Marks}
	for k := 0; k < len(xy); k += 2 {
		s.Points = append(s.Points, sweep.Point{X: xy[k], Y: xy[k+1]})
	}
	return s
}
