package live

import (
	"encoding/json"
	"math"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// contourMap draws a surface from above: a cell for each point, contour lines,
// the limit as a thick line, and a mark at the build's own place.
//
// A heat map counts its cells on category axes. Lines run between the cells, so
// they have value axes of their own, unseen, on which the middle of a cell lies
// at its number.
func contourMap(s *figure.Surface) (chart.Spec, error) {
	if err := checkSurface(s); err != nil {
		return chart.Spec{}, err
	}
	low, high := s.Range()
	raw, err := mapOption(s, low, high)
	return chart.Spec{Height: mapHeight, Option: raw, Names: names(s), Units: units(s)}, err
}

// mapOption draws a map whose colours and contour lines are those of heights from low
// to high.
func mapOption(s *figure.Surface, low, high float64) (json.RawMessage, error) {
	c := charts.NewHeatMap()
	c.SetGlobalOptions(
		charts.WithLegendOpts(opts.Legend{Show: no()}),
		charts.WithGridOpts(opts.Grid{Left: "64", Right: "104", Top: "56", Bottom: "56"}),
		charts.WithXAxisOpts(opts.XAxis{Type: "category", Name: capital(s.X.Title()), NameLocation: "middle", NameGap: 32, Data: labels(s.X)}),
		charts.WithYAxisOpts(opts.YAxis{Type: "category", Name: capital(s.Y.Title()), NameLocation: "middle", NameGap: 44, Data: labels(s.Y)}),
		charts.WithVisualMapOpts(opts.VisualMap{
			Type: "continuous", Calculable: no(), Orient: "vertical", Right: "4", Top: "middle",
			Text: []string{readable(high, s.Z.Unit), readable(low, s.Z.Unit)}, InRange: &opts.VisualMapInRange{Color: ramp},
		}),
	)
	c.ExtendXAxis(opts.XAxis{Type: "value", Show: no(), Min: -0.5, Max: float64(len(s.X.Values)) - 0.5})
	c.ExtendYAxis(opts.YAxis{Type: "value", Show: no(), Min: -0.5, Max: float64(len(s.Y.Values)) - 0.5})
	c.AddSeries(s.Z.Name, cells(s))
	dress := []object{{
		"emphasis":    object{"itemStyle": object{"borderColor": ink, "borderWidth": 1}},
		"progressive": 0, // all cells at once, or a large map would build up over seconds
	}}
	add := func(series charts.Overlaper, more object) {
		c.Overlap(series)
		dress = append(dress, merged(overlay, more))
	}

	var texts placer
	if hereOn(s) {
		texts.keepOff(s, onCells(s, *s.Here))
	}
	var limitText, heightTexts []opts.ScatterData
	if s.Limit != nil && len(s.Limit.Lines) > 0 {
		lines := allOnCells(s, s.Limit.Lines)
		limitText = texts.place(s, lines, short(s.Limit.Value, s.Z.Unit))
		add(brokenLine(s.Limit.Label, lines, white, 6), object{"z": 4}) // its edge
		add(brokenLine(s.Limit.Label, lines, ink, 3.5), object{"z": 5})
	}
	for _, height := range levels(low, high) {
		if s.Limit != nil && math.Abs(height-s.Limit.Value) < (high-low)/200 {
			continue // the limit itself
		}
		text := short(height, s.Z.Unit)
		lines := allOnCells(s, s.Contour(height))
		heightTexts = append(heightTexts, texts.place(s, lines, text)...)
		add(brokenLine(text, lines, ink, 1), object{"z": 3})
	}
	add(charts.NewScatter().AddSeries("heights", heightTexts), merged(textOnly, object{"z": 3, "label": textOnLine("normal")}))
	add(charts.NewScatter().AddSeries("limit", limitText), merged(textOnly, object{"z": 6, "label": textOnLine("bold")}))
	if hereOn(s) {
		at := onCells(s, *s.Here)
		add(charts.NewScatter().AddSeries("this build", []opts.ScatterData{{Value: []any{number(at.X), number(at.Y)}}}),
			object{"z": 7, "symbol": "diamond", "symbolSize": 17, "itemStyle": object{"color": ink, "borderColor": white, "borderWidth": 2, "opacity": 1}})
	}

	o, err := plainOption(c)
	if err != nil {
		return nil, err
	}
	for i, more := range dress {
		setAt(o, "series", i, more)
	}
	for axis, scale := range map[string]sweep.Scale{"xAxis": s.X, "yAxis": s.Y} {
		setAt(o, axis, 0, object{
			"axisLabel": object{"interval": every(len(scale.Values)) - 1, "color": ink}, "axisTick": object{"alignWithLabel": true},
			"axisLine":      object{"onZero": false}, // or it would cross the field, seen through gaps
			"nameTextStyle": object{"fontSize": 14, "color": ink}, "splitLine": object{"show": false},
		})
	}
	setAt(o, "visualMap", 0, object{
		"min": rounded(low), "max": rounded(high), "seriesIndex": 0, "itemHeight": 220, "itemWidth": 16,
		"hoverLink": false, "textStyle": object{"color": ink},
	})
	o["tooltip"] = object{}
	o["title"] = heading(s)
	return encode(o)
}

// What series drawn over the cells have in common, and those of texts alone.
var (
	overlay  = object{"xAxisIndex": 1, "yAxisIndex": 1, "silent": true, "tooltip": object{"show": false}}
	textOnly = object{"symbolSize": 1, "itemStyle": object{"color": "rgba(0,0,0,0)", "opacity": 1}}
)

// textOnLine is the label of a point, on a white ground that breaks the line.
func textOnLine(weight string) object {
	return object{
		"show": true, "position": "inside", "formatter": "{b}", "fontSize": 12, "fontWeight": weight, "color": ink,
		"backgroundColor": "rgba(255,255,255,0.9)", "padding": []int{2, 4}, "borderRadius": 3,
	}
}

// cells lists a surface's points by the numbers of their cells.
func cells(s *figure.Surface) []opts.HeatMapData {
	data := make([]opts.HeatMapData, 0, len(s.Z.Values))
	for j := range s.Y.Values {
		for i := range s.X.Values {
			data = append(data, opts.HeatMapData{Value: [3]any{i, j, number(s.At(i, j))}})
		}
	}
	return data
}

// labels prints the values of an axis.
func labels(a sweep.Scale) []string {
	list := make([]string, len(a.Values))
	for i, v := range a.Values {
		list[i] = label(v)
	}
	return list
}

// every returns how many values of n lie from one label to the next so that
// there are nine or so labels and, where possible, one at either end.
func every(n int) int {
	least := (n + 8) / 9
	for k := least; k <= least+2; k++ {
		if (n-1)%k == 0 {
			return k
		}
	}
	return least
}

// onCells counts a point, given in the units of the axes, in cells.
func onCells(s *figure.Surface, p sweep.Point) sweep.Point {
	i, fx := cell(s.X.Values, p.X)
	j, fy := cell(s.Y.Values, p.Y)
	return sweep.Point{X: float64(i) + fx, Y: float64(j) + fy}
}

func allOnCells(s *figure.Surface, lines [][]sweep.Point) [][]sweep.Point {
	out := make([][]sweep.Point, len(lines))
	for i, line := range lines {
		for _, p := range line {
			out[i] = append(out[i], onCells(s, p))
		}
	}
	return out
}

// brokenLine draws lines of one height as one series with gaps between them.
func brokenLine(name string, lines [][]sweep.Point, colour string, width float32) *charts.Line {
	var data []opts.LineData
	for i, line := range lines {
		if i > 0 {
			data = append(data, opts.LineData{Value: []any{nil, nil}})
		}
		data = append(data, pointsOf(line)...)
	}
	c := charts.NewLine()
	c.AddSeries(name, data,
		charts.WithLineChartOpts(opts.LineChart{Symbol: "none", ShowSymbol: no(), ConnectNulls: no()}),
		charts.WithLineStyleOpts(opts.LineStyle{Color: colour, Width: width}))
	return c
}
