package live_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/live"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// option returns a figure's option as parsed JSON.
func option(t *testing.T, f figure.Figure) map[string]any {
	t.Helper()
	spec, err := live.Spec(f)
	if err != nil {
		t.Fatal(err)
	}
	var o map[string]any
	if err := json.Unmarshal(spec.Option, &o); err != nil {
		t.Fatal(err)
	}
	return o
}

// find follows names and indices into JSON.
func find(t *testing.T, v any, path ...any) any {
	t.Helper()
	for _, step := range path {
		switch at := step.(type) {
		case string:
			o, ok := v.(map[string]any)
			if !ok || o[at] == nil {
				t.Fatalf("no %v in the path %v", at, path)
			}
			v = o[at]
		case int:
			list, ok := v.([]any)
			if !ok || at >= len(list) {
				t.Fatalf("no index %d in the path %v", at, path)
			}
			v = list[at]
		}
	}
	return v
}

func types(t *testing.T, o map[string]any) string {
	t.Helper()
	var names []string
	for i := range find(t, o, "series").([]any) {
		names = append(names, find(t, o, "series", i, "type").(string))
	}
	return strings.Join(names, " ")
}

// What a page asks of a chart: that it can be read, says what it shows, and
// holds no code.
func TestSpecsAreGoodCharts(t *testing.T) {
	for name, f := range all() {
		t.Run(name, func(t *testing.T) {
			spec, err := live.Spec(f)
			if err != nil {
				t.Fatal(err)
			}
			raw, err := json.Marshal(spec)
			if err != nil {
				t.Fatal(err)
			}
			read, err := chart.Parse(raw)
			if err != nil {
				t.Fatal(err)
			}
			if read.ID != f.ID || read.Alt != f.Alt || !strings.EqualFold(read.Title, f.Title) || read.Title == "" {
				t.Errorf("id %q, alt %q, title %q", read.ID, read.Alt, read.Title)
			}
			if relief := f.Surface != nil && f.Surface.View == figure.Relief; read.GL != relief {
				t.Errorf("GL = %v, want %v", read.GL, relief)
			}
			for _, code := range []string{"function", "=>", "__f__", "NaN"} {
				if strings.Contains(string(raw), code) {
					t.Errorf("the chart holds %q", code)
				}
			}
		})
	}
}

func TestReliefSeries(t *testing.T) {
	o := option(t, pinned(figure.Relief))
	if got, want := types(t, o), "surface line3D line3D scatter3D"; got != want {
		t.Errorf("series are %q, want %q", got, want)
	}
	if n := len(find(t, o, "series", 0, "data").([]any)); n != 12 {
		t.Errorf("the surface has %d points, want 12", n)
	}
	if rows := find(t, o, "series", 0, "dataShape", 0); rows != 3.0 {
		t.Errorf("the surface has %v rows, want 3", rows)
	}
	// The second point of the first row: x runs fastest.
	if x := find(t, o, "series", 0, "data", 1, "value", 0); x != 10.0 {
		t.Errorf("the second point lies at x = %v, want 10", x)
	}
	// The limit lies on the plane, a little above it.
	for i := range find(t, o, "series", 1, "data").([]any) {
		p := find(t, o, "series", 1, "data", i, "value")
		x, y, z := find(t, p, 0).(float64), find(t, p, 1).(float64), find(t, p, 2).(float64)
		if math.Abs(x+y-30) > 1e-9 || z < 30 || z > 30.5 {
			t.Errorf("the limit passes through %v, want x + y = 30 and z from 30 to 30.5", p)
		}
	}
	// The pin stands on the plane at 11 + 15.
	if foot := find(t, o, "series", 2, "data", 0, "value", 2).(float64); math.Abs(foot-26) > 1e-9 {
		t.Errorf("the pin stands at %v, want 26", foot)
	}
}

// Without a line height the extension cuts the text of 3D axes.
func TestReliefTextHasALineHeight(t *testing.T) {
	o := option(t, plane(figure.Relief))
	if h := find(t, o, "grid3D", "axisLabel", "textStyle", "lineHeight"); h != 24.0 {
		t.Errorf("axis labels have line height %v, want 24", h)
	}
	for _, axis := range []string{"xAxis3D", "yAxis3D", "zAxis3D"} {
		if h := find(t, o, axis, "nameTextStyle", "lineHeight"); h != 24.0 {
			t.Errorf("the name of %s has line height %v, want 24", axis, h)
		}
	}
}

