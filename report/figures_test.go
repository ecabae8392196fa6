package report_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

func figuresOf(t *testing.T, b sizing.Build) []figure.Figure {
	t.Helper()
	list, err := report.Figures(context.Background(), b)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func byID(t *testing.T, list []figure.Figure, id string) figure.Figure {
	t.Helper()
	i := slices.IndexFunc(list, func(f figure.Figure) bool { return f.ID == id })
	if i < 0 {
		t.Fatalf("there is no figure %q", id)
	}
	return list[i]
}

func TestFiguresFollowTheBuild(t *testing.T) {
	for _, c := range []struct {
		sheet string
		want  []string // id: x, y
	}{
		{demoSheet, []string{"fuel-demand: boost, ethanol", "duty-content: boost, ethanol", "duty-pressure: ethanol, base pressure", "pump-margin: boost, base pressure"}},
		{aspiratedSheet, []string{"fuel-demand: power, ethanol", "duty-content: power, ethanol", "duty-pressure: ethanol, base pressure", "pump-margin: power, base pressure"}},
		{methanolSheet, []string{"fuel-demand: boost, lambda", "duty-pressure: boost, base pressure", "pump-margin: boost, base pressure"}},
	} {
		var got []string
		for _, f := range figuresOf(t, open(t, c.sheet)) {
			if f.Surface != nil {
				got = append(got, f.ID+": "+f.Surface.X.Name+", "+f.Surface.Y.Name)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: maps %q, want %q", c.sheet, got, c.want)
		}
	}
}

// Over many builds: every figure can be drawn, its axes have a sensible number of
// values, and the build itself lies on every map, which there shows the build's
// own results.
func TestFiguresSurroundTheBuild(t *testing.T) {
	var builds []sizing.Build
	for _, sheet := range sheets {
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			b := open(t, sheet)
			b.Job.Units = sys
			builds = append(builds, b)
		}
	}
	demo := open(t, demoSheet)
	for _, boost := range []quantity.PressureDiff{0.3 * quantity.PSI, 3 * quantity.PSI, 95 * quantity.PSI} {
		builds = append(builds, demo.AtBoost(boost))
	}
	for _, p := range []quantity.PressureDiff{11 * quantity.PSI, 149 * quantity.PSI} {
		builds = append(builds, demo.WithBasePressure(p))
	}
	for _, content := range []quantity.VolumeFraction{0, 0.85, 0.99, 1} {
		f, err := fuel.Ethanol(content)
		if err != nil {
			t.Fatal(err)
		}
		builds = append(builds, demo.WithBlend(f))
	}
	for _, b := range builds {
		a := assessed(t, b)
		for _, f := range figuresOf(t, b) {
			if _, err := draw.PNG(f, draw.Options{DPI: 60}); err != nil {
				t.Errorf("%s: %v", a.Build.Job.Name, err)
			}
			if f.Alt == "" || f.Title == "" {
				t.Errorf("figure %s has no words", f.ID)
			}
			if f.Surface != nil {
				checkMap(t, a, f)
			}
		}
	}
}

func checkMap(t *testing.T, a *sizing.Assessment, f figure.Figure) {
	t.Helper()
	s := f.Surface
	for _, axis := range []sweep.Scale{s.X, s.Y} {
		if n := len(axis.Values); n < 6 || n > 60 {
			t.Errorf("%s: %d values of %s, %v", f.ID, n, axis.Name, axis.Values)
		}
	}
	x, y := s.X.Values, s.Y.Values
	if s.Here == nil || s.Here.X < x[0] || s.Here.X > x[len(x)-1] || s.Here.Y < y[0] || s.Here.Y > y[len(y)-1] {
		t.Errorf("%s: the build lies at %v, off the map of %v to %v by %v to %v", f.ID, s.Here, x[0], x[len(x)-1], y[0], y[len(y)-1])
		return
	}
	i, j := cell(x, s.Here.X), cell(y, s.Here.Y)
	low, high := math.Inf(1), math.Inf(-1)
	for _, z := range []float64{s.At(i, j), s.At(i+1, j), s.At(i, j+1), s.At(i+1, j+1)} {
		if math.IsNaN(z) {
			return
		}
		low, high = min(low, z), max(high, z)
	}
	own := map[string]float64{
		"fuel-demand":   quantity.Number(a.Demand.Volume, a.Build.Job.Units),
		"duty-content":  100 * float64(a.Injection.Duty),
		"duty-pressure": 100 * float64(a.Injection.Duty),
		"pump-margin":   100 * float64(a.Parts[0].Margin),
	}[f.ID]
	// The results rise or fall across a cell, a little more than the corners say
	// where they bend.
	if slack := 0.02*(high-low) + 1e-6*math.Abs(own); own < low-slack || own > high+slack {
		t.Errorf("%s of %q: the build has %v, the map around it %v to %v", f.ID, a.Build.Job.Name, own, low, high)
	}
}

// cell returns the place of the grid cell that holds v.
func cell(values []float64, v float64) int {
	i, found := slices.BinarySearch(values, v)
	if !found {
		i--
	}
	return max(0, min(i, len(values)-2))
}

// The pumps' curve and the pressure needed meet where the solver found the pumps
// to work, as long as the regulator holds: two ways to one result.
func TestDeliveryCurvesMeetAtTheOperatingPoint(t *testing.T) {
	f := byID(t, figuresOf(t, open(t, demoSheet)), "pump-delivery")
	supply, need, at := f.Chart.Series[0].Points, f.Chart.Series[1].Points, f.Chart.Series[3].Points[0]
	along := func(points []sweep.Point, key, value func(sweep.Point) float64, k float64) float64 {
		for i := 1; i < len(points); i++ {
			if a, b := key(points[i-1]), key(points[i]); a <= k && k <= b {
				return value(points[i-1]) + (k-a)/(b-a)*(value(points[i])-value(points[i-1]))
			}
		}
		t.Fatalf("%v is off the curve", k)
		return 0
	}
	x, y := func(p sweep.Point) float64 { return p.X }, func(p sweep.Point) float64 { return p.Y }
	if got := along(supply, x, y, at.X); math.Abs(got-at.Y) > 0.002*at.Y {
		t.Errorf("at %v psi the pumps' curve gives %v gal/h, the assessment %v", at.X, got, at.Y)
	}
	if got := along(need, y, x, at.Y); math.Abs(got-at.X) > 0.002*at.X {
		t.Errorf("at %v gal/h the other curve needs %v psi, the assessment %v", at.Y, got, at.X)
	}
}

func TestFiguresErrors(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := report.Figures(ctx, open(t, demoSheet)); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want context.Canceled", err)
	}
	var be *sizing.BuildError
	if _, err := report.Figures(context.Background(), sizing.Build{}); !errors.As(err, &be) || !strings.Contains(err.Error(), "engine") {
		t.Errorf("error %v, want a *sizing.BuildError", err)
	}
}
