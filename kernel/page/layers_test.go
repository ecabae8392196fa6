package page_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/page/pagetest"
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
	tab := pagetest.Open(t, save(t, layeredBook(t), page.Options{Scripts: realScripts(t)}), 1200, 900)
	tab.Wait(settled)
	tab.Eval(`window.figures = [...document.querySelectorAll('figure.rb-chart')];
window.chart = f => echarts.getInstanceByDom(f.querySelector('.rb-live'));
window.first = f => chart(f).getOption().series[0].data[0][2];
window.input = figures[0].querySelector('input'); 0`, nil)
	for _, tt := range []struct {
		layer, first int
		label, tip   string
	}{{1, 1180, "3.5 bar", "1,180"}, {0, 180, "3 bar", "180"}, {2, 2180, "4 <bar>", "2,180"}} {
		tab.Eval(fmt.Sprintf(`input.value = %d; input.dispatchEvent(new Event('input', {bubbles: true}))`, tt.layer), nil)
		tab.Wait(fmt.Sprintf(`first(figures[0]) === %d`, tt.first))
		// Again at every look: a map that is still being drawn takes the tooltip away.
		tab.Wait(fmt.Sprintf(`(chart(figures[0]).dispatchAction({type: 'showTip', seriesIndex: 0, dataIndex: 0}),
			(/fuel demand ([\d,]+)/.exec(figures[0].textContent.replace(/\u00a0/g, ' ')) || [])[1] === %q)`, tt.tip))
		var said []string
		tab.Eval(`[figures[0].querySelector('output').textContent, input.getAttribute('aria-valuetext')]`, &said)
		if want := []string{tt.label, tt.label}; !slices.Equal(said, want) {
			t.Errorf("layer %d: says %q, want %q", tt.layer, said, want)
		}
	}
	var other int
	tab.Eval(`first(figures[1])`, &other)
	if other != 1180 {
		t.Errorf("the other map begins with %d, want 1180 as before", other)
	}
	if c := tab.Console(); len(c) > 0 {
		t.Errorf("on the console: %q", c)
	}
}
