package display

import (
	"fmt"
	"math"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// maxLines is how many lines of one chart can be told apart.
const maxLines = 7

// dashes tell lines apart beside their colours.
var dashes = []figure.Style{figure.Solid, figure.Dashed, figure.Dotted}

// Lines is a result along the first axis of a sweep, with a line for each value
// of the second. Further axes are held as in [Surface].
func Lines(g *Grid, r sweep.Result, held ...string) figure.Figure { return cell.Must(g.lines(r, held)) }

func (g *Grid) lines(r sweep.Result, held []string) (figure.Figure, error) {
	s, err := g.cut(r, held)
	if err != nil {
		return figure.Figure{}, err
	}
	shape := s.Surface(r)
	x, y := s.Axes[0], s.Axes[1]
	low, high := shape.Range()
	switch {
	case len(y.Values) > maxLines:
		return figure.Figure{}, tooMany(y)
	case low > high:
		return figure.Figure{}, fmt.Errorf("%s has no value anywhere on this sweep", r.Name)
	}
	c := &figure.Chart{X: sweep.Scale{Name: x.Field, Unit: x.Unit}, Y: sweep.Scale{Name: shape.Z.Name, Unit: shape.Z.Unit}}
	for j, v := range y.Values {
		c.Series = append(c.Series, runs(shape, j, named(y, v), dashes[j%len(dashes)])...)
	}
	alt := fmt.Sprintf("%s over %s, a line for each value of %s, from %s to %s %s.", r.Name, x.Title(), y.Title(),
		quantity.Digits(low, 3), quantity.Digits(high, 3), shape.Z.Unit)
	if l := shape.Limit; l != nil {
		ends := []sweep.Point{{X: x.Values[0], Y: l.Value}, {X: x.Values[len(x.Values)-1], Y: l.Value}}
		c.Series = append(c.Series, figure.Series{Name: l.Label, Points: ends, Style: figure.Solid})
		alt += " A level line marks the limit: " + l.Label + "."
	}
	f := figure.Figure{
		ID:    slug(append([]string{"lines", r.Name}, s.held...)...),
		Title: fmt.Sprintf("%s over %s, by %s", r.Name, x.Field, y.Field), Alt: alt, Chart: c,
	}
	s.explain(&f)
	return f, nil
}

// runs returns the j-th row of a surface as lines that end at its gaps.
func runs(shape sweep.Surface, j int, name string, style figure.Style) []figure.Series {
	var list []figure.Series
	open := false
	for i, x := range shape.X.Values {
		p := sweep.Point{X: x, Y: shape.At(i, j)}
		switch {
		case math.IsNaN(p.Y):
			open = false
		case open:
			last := &list[len(list)-1]
			last.Points = append(last.Points, p)
		default:
			list = append(list, figure.Series{Name: name, Points: []sweep.Point{p}, Style: style})
			open = true
		}
	}
	return list
}

func tooMany(a sweep.Axis) error {
	return fmt.Errorf("%d lines, one for each value of %s, cannot be told apart; want at most %d", len(a.Values), a.Field, maxLines)
}

// LimitLines shows, over the first two axes of a sweep, the line along which a
// result reaches its limit, once for each value of the third axis: what a higher
// base pressure buys, for instance.
func LimitLines(g *Grid, r sweep.Result) figure.Figure { return cell.Must(g.limitLines(r)) }

func (g *Grid) limitLines(r sweep.Result) (figure.Figure, error) {
	if len(g.axes) != 3 {
		return figure.Figure{}, fmt.Errorf("limit lines need a sweep of 3 axes; this one has %d", len(g.axes))
	}
	third := g.axes[2]
	if len(third.Values) > maxLines {
		return figure.Figure{}, tooMany(third)
	}
	var c *figure.Chart
	var label string
	var without []string
	for k, v := range third.Values {
		s, err := g.cut(r, []string{at(third, v)})
		if err != nil {
			return figure.Figure{}, err
		}
		shape := s.Surface(r)
		if shape.Limit == nil {
			return figure.Figure{}, fmt.Errorf("%s has no limit to draw a line at", r.Name)
		}
		if c == nil {
			c = &figure.Chart{X: sweep.Scale{Name: shape.X.Name, Unit: shape.X.Unit}, Y: sweep.Scale{Name: shape.Y.Name, Unit: shape.Y.Unit}}
			label = shape.Limit.Label
		}
		line := figure.Series{Name: named(third, v), Points: []sweep.Point{}, Style: dashes[k%len(dashes)]}
		if len(shape.Limit.Lines) == 0 {
			// It keeps its place in the key, so that colours and dashes mean the
			// same in figures of other results.
			line.Name += " (not met)"
			without = append(without, named(third, v))
			c.Series = append(c.Series, line)
		}
		for _, line.Points = range shape.Limit.Lines {
			c.Series = append(c.Series, line)
		}
	}
	if len(without) == len(third.Values) {
		return figure.Figure{}, fmt.Errorf("%s does not meet its limit, %s, anywhere on this sweep", r.Name, label)
	}
	if x, y, ok := g.point(); ok {
		c.Series = append(c.Series, figure.Series{Name: "this build", Points: []sweep.Point{{X: x, Y: y}}, Style: figure.Marks})
	}
	f := figure.Figure{
		ID:    slug("limit", r.Name, "by", third.Field),
		Title: fmt.Sprintf("Where the %s meets its limit (%s), by %s", r.Name, label, third.Field),
		Alt:   fmt.Sprintf("Lines over %s and %s along which the %s meets its limit, one for each %s.", c.X.Title(), c.Y.Title(), r.Name, third.Field),
		Chart: c,
	}
	if len(without) > 0 {
		f.Alt += " It is not met at " + strings.Join(without, " and ") + "."
	}
	return f, nil
}

// point is where the build itself lies on the first two axes, if it does.
func (g *Grid) point() (x, y float64, ok bool) {
	x, okX := g.own(g.axes[0])
	y, okY := g.own(g.axes[1])
	on := func(a sweep.Axis, v float64) bool { return a.Values[0] <= v && v <= a.Values[len(a.Values)-1] }
	return x, y, okX && okY && on(g.axes[0], x) && on(g.axes[1], y)
}
