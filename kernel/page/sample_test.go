package page_test

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page/chart"
)

// obj is a JSON object.
type obj = map[string]any

// demand is an invented figure for the sample charts: the fuel an engine
// takes, in lb/h, at a boost in psi and an ethanol content in percent.
func demand(boost, ethanol float64) float64 {
	return math.Round((180+14*boost)*(1+0.0045*ethanol)*10) / 10
}

const limitLine = 500 // lb/h, in the map of the sample

var (
	boosts   = []float64{0, 4, 8, 12, 16, 20, 24}
	ethanols = []float64{0, 10, 20, 30, 40, 50, 60, 70, 80}
)

// surfaceChart is a rotatable surface.
func surfaceChart() chart.Spec {
	var data [][]float64
	for _, e := range ethanols {
		for _, b := range boosts {
			data = append(data, []float64{b, e, demand(b, e)})
		}
	}
	// Without a line height the 3D extension cuts the glyphs of labels.
	axis := func(name string) obj {
		return obj{"type": "value", "name": name, "nameTextStyle": obj{"lineHeight": 24}}
	}
	return chart.Spec{
		ID: "demand-surface", Title: "Fuel demand over boost and ethanol content", GL: true,
		Alt:   "Fuel demand rises from 180 lb/h to 702 lb/h with boost and ethanol content.",
		Names: chart.Axes{X: "boost", Y: "ethanol", Z: "fuel demand"},
		Units: chart.Axes{X: "psi", Y: "%", Z: "lb/h"},
		Option: encode(obj{
			"tooltip":   obj{},
			"visualMap": obj{"show": false, "dimension": 2, "min": 180, "max": 702, "inRange": obj{"color": ramp}},
			"xAxis3D":   axis("Boost, psi"), "yAxis3D": axis("Ethanol, %"), "zAxis3D": axis("Demand, lb/h"),
			"grid3D": obj{
				"boxWidth": 110, "boxDepth": 110, "boxHeight": 70,
				"axisLabel":   obj{"textStyle": obj{"lineHeight": 24}},
				"viewControl": obj{"distance": 230, "alpha": 22, "beta": 35},
			},
			"series": []obj{{"type": "surface", "dataShape": []int{len(ethanols), len(boosts)}, "data": data}},
		}),
	}
}

// mapChart is a heat map with a limit drawn over it. A heat map needs category
// axes; the line has value axes of its own that count the categories.
func mapChart() chart.Spec {
	var cells [][]float64
	var limit [][]float64
	for y, e := range ethanols {
		for x, b := range boosts {
			cells = append(cells, []float64{float64(x), float64(y), demand(b, e)})
		}
		at := (limitLine/(1+0.0045*e) - 180) / 14 // the boost at the limit
		limit = append(limit, []float64{at / 4, float64(y)})
	}
	hidden := func(n int) obj {
		return obj{"type": "value", "show": false, "min": -0.5, "max": float64(n) - 0.5}
	}
	return chart.Spec{
		ID: "demand map", Title: "Fuel demand, with the pump's limit of 500 lb/h", Height: 420,
		Alt:   "Above a line from 23 psi without ethanol to 13 psi at 80 % the pump cannot follow.",
		Names: chart.Axes{X: "boost", Y: "ethanol", Z: "fuel demand"},
		Units: chart.Axes{X: "psi", Y: "%", Z: "lb/h"},
		Option: encode(obj{
			"grid":      obj{"left": 60, "right": 90, "top": 20, "bottom": 50},
			"visualMap": obj{"min": 180, "max": 702, "right": 0, "top": "middle", "calculable": true, "seriesIndex": 0, "inRange": obj{"color": ramp}},
			"xAxis":     []obj{{"type": "category", "name": "Boost, psi", "nameLocation": "middle", "nameGap": 28, "data": boosts}, hidden(len(boosts))},
			"yAxis":     []obj{{"type": "category", "name": "Ethanol, %", "nameLocation": "middle", "nameGap": 34, "data": ethanols}, hidden(len(ethanols))},
			"series": []obj{
				{"type": "heatmap", "data": cells, "label": obj{"show": false}},
				{"type": "line", "name": "limit", "xAxisIndex": 1, "yAxisIndex": 1, "data": limit, "symbol": "none", "silent": true, "lineStyle": obj{"width": 3, "color": "#20262b"}, "tooltip": obj{"show": false}},
			},
		}),
	}
}

