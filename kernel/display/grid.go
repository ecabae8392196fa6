package display

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// Grid is a build with axes along which it is varied. The first axis runs along
// x, the second along y; further ones are held at one value in each figure.
//
// A grid is computed when a figure is made of it, and only as far as the figure
// shows it: the initialisers of a notebook's variables run again in every cell,
// and a large grid takes seconds.
type Grid struct {
	build sizing.Build
	here  sizing.Build // as assessed, defaults filled in
	texts []string     // the axes as given
	axes  []sweep.Axis
	made  map[string]*sweep.Grid // what has been computed, by its axes
}

// Sweep varies a build along axes, each given as text: a field, and its values
// as a range or a list.
//
//	Sweep(build, "boost = 10..30 psi by 1", "ethanol = 0..85 % in 18", "base pressure = 3, 3.5, 4 bar")
//
// Package sweep lists the fields.
func Sweep(b sizing.Build, axes ...string) *Grid { return cell.Must(newGrid(b, axes)) }

func newGrid(b sizing.Build, axes []string) (*Grid, error) {
	a, err := sizing.Assess(b)
	if err != nil {
		return nil, err
	}
	g := &Grid{build: b, here: a.Build, texts: axes, made: map[string]*sweep.Grid{}}
	var firsts []string
	for _, text := range axes {
		axis, err := sweep.ParseAxis(text)
		if err != nil {
			return nil, err
		}
		g.axes = append(g.axes, axis)
		firsts = append(firsts, at(axis, axis.Values[0]))
	}
	// The grid's first point alone shows whether the axes go together.
	_, err = sweep.Over(context.Background(), b, firsts...)
	return g, err
}

// at is the axis held at one value, as text for package sweep.
func at(a sweep.Axis, v float64) string {
	return fmt.Sprintf("%s = %v %s", a.Field, v, a.Unit)
}

// axis is the name of an axis with one of its values, for people.
func named(a sweep.Axis, v float64) string {
	return strings.TrimSpace(a.Field + " " + quantity.Digits(v, 4) + " " + a.Unit)
}

// size returns the number of points.
func (g *Grid) size() int {
	n := 1
	for _, a := range g.axes {
		n *= len(a.Values)
	}
	return n
}

// table describes the grid.
func (g *Grid) table() sizing.Table {
	t := sizing.Table{
		Caption: fmt.Sprintf("Sweep of %d points", g.size()),
		Columns: []sizing.Column{{Name: "Varied"}, {Name: "From", Numeric: true}, {Name: "To", Numeric: true}, {Name: "Values", Numeric: true}},
	}
	for _, a := range g.axes {
		t.Rows = append(t.Rows, []string{
			a.Title(), quantity.Digits(a.Values[0], 4), quantity.Digits(a.Values[len(a.Values)-1], 4), fmt.Sprint(len(a.Values)),
		})
	}
	return t
}

// cut is a computed part of a grid: its first two axes, the others held.
type cut struct {
	*sweep.Grid
	held []string     // the held axes with their values, for people
	here *sweep.Point // where the build itself lies, if it lies on this cut
}

// shown is how many axes a figure shows.
const shown = 2

// cut computes the grid over its first two axes, for a figure of a result. The
// others are held at the values given, as in "base pressure = 58 psi", or else at
// their first.
func (g *Grid) cut(r sweep.Result, held []string) (cut, error) {
	if n := len(g.axes); n < shown {
		return cut{}, fmt.Errorf("a sweep of %d axes or more is needed; this one has %d", shown, n)
	}
	rest := g.axes[shown:]
	values := make([]float64, len(rest))
	for k, a := range rest {
		values[k] = a.Values[0]
	}
	for _, text := range held {
		k, v, err := g.find(rest, text)
		if err != nil {
			return cut{}, err
		}
		values[k] = v
	}
	var c cut
	texts := slices.Clone(g.texts[:shown])
	onGrid := true
	for k, a := range rest {
		texts = append(texts, at(a, values[k]))
		c.held = append(c.held, named(a, values[k]))
		own, ok := g.own(a)
		onGrid = onGrid && ok && math.Abs(own-values[k]) <= 1e-6*math.Abs(own)
	}
	if onGrid {
		x, xok := g.own(g.axes[0])
		y, yok := g.own(g.axes[1])
		if xok && yok {
			c.here = &sweep.Point{X: x, Y: y}
		}
	}
	var err error
	c.Grid, err = g.over(r, texts)
	return c, err
}

// own is where the build itself stands on an axis.
func (g *Grid) own(a sweep.Axis) (float64, bool) {
	f, err := sizing.FieldNamed(a.Field)
	if err != nil {
		return 0, false
	}
	_, number, _, err := f.Scale(a.Unit)
	si, ok := f.Number(g.here)
	if err != nil || !ok {
		return 0, false
	}
	v := number(si)
	// Conversions leave noise in the last digits.
	if exact, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 9, 64), 64); err == nil {
		v = exact
	}
	return v, true
}

// find reads a held value and returns the number of its axis among rest.
func (g *Grid) find(rest []sweep.Axis, text string) (int, float64, error) {
	fail := func(format string, args ...any) (int, float64, error) {
		return 0, 0, fmt.Errorf("held %q: %s", text, fmt.Sprintf(format, args...))
	}
	want, err := sweep.ParseAxis(text)
	if err != nil {
		return 0, 0, err
	}
	if len(want.Values) != 1 {
		return fail("want one value")
	}
	var fields []string
	for k, a := range rest {
		fields = append(fields, a.Field)
		if a.Field != want.Field {
			continue
		}
		var list []string
		for _, v := range a.Values {
			if want.Unit == a.Unit && math.Abs(v-want.Values[0]) <= 1e-9*math.Abs(v) {
				return k, v, nil
			}
			list = append(list, quantity.Digits(v, 6))
		}
		return fail("not a value of the sweep; want one of %s %s", strings.Join(list, ", "), a.Unit)
	}
	if len(fields) == 0 {
		return fail("the figure shows every axis of the sweep; leave it out")
	}
	return fail("%s is not held here; held are %s", want.Field, strings.Join(fields, ", "))
}

// over assesses the build over axes, once for the usual results together and once
// for each other.
func (g *Grid) over(r sweep.Result, axes []string) (*sweep.Grid, error) {
	key := strings.Join(axes, "\n")
	var plan sweep.Plan
	if !slices.ContainsFunc(sweep.Usual, func(u sweep.Result) bool { return u.Name == r.Name }) {
		key += "\n" + r.Name
		plan.Results = []sweep.Result{r}
	}
	if made := g.made[key]; made != nil {
		return made, nil
	}
	for _, text := range axes {
		axis, err := sweep.ParseAxis(text)
		if err != nil {
			return nil, err
		}
		plan.Axes = append(plan.Axes, axis)
	}
	made, err := sweep.Keep(context.Background(), g.build, plan)
	if err != nil {
		return nil, err
	}
	if n, reason := made.Gaps(); n == made.Len() {
		return nil, errors.New("no point of the sweep has an answer: " + reason)
	}
	g.made[key] = made
	return made, nil
}
