package report

import (
	"context"
	"fmt"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

// Figures returns the figures of a report on a build: the headroom of its parts,
// pump delivery against demand, and maps of fuel demand, injector duty and pump
// margin around the build, in the units of its sheet. Boost is one axis of the
// maps, or power where the engine is not boosted; ethanol content is another
// where the fuel is of gasoline and ethanol, and lambda takes its place in the
// map of demand where it is not. The error is that of [sizing.Assess], or ctx's
// where it ends first.
func Figures(ctx context.Context, b sizing.Build) ([]figure.Figure, error) {
	a, err := sizing.Assess(b)
	if err != nil {
		return nil, err
	}
	return figures(ctx, a)
}

func figures(ctx context.Context, a *sizing.Assessment) ([]figure.Figure, error) {
	delivery, err := deliveryFigure(a)
	if err != nil {
		return nil, err
	}
	list := []figure.Figure{figure.OfHeadroom("headroom", a), delivery}
	m := mapper{ctx: ctx, build: a.Build}
	drive, pressure := driveAxis(a), pressureAxis(a)
	if content, ok := contentAxis(a); ok {
		m.over(drive, content)
		m.add("fuel-demand", "Fuel demand", sweep.FuelVolume)
		m.add("duty-content", "Injector duty", sweep.Duty)
		m.over(content, pressure)
		m.add("duty-pressure", "Injector duty", sweep.Duty)
		m.over(drive, pressure)
	} else {
		m.over(drive, lambdaAxis(a))
		m.add("fuel-demand", "Fuel demand", sweep.FuelVolume)
		m.over(drive, pressure)
		m.add("duty-pressure", "Injector duty", sweep.Duty)
	}
	m.add("pump-margin", "Pump margin", sweep.PumpMargin)
	return append(list, m.figures...), m.err
}

// mapper makes maps, several of one grid, until an error stops it.
type mapper struct {
	ctx     context.Context
	build   sizing.Build
	grid    *sweep.Grid
	x, y    scope
	figures []figure.Figure
	err     error
}

// over computes the grid that the next maps show.
func (m *mapper) over(x, y scope) {
	if m.err == nil {
		m.x, m.y = x, y
		m.grid, m.err = sweep.Over(m.ctx, m.build, x.text(), y.text())
	}
}

// add makes a map of a result over the grid.
func (m *mapper) add(id, name string, r sweep.Result) {
	if m.err != nil {
		return
	}
	s := m.grid.Surface(r)
	s.Title = fmt.Sprintf("%s over %s and %s", name, m.x.name, m.y.name)
	f := figure.OfSurface(id, s, figure.Map)
	f.Surface.Here = &sweep.Point{X: m.x.here, Y: m.y.here}
	m.figures = append(m.figures, f)
}
