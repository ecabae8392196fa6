package page_test

import (
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
)

// layered is the map with three layers, of which the second comes first: all heights
// grow by 1000 from one to the next.
func layered() chart.Spec {
	spec := mapChart()
	spec.Layers = &chart.Layers{Name: "base pressure", Labels: []string{"3 bar", "3.5 bar", "4 <bar>"}, Start: 1}
	for i := range 3 {
		var cells [][]float64
		for y, e := range ethanols {
			for x, b := range boosts {
				cells = append(cells, []float64{float64(x), float64(y), demand(b, e) + 1000*float64(i)})
			}
		}
		option := obj{
			"xAxis":     obj{"type": "category", "data": boosts},
			"yAxis":     obj{"type": "category", "data": ethanols},
			"visualMap": obj{"min": 180, "max": 2702, "seriesIndex": 0},
			"series":    []obj{{"type": "heatmap", "data": cells}},
		}
		spec.Layers.Options = append(spec.Layers.Options, encode(option))
	}
	spec.Option = spec.Layers.Options[1]
	return spec
}

func layeredBook(t *testing.T) *nbformat.Notebook {
	return &nbformat.Notebook{Cells: []*nbformat.Cell{
		{Type: nbformat.Code, Outputs: []*nbformat.Output{chartOutput(t, layered()), chartOutput(t, layered())}},
	}}
}

func TestSlider(t *testing.T) {
	got := render(t, layeredBook(t), page.Options{Scripts: fakeScripts})
	harmless(t, got)
	for _, want := range []string{
		`<label for="chart-demand-map-layer">base pressure</label>`,
		`<input type="range" id="chart-demand-map-layer" min="0" max="2" step="1" value="1" aria-valuetext="3.5 bar" autocomplete="off">`,
		`<output for="chart-demand-map-layer">3.5 bar</output>`,
		`<span class="rb-layer">Here at base pressure 3.5 bar.</span>`,
		`id="chart-demand-map-2-layer"`, // the second of the same name
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
}

func TestNoSliderWithoutScripts(t *testing.T) {
	got := render(t, layeredBook(t), page.Options{})
	harmless(t, got)
	if strings.Contains(got, `type="range"`) {
		t.Error("there is a slider, which cannot do anything")
	}
	if !strings.Contains(got, `Here at base pressure 3.5 bar.`) {
		t.Error("the page does not say what the still picture shows")
	}
}

// The slider changes the map it belongs to and no other, the tooltip under the pointer
// with it, and says in words where it is.
func TestBrowserSlider(t *testing.T) {
	probe := `<script>(function wait() {
  const figures = Array.from(document.querySelectorAll('figure.rb-chart'));
  if (figures.some(f => f.dataset.state !== 'live')) { requestAnimationFrame(wait); return; }
  const first = f => echarts.getInstanceByDom(f.querySelector('.rb-live')).getOption().series[0].data[0][2];
  const tip = f => { const m = /fuel demand [\d,]+/.exec(f.textContent.replace(/\u00a0/g, ' ')); return m && m[0]; };
  const input = figures[0].querySelector('input');
  const said = [];
  const steps = [1, 0, 2];
  (function step() {
    const layer = steps.shift();
    if (layer === undefined) { document.title = said.join(' | ') + ' | other ' + first(figures[1]); return; }
    input.value = layer;
    input.dispatchEvent(new Event('input', { bubbles: true }));
    requestAnimationFrame(() => requestAnimationFrame(() => {
      (function look() {
        // Again at every look: a map that is still being drawn takes the tooltip away.
        echarts.getInstanceByDom(figures[0].querySelector('.rb-live')).dispatchAction({ type: 'showTip', seriesIndex: 0, dataIndex: 0 });
        const want = 'fuel demand ' + (180 + 1000 * layer).toLocaleString('en');
        if (tip(figures[0]) !== want) { requestAnimationFrame(look); return; }
        said.push([layer, figures[0].querySelector('output').textContent, input.getAttribute('aria-valuetext'), first(figures[0]), tip(figures[0])].join(', '));
        step();
      })();
    }));
  })();
})();</script>
</body>
</html>`
	path := save(t, layeredBook(t), page.Options{Scripts: realScripts(t)},
		`<meta http-equiv="Content-Security-Policy"`, `<meta name="no-policy"`, "</body>\n</html>", probe)
	r := check(t, path)
	// A browser starved of frames may end before the probe has; it is asked again.
	for again := 0; again < 4 && r.Title == "Notebook"; again++ {
		r = check(t, path)
	}
	if err := r.Problem(); err != nil {
		t.Error(err)
	}
	want := strings.Join([]string{
		"1, 3.5 bar, 3.5 bar, 1180, fuel demand 1,180",
		"0, 3 bar, 3 bar, 180, fuel demand 180",
		"2, 4 <bar>, 4 <bar>, 2180, fuel demand 2,180",
		"other 1180",
	}, " | ")
	if r.Title != want {
		t.Errorf("got  %s\nwant %s", r.Title, want)
	}
}