// lineChart compares two fuels.
func lineChart() chart.Spec {
	line := func(ethanol float64) [][]float64 {
		var out [][]float64
		for _, b := range boosts {
			out = append(out, []float64{b, demand(b, ethanol)})
		}
		return out
	}
	return chart.Spec{
		ID: "demand-lines", Title: "Two fuels", Height: 320,
		Alt:   "Demand rises with boost, by about a third more with 70 % ethanol.",
		Names: chart.Axes{X: "boost"},
		Units: chart.Axes{X: "psi", Y: "lb/h"},
		Option: encode(obj{
			"tooltip": obj{"trigger": "axis"},
			"legend":  obj{"top": 0},
			"grid":    obj{"left": 60, "right": 20, "top": 40, "bottom": 50},
			"xAxis":   obj{"type": "value", "name": "Boost, psi", "nameLocation": "middle", "nameGap": 28},
			"yAxis":   obj{"type": "value", "name": "lb/h"},
			"series": []obj{
				{"type": "line", "name": "E0", "data": line(0)},
				{"type": "line", "name": "E70", "data": line(70), "lineStyle": obj{"type": "dashed"}},
			},
		}),
	}
}

var ramp = []string{"#e8f1f2", "#86bcc6", "#2f7f90", "#0b4653"}

func encode(v any) json.RawMessage {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return raw
}

// gradient is a still picture in base64.
func gradient(t testing.TB, w, h int) string {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.Set(x, y, color.RGBA{uint8(200 - 180*x/w), uint8(230 - 120*y/h), 220, 255})
		}
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, m); err != nil {
		t.Fatal(err)
	}
	return base64.StdEncoding.EncodeToString(buf.Bytes())
}

// chartOutput is a cell's output with a live chart and its still picture.
func chartOutput(t testing.TB, spec chart.Spec) *nbformat.Output {
	t.Helper()
	o := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{}}
	if err := o.Data.SetJSON(chart.MIME, spec); err != nil {
		t.Fatal(err)
	}
	o.Data.SetText("image/png", gradient(t, 800, 460))
	o.Data.SetText("text/plain", spec.Title)
	return o
}

// htmlOutput is a cell's output of HTML.
func htmlOutput(html string) *nbformat.Output {
	o := &nbformat.Output{Type: nbformat.DisplayData, Data: nbformat.MimeBundle{}}
	o.Data.SetText("text/html", html)
	return o
}

const sampleTable = `<table class="rb-table"><caption>Parts and margins</caption>
<thead><tr><th scope="col">Part</th><th scope="col" class="rb-num">Carries, lb/h</th><th scope="col" class="rb-num">Needed, lb/h</th><th scope="col" class="rb-num">Margin</th><th scope="col">Status</th></tr></thead>
<tbody>
<tr><th scope="row">Six injectors at 58 psi</th><td class="rb-num">836</td><td class="rb-num">723</td><td class="rb-num">16 %</td><td class="rb-status rb-carries">✓ carries</td></tr>
<tr><th scope="row">Two pumps in parallel</th><td class="rb-num">742</td><td class="rb-num">723</td><td class="rb-num">3 %</td><td class="rb-status rb-thin">△ thin</td></tr>
<tr><th scope="row">Feed line</th><td class="rb-num">690</td><td class="rb-num">723</td><td class="rb-num">−5 %</td><td class="rb-status rb-short">✕ short</td></tr>
</tbody></table>`

// sample is a notebook as the project's own cells make them, with three charts.
func sample(t testing.TB) *nbformat.Notebook {
	t.Helper()
	prose := func(s string) *nbformat.Cell { return &nbformat.Cell{Type: nbformat.Markdown, Source: s} }
	n := 0
	code := func(source string, outputs ...*nbformat.Output) *nbformat.Cell {
		n++
		return &nbformat.Cell{Type: nbformat.Code, Source: source, Outputs: outputs, ExecutionCount: n}
	}
	return &nbformat.Notebook{Cells: []*nbformat.Cell{
		prose("# Fuel system of a 3.4 L six\n\nWhat the engine asks for at **850 hp** on E70, and what each part carries. Targets are *crank* power; see [the map](#The-map)."),
		prose("## The assessment\n\n| Input | Value |\n|---|---:|\n| Displacement | 3.4 L |\n| Base pressure | 58 psi |"),
		code("// Open the sheet.\njob := Open(\"first-build.toml\")\nShow(job.Assess())",
			htmlOutput(`<p class="rb-verdict">Short: the feed line gives out at 811 hp, before the 850 hp asked for.</p>`+sampleTable+
				`<div class="rb-note">All margins count the largest duty cycle of 0.85.</div><div class="rb-caution" role="note"><p>Fuel lines under pressure: depressurise before opening.</p></div>`)),
		prose("## Boost and ethanol\n\nTurn the surface to see where demand climbs."),
		code("Show(Surface(job, Boost, Ethanol))", chartOutput(t, surfaceChart())),
		prose("### The map"),
		code("Show(Map(job, Boost, Ethanol))", chartOutput(t, mapChart())),
		prose("## Two fuels compared"),
		code("fmt.Println(\"two fuels\")\nShow(Lines(job))",
			&nbformat.Output{Type: nbformat.Stream, Name: "stdout", Text: "two fuels\n"}, chartOutput(t, lineChart())),
	}}
}
