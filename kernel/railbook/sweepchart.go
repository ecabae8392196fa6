package main

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/railbook/kernel/display/live"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// What a page of charts holds at most: a browser draws that without a pause, and the page
// has a few megabytes.
const (
	mostCharted = 250_000 // numbers in all
	mostSide    = 250     // values of an axis of a map
	mostLayers  = 200
	mostOnLine  = 20_000 // points of a line
)

// chartable says what keeps a plan from being shown as a chart.
func chartable(p sweep.Plan) error {
	n, ok := p.Points()
	all := n * len(p.Results)
	if len(p.Axes) > 3 {
		return fmt.Errorf("--chart: a chart has three axes at most, not %d; leave an axis out and set its field in the sheet", len(p.Axes))
	}
	for k, a := range p.Axes {
		most := mostSide
		switch {
		case len(p.Axes) == 1:
			most = mostOnLine
		case k == 2:
			most = mostLayers
		}
		switch {
		case len(a.Values) < 2 && (k < 2 || len(p.Axes) == 1):
			return fmt.Errorf("--chart: %s has one value; a chart needs two or more along its first axes", a.Field)
		case len(a.Values) > most:
			return fmt.Errorf("--chart: %s values of %s are more than a page can show, which is %s there; use a coarser axis, or --out for all points",
				thousands(len(a.Values)), a.Field, thousands(most))
		}
	}
	if !ok || all > mostCharted {
		return fmt.Errorf("--chart: %s points with %s make a page too heavy for a browser; want at most %s numbers: coarser axes, fewer results, or --out for all points",
			thousands(n), plural(len(p.Results), "result"), thousands(mostCharted))
	}
	return nil
}

// picture is a figure of a sweep: the figure that is drawn still, and for three axes the
// stack that is drawn live in its stead.
type picture struct {
	figure.Figure
	stack *live.Stack
}

// pictures makes a figure for each result that has any value, and lists the others. The
// error is that of ctx.
func pictures(ctx context.Context, g *sweep.Grid) (list []picture, without []string, err error) {
	own := ownPlaces(g)
	for _, r := range g.Results {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		empty := true
		for _, v := range g.Column(r) {
			empty = empty && !number(v)
		}
		switch {
		case empty:
			without = append(without, r.Name)
		case len(g.Axes) == 1:
			list = append(list, linePicture(g, r))
		case len(g.Axes) == 2:
			list = append(list, picture{Figure: mapFigure(g, r, own, "")})
		case len(g.Axes[2].Values) == 1:
			list = append(list, picture{Figure: mapFigure(g, r, own, heldAt(g, 0), 0)})
		default:
			p, err := stackPicture(ctx, g, r, own)
			if err != nil {
				return nil, nil, err
			}
			list = append(list, p)
		}
	}
	return list, without, nil
}

