package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/display/live"
	"example.com/railbook/kernel/page/pagetest"
	"example.com/railbook/kernel/scripts"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
)

func gridOf(t *testing.T, results []sweep.Result, axes ...string) *sweep.Grid {
	t.Helper()
	b, err := sizing.Open(turbo)
	if err != nil {
		t.Fatal(err)
	}
	p := sweep.Plan{Results: results}
	for _, text := range axes {
		a, err := sweep.ParseAxis(text)
		if err != nil {
			t.Fatal(err)
		}
		p.Axes = append(p.Axes, a)
	}
	g, err := sweep.Keep(t.Context(), b, p)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func picturesOf(t *testing.T, g *sweep.Grid) []picture {
	t.Helper()
	list, without, err := pictures(t.Context(), g)
	if err != nil || len(without) > 0 || len(list) != len(g.Results) {
		t.Fatalf("%d pictures, without %q, %v", len(list), without, err)
	}
	return list
}

// A line ends at a gap; a point between gaps is a mark.
func TestUnbroken(t *testing.T) {
	nan := math.NaN()
	var got []string
	for _, s := range unbroken("x", []float64{0, 1, 2, 3, 4, 5, 6}, []float64{nan, 10, 11, nan, 12, math.Inf(1), nan}) {
		got = append(got, fmt.Sprint(s.Name, s.Style, s.Points))
	}
	if want := "xsolid[{1 10} {2 11}]|xmarks[{4 12}]"; strings.Join(got, "|") != want {
		t.Errorf("runs %s, want %s", strings.Join(got, "|"), want)
	}
}

func TestLinePicture(t *testing.T) {
	g := gridOf(t, []sweep.Result{sweep.Duty}, "boost = 0..20 psi by 5")
	f := picturesOf(t, g)[0]
	series := f.Chart.Series
	if len(series) != 2 || len(series[0].Points) != 4 || series[1].Style != figure.Dashed || series[1].Points[0] != (sweep.Point{X: 0, Y: 85}) {
		t.Errorf("series %+v, want a line of 4 points and the limit at 85 %%", series)
	}
	if want := "injector duty over boost in psi, from "; f.Title != "injector duty over boost" || !strings.HasPrefix(f.Alt, want) || f.Chart.Y.Unit != "%" {
		t.Errorf("title %q, alt %q", f.Title, f.Alt)
	}
}

// The build itself is marked where it lies on a map: at 22 psi, 70 % and 43.5 psi.
func TestPicturesMarkTheBuild(t *testing.T) {
	f := picturesOf(t, gridOf(t, []sweep.Result{sweep.Duty}, "boost = 0..30 psi by 10", "ethanol = 0..80 % by 40"))[0]
	if f.stack != nil || f.Surface.Here == nil || *f.Surface.Here != (sweep.Point{X: 22, Y: 70}) || f.Surface.Limit.Value != 85 {
		t.Errorf("map %+v", f.Surface)
	}
	s := picturesOf(t, gridOf(t, []sweep.Result{sweep.Duty}, "boost = 0..30 psi by 10", "ethanol = 0..80 % by 40", "base pressure = 36, 43.5, 50 psi"))[0].stack
	for i, l := range s.Layers {
		if (l.Here != nil) != (i == 1) {
			t.Errorf("layer %d marks the build at %v", i, l.Here)
		}
	}
	if s.Start != 1 || s.Label(1) != "43.5 psi" || s.Title != "injector duty over boost and ethanol, by base pressure" {
		t.Errorf("the stack %q starts at layer %d, %s", s.Title, s.Start, s.Label(s.Start))
	}
	// A third axis of one value needs no slider.
	one := picturesOf(t, gridOf(t, []sweep.Result{sweep.Duty}, "boost = 0..30 psi by 10", "ethanol = 0..80 % by 40", "base pressure = 43.5 psi"))[0]
	if one.stack != nil || one.Surface.Here == nil || one.Title != "injector duty over boost and ethanol, at base pressure 43.5 psi" {
		t.Errorf("map %q of a held axis marks the build at %v", one.Title, one.Surface.Here)
	}
}

// The heights of a stack are those of its grid.
func TestStackHeights(t *testing.T) {
	g := gridOf(t, []sweep.Result{sweep.Duty, sweep.FuelVolume}, "boost = 0..20 psi by 10", "ethanol = 0..80 % by 40", "base pressure = 36, 43.5 psi")
	for _, p := range picturesOf(t, g) {
		var r sweep.Result
		for _, r = range g.Results {
			if r.Name == p.stack.Layers[0].Z.Name {
				break
			}
		}
		for k, l := range p.stack.Layers {
			for i := range 3 {
				for j := range 3 {
					got, want := l.At(i, j), g.Column(r)[(i*3+j)*2+k]
					if got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
						t.Errorf("%s, layer %d at %d, %d: %v, want %v", r.Name, k, i, j, got, want)
					}
				}
			}
		}
	}
}

func TestPicturesStop(t *testing.T) {
	g := gridOf(t, []sweep.Result{sweep.Duty}, "boost = 10, 20 psi", "ethanol = 0, 40 %", "base pressure = 36, 43.5 psi")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, _, err := pictures(ctx, g); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	if _, err := stackPicture(ctx, g, sweep.Duty, ownPlaces(g)); !errors.Is(err, context.Canceled) {
		t.Errorf("error of a stack %v", err)
	}
}