func TestAxesNameTheirUnits(t *testing.T) {
	o := option(t, plane(figure.Map))
	if got := find(t, o, "xAxis", 0, "name"); got != "Boost in psi" {
		t.Errorf("the x axis is called %q", got)
	}
	spec, err := live.Spec(plane(figure.Map))
	if err != nil {
		t.Fatal(err)
	}
	if want := (chart.Axes{X: "psi", Y: "%", Z: "%"}); spec.Units != want {
		t.Errorf("units %+v, want %+v", spec.Units, want)
	}
	if want := (chart.Axes{X: "boost", Y: "ethanol", Z: "injector duty"}); spec.Names != want {
		t.Errorf("names %+v, want %+v", spec.Names, want)
	}
}

// The lines of a map run on hidden value axes that count the cells: a point of
// the limit at x = 11, halfway from the second value, 10, to the third, 12, has
// to lie at 1.5.
func TestMapLinesLieOnTheCells(t *testing.T) {
	o := option(t, pinned(figure.Map))
	for axis, n := range map[string]int{"xAxis": 4, "yAxis": 3} {
		if got := len(find(t, o, axis, 0, "data").([]any)); got != n {
			t.Errorf("%s has %d categories, want %d", axis, got, n)
		}
		low, high := find(t, o, axis, 1, "min"), find(t, o, axis, 1, "max")
		if low != -0.5 || high != float64(n)-0.5 {
			t.Errorf("the hidden %s runs from %v to %v, want -0.5 to %v", axis, low, high, float64(n)-0.5)
		}
	}
	x := []float64{0, 10, 12, 20}
	at := func(list []float64, place float64) float64 {
		i := min(int(place), len(list)-2)
		return list[i] + (place-float64(i))*(list[i+1]-list[i])
	}
	series := find(t, o, "series").([]any)
	if find(t, series, 0, "type") != "heatmap" {
		t.Errorf("the first series is a %v, want the cells", find(t, series, 0, "type"))
	}
	limit := 0
	for i := 1; i < len(series); i++ {
		if find(t, series, i, "xAxisIndex") != 1.0 || find(t, series, i, "yAxisIndex") != 1.0 {
			t.Errorf("series %d lies on the cells' own axes", i)
		}
		if find(t, series, i, "name") != "largest duty allowed, 30 %" {
			continue
		}
		limit++
		for _, p := range find(t, series, i, "data").([]any) {
			px, py := find(t, p, "value", 0).(float64), find(t, p, "value", 1).(float64)
			if sum := at(x, px) + at([]float64{0, 10, 20}, py); math.Abs(sum-30) > 1e-4 {
				t.Errorf("the limit passes through cell %v, %v, where the plane is %v", px, py, sum)
			}
		}
	}
	if limit != 2 {
		t.Errorf("%d lines for the limit, want one and its edge", limit)
	}
	last := series[len(series)-1]
	if find(t, last, "name") != "this build" || find(t, last, "data", 0, "value", 0) != 1.5 || find(t, last, "data", 0, "value", 1) != 1.5 {
		t.Errorf("the build's mark is %v, want it at 1.5, 1.5", last)
	}
}

func TestGapsAreLeftOut(t *testing.T) {
	for _, view := range []figure.View{figure.Relief, figure.Map} {
		p := find(t, option(t, holed(view)), "series", 0, "data", 0, "value").([]any)
		if p[2] != nil {
			t.Errorf("%s: the gap has the height %v", view, p[2])
		}
		title := find(t, option(t, holed(view)), "title", "text").(string)
		if !strings.Contains(title, "no answer") {
			t.Errorf("%s: the heading %q does not explain the gap", view, title)
		}
	}
}

func TestHeadingTellsOfALimitThatIsNotMet(t *testing.T) {
	title := find(t, option(t, margin()), "title", "text").(string)
	if want := "pumps carry no more: not met here"; !strings.Contains(title, want) {
		t.Errorf("heading %q, want it to say %q", title, want)
	}
}