// linePicture is a result along the one axis of a grid, with its limit as a level line.
func linePicture(g *sweep.Grid, r sweep.Result) picture {
	a := g.Axes[0]
	unit := r.Unit(g.Build.Job.Units)
	c := &figure.Chart{X: sweep.Scale{Name: a.Field, Unit: a.Unit}, Y: sweep.Scale{Name: r.Name, Unit: unit}}
	column := g.Column(r)
	low, high := math.Inf(1), math.Inf(-1)
	c.Series = unbroken(r.Name, a.Values, column)
	for _, v := range column {
		if number(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	alt := fmt.Sprintf("%s over %s, from %s to %s %s.", r.Name, a.Title(), quantity.Digits(low, 3), quantity.Digits(high, 3), unit)
	if v, label, ok := r.Limit(g.Build); ok {
		ends := []sweep.Point{{X: a.Values[0], Y: v}, {X: a.Values[len(a.Values)-1], Y: v}}
		c.Series = append(c.Series, figure.Series{Name: label, Points: ends, Style: figure.Dashed})
		alt += " A dashed line marks the limit: " + label + "."
	}
	return picture{Figure: figure.Figure{ID: "line-" + slug(r.Name), Title: r.Name + " over " + a.Field, Alt: alt, Chart: c}}
}

// unbroken returns the runs of a line between its gaps. A run of one point is a mark, for
// it would not be seen as a line.
func unbroken(name string, xs, ys []float64) []figure.Series {
	var list []figure.Series
	open := false
	for i, y := range ys {
		if !number(y) {
			open = false
			continue
		}
		if !open {
			list = append(list, figure.Series{Name: name, Style: figure.Solid})
			open = true
		}
		last := &list[len(list)-1]
		last.Points = append(last.Points, sweep.Point{X: xs[i], Y: y})
	}
	for i := range list {
		if len(list[i].Points) == 1 {
			list[i].Style = figure.Marks
		}
	}
	return list
}

// mapFigure is a result over the first two axes, the third, if there is one, held.
func mapFigure(g *sweep.Grid, r sweep.Result, own []place, at string, held ...int) figure.Figure {
	s := g.Surface(r, held...)
	for i, z := range s.Z.Values {
		if math.IsInf(z, 0) {
			s.Z.Values[i] = math.NaN() // no height can be drawn
		}
	}
	s.Title = fmt.Sprintf("%s over %s and %s", r.Name, g.Axes[0].Field, g.Axes[1].Field) + at
	f := figure.OfSurface("map-"+slug(r.Name), s, figure.Map)
	here := own[0].known && own[1].known
	for k, i := range held {
		v := g.Axes[2+k].Values[i]
		here = here && own[2+k].known && math.Abs(own[2+k].value-v) <= 1e-6*math.Abs(v)
	}
	if here {
		f.Surface.Here = &sweep.Point{X: own[0].value, Y: own[1].value}
	}
	return f
}

// stackPicture is a result over three axes. It starts at the layer closest to where the
// build itself lies, or else at the first that has a value.
func stackPicture(ctx context.Context, g *sweep.Grid, r sweep.Result, own []place) (picture, error) {
	third := g.Axes[2]
	s := &live.Stack{
		ID: "stack-" + slug(r.Name), Start: -1,
		Title: fmt.Sprintf("%s over %s and %s, by %s", r.Name, g.Axes[0].Field, g.Axes[1].Field, third.Field),
		Along: sweep.Scale{Name: third.Field, Unit: third.Unit, Values: third.Values},
	}
	var layers []figure.Figure
	for i, v := range third.Values {
		if err := ctx.Err(); err != nil {
			return picture{}, err
		}
		f := mapFigure(g, r, own, heldAt(g, i), i)
		layers = append(layers, f)
		s.Layers = append(s.Layers, *f.Surface)
		if low, high := f.Surface.Range(); low > high {
			continue
		}
		if s.Start < 0 || own[2].known && math.Abs(v-own[2].value) < math.Abs(third.Values[s.Start]-own[2].value) {
			s.Start = i
		}
	}
	still := layers[s.Start]
	s.Alt = fmt.Sprintf("A map for each of %d values of %s, one at a time. At %s: %s", len(layers), third.Field, s.Label(s.Start), still.Alt)
	return picture{still, s}, nil
}

// heldAt says where a layer lies: ", at base pressure 43.5 psi".
func heldAt(g *sweep.Grid, layer int) string {
	a := g.Axes[2]
	return strings.TrimRight(fmt.Sprintf(", at %s %s %s", a.Field, quantity.Digits(a.Values[layer], 4), a.Unit), " ")
}

// place is where the build itself lies on an axis, if one number tells that.
type place struct {
	value float64
	known bool
}

// ownPlaces finds where the build lies on the axes of its grid, defaults filled in.
func ownPlaces(g *sweep.Grid) []place {
	list := make([]place, len(g.Axes))
	a, err := sizing.Assess(g.Build)
	if err != nil {
		return list
	}
	for k, axis := range g.Axes {
		f, err := sizing.FieldNamed(axis.Field)
		if err != nil {
			continue
		}
		_, number, _, err := f.Scale(axis.Unit)
		si, ok := f.Number(a.Build)
		if err != nil || !ok {
			continue
		}
		// Conversions leave noise in the last digits.
		v, err := strconv.ParseFloat(strconv.FormatFloat(number(si), 'g', 9, 64), 64)
		list[k] = place{v, err == nil}
	}
	return list
}

// slug makes an ID of words: letters, digits and hyphens.
func slug(words string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(words) {
		switch {
		case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}

// capital returns text with its first letter as a capital.
func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return text
	}
	return string(unicode.ToUpper(r)) + text[n:]
}