// A result without any value has no chart, and the page says so.
func TestPicturesWithout(t *testing.T) {
	g := gridOf(t, []sweep.Result{sweep.Duty}, "boost = -2..0 psi by 1")
	list, without, err := pictures(t.Context(), g)
	if err != nil || len(list) != 0 || strings.Join(without, "") != "injector duty" {
		t.Errorf("%d pictures, without %q, %v", len(list), without, err)
	}
	if text := missing(g, without); !strings.Contains(text, "3 of 3 points have no answer") || !strings.Contains(text, "no value anywhere: injector duty.") {
		t.Errorf("the page says %q", text)
	}
}

// chartFile makes a page with live charts, or skips the test.
func chartFile(t *testing.T, args ...string) string {
	t.Helper()
	if _, err := scripts.Load(t.Context(), nil); err != nil {
		t.Skipf("no chart scripts: %v", err)
	}
	path := filepath.Join(t.TempDir(), "chart.html")
	out := mustRun(t, append([]string{"sweep", turbo, "--chart", path}, args...)...)
	if !strings.HasPrefix(out, path+"  ") {
		t.Errorf("said %q", out)
	}
	return path
}

// look opens a page in the browser, or skips the test.
func look(t *testing.T, path string, charts int) pagetest.Report {
	t.Helper()
	r, err := pagetest.Check(t.Context(), path)
	if errors.Is(err, pagetest.ErrNoBrowser) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Problem(); err != nil || r.Live() != charts {
		t.Errorf("%d live charts, want %d; %v", r.Live(), charts, err)
	}
	return r
}

// A browser draws the charts of one, two and three axes from a file alone, with nothing on
// its console and no request.
func TestBrowserDrawsSweeps(t *testing.T) {
	axes := []string{"--over", "boost = 0..30 psi by 5", "--over", "ethanol = 0..80 % by 20", "--over", "base pressure = 36, 43.5, 50 psi"}
	for n := 1; n <= 3; n++ {
		path := chartFile(t, append([]string{"--show", "duty", "--show", "pump margin"}, axes[:2*n]...)...)
		if r := look(t, path, 2); r.Title != "Sweep: Straight six for the harbour hillclimb" {
			t.Errorf("title %q", r.Title)
		}
		text := read(t, path)
		for _, want := range []string{"Prove them on the built system", "induction.boost", "have no answer and are left out"} {
			if !strings.Contains(text, want) {
				t.Errorf("%d axes: the page lacks %q", n, want)
			}
		}
	}
}

// Moving the slider shows the numbers of that layer, on the map and under the pointer; at a
// gap there is no value.
func TestBrowserSweepSlider(t *testing.T) {
	axes := []string{"boost = 0..20 psi by 10", "ethanol = 0..80 % by 40", "base pressure = 36, 43.5 psi"}
	var args []string
	for _, a := range axes {
		args = append(args, "--over", a)
	}
	path := chartFile(t, append(args, "--show", "duty")...)
	probe := `<script>(function wait() {
  const figure = document.querySelector('figure.rb-chart');
  if (figure.dataset.state !== 'live') { requestAnimationFrame(wait); return; }
  const chart = echarts.getInstanceByDom(figure.querySelector('.rb-live'));
  const tip = function (i) {
    const value = chart.getOption().series[0].data[i].value;
    return chart.getOption().tooltip[0].formatter({ value: value }).replace(/\u00a0/g, ' ');
  };
  const said = [figure.querySelector('output').textContent, tip(4)];
  const input = figure.querySelector('input');
  input.value = 0;
  input.dispatchEvent(new Event('input', { bubbles: true }));
  (function look() {
    if (tip(4) === said[1]) { requestAnimationFrame(look); return; }
    said.push(figure.querySelector('output').textContent, tip(4), tip(3));
    document.title = said.join(' | ');
  })();
})();</script>
</body>
</html>`
	text := strings.NewReplacer(`<meta http-equiv="Content-Security-Policy"`, `<meta name="no-policy"`, "</body>\n</html>", probe).Replace(read(t, path))
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	g := gridOf(t, []sweep.Result{sweep.Duty}, axes...)
	duty := func(layer int) string { // at 10 psi and 40 %
		return fmt.Sprintf("Boost 10 psi, ethanol 40 %%: injector duty %.4g %%", g.Column(sweep.Duty)[(1*3+1)*2+layer])
	}
	want := strings.Join([]string{"43.5 psi", duty(1), "36 psi", duty(0), "Boost 0 psi, ethanol 40 %: injector duty no value"}, " | ")
	if r := look(t, path, 1); r.Title != want {
		t.Errorf("got  %s\nwant %s", r.Title, want)
	}
}

// The still picture of a stack is that of the layer it starts at.
func TestStackBundle(t *testing.T) {
	p := picturesOf(t, gridOf(t, []sweep.Result{sweep.Duty}, "boost = 0..20 psi by 10", "ethanol = 0..80 % by 40", "base pressure = 36, 43.5 psi"))[0]
	b, err := p.bundle()
	if err != nil {
		t.Fatal(err)
	}
	for _, mime := range []string{"image/png", "text/plain"} {
		if text, _ := b.Text(mime); text == "" {
			t.Errorf("no %s", mime)
		}
	}
	if !strings.HasSuffix(p.Title, ", at base pressure 43.5 psi") || p.Surface.At(1, 1) != p.stack.Layers[1].At(1, 1) {
		t.Errorf("the still picture is %q", p.Title)
	}
	p.stack = &live.Stack{}
	if _, err := p.bundle(); err == nil {
		t.Error("a stack of nothing is drawn")
	}
}