func TestHeadroomSaysWhatBecomesOfEachPart(t *testing.T) {
	o := option(t, parts())
	for i, want := range []string{"● carries to 720 hp", "● carries to 5000 hp", "◐ thin to 640 hp", "○ short at any power"} {
		if got := find(t, o, "yAxis", 1, "data", i); got != want {
			t.Errorf("bar %d: %q, want %q", i, got, want)
		}
	}
	// Bars count from zero and the axis ends at twice the target at most.
	if to := find(t, o, "xAxis", 0, "max").(float64); to != 1200 {
		t.Errorf("the axis ends at %v, want 1200", to)
	}
	if got := find(t, o, "series", 1, "markLine", "data", 0, "xAxis"); got != 600.0 {
		t.Errorf("the target is drawn at %v", got)
	}
}

func TestLinesOfOneNameShareAColour(t *testing.T) {
	o := option(t, strokes())
	if got, want := types(t, o), "line line line line scatter"; got != want {
		t.Fatalf("series are %q, want %q", got, want)
	}
	colour := func(i int) any { return find(t, o, "series", i, "lineStyle", "color") }
	if colour(0) != colour(2) || colour(0) == colour(1) {
		t.Errorf("colours %v, %v, %v: want the first and the third alike", colour(0), colour(1), colour(2))
	}
	for i, want := range []string{"solid", "dashed", "solid", "dotted"} {
		if got := find(t, o, "series", i, "lineStyle", "type"); got != want {
			t.Errorf("series %d is %v, want %v", i, got, want)
		}
	}
	// The mark at 30 keeps off the frame, which would have been there.
	if to := find(t, o, "xAxis", 0, "max").(float64); to <= 30 {
		t.Errorf("the axis ends at %v, want it beyond 30", to)
	}
}

func TestErrors(t *testing.T) {
	surface := func(change func(*figure.Surface)) figure.Figure {
		f := plane(figure.Map)
		change(f.Surface)
		return f
	}
	for name, tc := range map[string]struct {
		f    figure.Figure
		want string
	}{
		"nothing":         {figure.Figure{ID: "x"}, `figure "x": it holds neither`},
		"view":            {surface(func(s *figure.Surface) { s.View = "side" }), `unknown view "side"`},
		"one column":      {surface(func(s *figure.Surface) { s.X.Values = s.X.Values[:1] }), `the axis "boost" has 1 values`},
		"falling axis":    {surface(func(s *figure.Surface) { s.Y.Values[2] = 5 }), `value 3 of the axis "ethanol", 5`},
		"heights missing": {surface(func(s *figure.Surface) { s.Z.Values = s.Z.Values[1:] }), "has 11 heights; its axes want 12"},
		"gaps only": {surface(func(s *figure.Surface) {
			for i := range s.Z.Values {
				s.Z.Values[i] = math.NaN()
			}
		}), "no point of the surface has a value"},
		"infinite height": {surface(func(s *figure.Surface) { s.Z.Values[3] = math.Inf(1) }), "infinite"},
		"no bars":         {figure.Figure{Headroom: &figure.Headroom{Target: 1}}, "no part depends on power"},
		"no target":       {figure.Figure{Headroom: &figure.Headroom{Bars: []figure.Bar{{}}}}, "the target is 0"},
		"bar of no power": {figure.Figure{Headroom: &figure.Headroom{Target: 1, Bars: []figure.Bar{{Name: "x", Limit: math.NaN()}}}}, `bar "x"`},
		"no points":       {figure.Figure{Chart: &figure.Chart{}}, "no series has a point"},
		"style":           {figure.Figure{Chart: &figure.Chart{Series: []figure.Series{{Name: "x", Style: "wavy"}}}}, `no style "wavy"`},
		"infinite point":  {figure.Figure{Chart: &figure.Chart{Series: []figure.Series{{Name: "x", Style: figure.Solid, Points: []sweep.Point{{X: math.Inf(1)}}}}}}, "point 1"},
	} {
		t.Run(name, func(t *testing.T) {
			spec, err := live.Spec(tc.f)
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("error %v, want it to say %q", err, tc.want)
			}
			if spec.Option != nil {
				t.Error("there is a chart all the same")
			}
		})
	}
}
