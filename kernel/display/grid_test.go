package display

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

func bench(t *testing.T) sizing.Build {
	t.Helper()
	b, err := sizing.Open("testdata/bench.toml")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// near tells whether two numbers agree to one part in a million.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Max(math.Abs(a), math.Abs(b)) }

// A grid is computed when something is read off it, as far as it is read, and
// once.
func TestGridIsComputedWhenNeeded(t *testing.T) {
	g := Sweep(bench(t), "boost = 1..2 bar by 0.1", "ethanol = 0..80 % by 20", "base pressure = 3, 4 bar")
	if len(g.made) != 0 {
		t.Fatalf("%d cuts are computed before anything is shown", len(g.made))
	}
	Surface(g, sweep.FuelMass)
	Map(g, sweep.Duty)
	if len(g.made) != 1 {
		t.Errorf("%d cuts are computed for two figures of the same, want 1", len(g.made))
	}
	Map(g, sweep.Duty, "base pressure = 4 bar")
	if len(g.made) != 2 {
		t.Errorf("%d cuts are computed for two base pressures, want 2", len(g.made))
	}
	for _, made := range g.made {
		if made.Len() != 11*5 {
			t.Errorf("a cut has %d points, want 55", made.Len())
		}
	}
}

// Any result can be drawn, also those that a sweep holds only where it is asked for them.
func TestResultsBeyondTheUsual(t *testing.T) {
	b := bench(t)
	g := Sweep(b, "boost = 1, 1.5 bar", "ethanol = 0, 50, 85 %")
	Map(g, sweep.Duty)
	f := Lines(g, sweep.AirRoute)
	want := sweep.AirRoute.Of(Assess(With(b, "boost = 1.5 bar, ethanol = 85 %")))
	if s := f.Chart.Series; len(s) != 3 || !near(s[2].Points[1].Y, want) {
		t.Errorf("%d lines, the last ends at %v, want %v", len(s), s[len(s)-1].Points, want)
	}
	if Map(g, sweep.PulseWidth).Surface == nil || len(g.made) != 3 {
		t.Errorf("%d cuts are computed for the usual results and two others, want 3", len(g.made))
	}
}

// What a figure shows is what an assessment of the changed build says.
func TestSurfaceAgreesWithAssess(t *testing.T) {
	b := bench(t)
	f := Map(Sweep(b, "boost = 1..2 bar by 0.5", "ethanol = 0, 50, 85 %", "base pressure = 3, 4 bar"), sweep.Duty, "base pressure = 4 bar")
	for i, boost := range []string{"1 bar", "1.5 bar", "2 bar"} {
		for j, content := range []string{"0 %", "50 %", "85 %"} {
			a := Assess(With(b, "base pressure = 4 bar, boost = "+boost+", ethanol = "+content))
			if got, want := f.Surface.At(i, j), 100*float64(a.Injection.Duty); !near(got, want) {
				t.Errorf("%s, %s: duty %v on the map, %v by itself", boost, content, got, want)
			}
		}
	}
}

// The build's own place is marked where it lies on the figure, and only there.
func TestHere(t *testing.T) {
	b := bench(t)
	for name, tc := range map[string]struct {
		build sizing.Build
		axes  []string
		held  []string
		want  *sweep.Point
	}{
		"on it":            {b, []string{"boost = 1..2 bar by 0.5", "ethanol = 0, 85 %"}, nil, &sweep.Point{X: 1.3, Y: 50}},
		"other units":      {b, []string{"boost = 100..200 kPa by 50", "base pressure = 200..400 kPa by 100"}, nil, &sweep.Point{X: 130, Y: 300}},
		"held at its own":  {b, []string{"boost = 1, 2 bar", "ethanol = 0, 85 %", "base pressure = 3, 4 bar"}, nil, &sweep.Point{X: 1.3, Y: 50}},
		"held elsewhere":   {b, []string{"boost = 1, 2 bar", "ethanol = 0, 85 %", "base pressure = 3, 4 bar"}, []string{"base pressure = 4 bar"}, nil},
		"a default":        {b, []string{"boost = 1, 2 bar", "fuel temperature = 20, 40 degC"}, nil, &sweep.Point{X: 1.3, Y: 30}},
		"no ethanol blend": {With(b, "blend = M50"), []string{"boost = 1, 2 bar", "ethanol = 0, 85 %"}, nil, nil},
	} {
		t.Run(name, func(t *testing.T) {
			got := Map(Sweep(tc.build, tc.axes...), sweep.Duty, tc.held...).Surface.Here
			switch {
			case got == nil && tc.want == nil:
			case got == nil || tc.want == nil || !near(got.X, tc.want.X) || !near(got.Y, tc.want.Y):
				t.Errorf("marked at %+v, want %+v", got, tc.want)
			}
		})
	}
}

func TestWith(t *testing.T) {
	b := bench(t)
	c := With(b, "boost = 1.6 bar; base_pressure = 58 psi, Blend = E85, injector flow = 2000 cc/min at 3 bar on n-heptane")
	want := b.AtBoost(1.6 * quantity.BarDiff).WithBasePressure(58 * quantity.PSI)
	if !near(float64(c.Target.Power), float64(want.Target.Power)) || c.Regulator != want.Regulator || c.Fuel.Blend.String() != "E85" {
		t.Errorf("got power %v, base pressure %v, blend %v", c.Target.Power, c.Regulator.BasePressure, c.Fuel.Blend)
	}
	if got := c.Injectors.Flow.Volume().In(quantity.CCPerMinute); !near(got, 2000) {
		t.Errorf("the injectors flow %v cc/min, want 2000", got)
	}
	if b.Fuel.Blend.String() != "E50" {
		t.Error("the build itself has changed")
	}
}

func TestCompare(t *testing.T) {
	b := bench(t)
	table := Compare(b, "boost = 1.6 bar", "blend = E85,base pressure=4 bar")
	for i, want := range []string{"as it stands", "boost 1.6 bar", "blend E85, base pressure 4 bar"} {
		if got := table.Rows[i][0]; got != want {
			t.Errorf("row %d is called %q, want %q", i, got, want)
		}
	}
	a := Assess(With(b, "boost = 1.6 bar"))
	weakest := a.Weakest()
	row := table.Rows[1]
	if row[4] != weakest.Kind.String() || row[5] != format(weakest.Limit, quantity.SI) || table.Status[1] != a.Status() {
		t.Errorf("row %q, want %v at %v", row, weakest.Kind, weakest.Limit)
	}
}

// The line of a limit is drawn for each value of the third axis, in its order,
// so that colours mean the same in every figure of the sweep.
func TestLimitLines(t *testing.T) {
	g := Sweep(bench(t), "boost = 1..2.2 bar by 0.1", "ethanol = 0..85 % by 5", "base pressure = 3, 3.5, 7 bar")
	f := LimitLines(g, sweep.Duty)
	var names []string
	for _, s := range f.Chart.Series {
		names = append(names, s.Name)
		for _, p := range s.Points {
			if s.Style == figure.Marks {
				continue
			}
			// On the line the injectors are at their limit; the line is exact on
			// the grid and interpolated in between.
			held := strings.TrimPrefix(s.Name, "base pressure ")
			change := "base pressure = " + held + ", boost = " + quantity.Digits(p.X, 9) + " bar, ethanol = " + quantity.Digits(p.Y, 9) + " %"
			if duty := float64(Assess(With(bench(t), change)).Injection.Duty); math.Abs(duty-0.85) > 0.001 {
				t.Errorf("%s: duty %v on the line of 0.85", change, duty)
			}
		}
	}
	if got, want := strings.Join(names, ", "), "base pressure 3 bar, base pressure 3.5 bar, base pressure 7 bar (not met), this build"; got != want {
		t.Errorf("lines %q, want %q", got, want)
	}
	if !strings.Contains(f.Alt, "not met at base pressure 7 bar") {
		t.Errorf("alt %q", f.Alt)
	}
}

func TestLines(t *testing.T) {
	f := Lines(Sweep(bench(t), "boost = 1..2 bar by 0.1", "base pressure = 3, 4 bar"), sweep.Duty)
	if len(f.Chart.Series) != 3 {
		t.Fatalf("%d lines, want one for each base pressure and the limit", len(f.Chart.Series))
	}
	limit := f.Chart.Series[2]
	if limit.Points[0].Y != 85 || limit.Points[1].X != 2 {
		t.Errorf("the limit is drawn through %v", limit.Points)
	}
	for i, p := range f.Chart.Series[0].Points {
		if q := f.Chart.Series[1].Points[i]; p.X != q.X || !(q.Y < p.Y) {
			t.Errorf("at %v the higher base pressure asks for the duty %v, the lower for %v", p.X, q.Y, p.Y)
		}
	}
}

// Lines end at gaps, and every figure goes into JSON.
func TestRunsEndAtGaps(t *testing.T) {
	nan := math.NaN()
	s := sweep.Surface{
		X: sweep.Scale{Values: []float64{1, 2, 3, 4, 5, 6}}, Y: sweep.Scale{Values: []float64{1, 2}},
		Z: sweep.Scale{Values: []float64{0, 0, 0, 0, 0, 0, nan, 1, 2, nan, nan, 3}},
	}
	list := runs(s, 1, "x", figure.Dashed)
	if len(list) != 2 || len(list[0].Points) != 2 || len(list[1].Points) != 1 || list[1].Points[0] != (sweep.Point{X: 6, Y: 3}) {
		t.Errorf("runs %+v", list)
	}
	if _, err := json.Marshal(list); err != nil {
		t.Error(err)
	}
}

func TestSlug(t *testing.T) {
	for words, want := range map[string]string{
		"map injector duty base pressure 43.5 psi": "map-injector-duty-base-pressure-43-5-psi",
		"  λ = 0.8 (lean!)":                        "0-8-lean",
		"":                                         "",
	} {
		if got := slug(words); got != want {
			t.Errorf("%q: %q, want %q", words, got, want)
		}
	}
}
