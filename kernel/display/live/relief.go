package live

import (
	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
	"github.com/go-echarts/go-echarts/v2/types"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
)

// glLine is the line height of text in a 3D chart, without which the extension
// cuts its upper and lower edges off.
const glLine = 24

// How far the numbers and the name stand from an axis. Those of the upright axis
// stand further off, since another axis begins at its foot.
var (
	glMargin  = map[string]int{"xAxis3D": 12, "yAxis3D": 12, "zAxis3D": 22}
	glNameGap = map[string]int{"xAxis3D": 30, "yAxis3D": 30, "zAxis3D": 44}
)

// relief draws a surface as a solid shape that can be turned, with the limit as
// a line that lies on it and a pin at the build's own place.
func relief(s *figure.Surface) (chart.Spec, error) {
	if err := checkSurface(s); err != nil {
		return chart.Spec{}, err
	}
	low, high := s.Range()
	xFrom, xTo, xStep := ticks(s.X.Values[0], s.X.Values[len(s.X.Values)-1], 6)
	yFrom, yTo, yStep := ticks(s.Y.Values[0], s.Y.Values[len(s.Y.Values)-1], 6)
	zFrom, zTo, zStep := ticks(low, high, 6)
	above := (zTo - zFrom) / 150 // for the line to lie clear of the surface

	c := charts.NewSurface3D()
	c.SetGlobalOptions(
		charts.WithLegendOpts(opts.Legend{Show: no()}),
		charts.WithXAxis3DOpts(opts.XAxis3D{Type: "value", Name: capital(s.X.Title()), Min: xFrom, Max: xTo}),
		charts.WithYAxis3DOpts(opts.YAxis3D{Type: "value", Name: capital(s.Y.Title()), Min: yFrom, Max: yTo}),
		// Its full name is in the heading; beside the axis it would be cut off.
		charts.WithZAxis3DOpts(opts.ZAxis3D{Type: "value", Name: s.Z.Unit, Min: zFrom, Max: zTo}),
		charts.WithGrid3DOpts(opts.Grid3D{BoxWidth: 110, BoxDepth: 110, BoxHeight: 75}),
		charts.WithVisualMapOpts(opts.VisualMap{Type: "continuous", Show: no(), InRange: &opts.VisualMapInRange{Color: ramp}}),
	)
	c.AddSeries(s.Z.Name, points3D(s))
	c.MultiSeries[0].Type = types.ChartSurface3D // AddSeries says scatter3D
	if s.Limit != nil {
		for _, line := range s.Limit.Lines {
			data := make([]opts.Chart3DData, len(line))
			for i, p := range line {
				data[i].Value = []any{number(p.X), number(p.Y), number(s.Limit.Value + above)}
			}
			c.MultiSeries = append(c.MultiSeries, charts.SingleSeries{
				Name: s.Limit.Label, Type: types.ChartLine3D, CoordSystem: types.ChartCartesian3D, Data: data,
				LineStyle: &opts.LineStyle{Color: ink, Width: 5},
			})
		}
	}
	if hereOn(s) {
		// A pin: the mark on a stem, clear of the surface from every side.
		foot := heightAt(s, *s.Here)
		at := func(z float64) opts.Chart3DData {
			return opts.Chart3DData{Value: []any{number(s.Here.X), number(s.Here.Y), number(z)}}
		}
		head := foot + (zTo-zFrom)/9
		c.MultiSeries = append(c.MultiSeries, charts.SingleSeries{
			Name: "this build", Type: types.ChartLine3D, CoordSystem: types.ChartCartesian3D, Data: []opts.Chart3DData{at(foot), at(head)},
			LineStyle: &opts.LineStyle{Color: ink, Width: 3},
		}, charts.SingleSeries{
			Name: "this build", Type: types.ChartScatter3D, CoordSystem: types.ChartCartesian3D, Data: []opts.Chart3DData{at(head)},
			Symbol: "diamond", SymbolSize: 18, ItemStyle: &opts.ItemStyle{Color: ink, BorderColor: white, BorderWidth: 2, Opacity: opts.Float(1)},
		})
	}

	o, err := plainOption(c)
	if err != nil {
		return chart.Spec{}, err
	}
	for axis, step := range map[string]float64{"xAxis3D": xStep, "yAxis3D": yStep, "zAxis3D": zStep} {
		set(o, axis, object{
			"interval": step, "axisLabel": object{"margin": glMargin[axis]}, "nameGap": glNameGap[axis],
			"nameTextStyle": object{"fontSize": 14, "lineHeight": glLine, "color": ink},
		})
	}
	set(o, "grid3D", object{
		"axisLabel":   object{"textStyle": object{"fontSize": 12, "lineHeight": glLine, "color": ink}},
		"axisLine":    object{"lineStyle": object{"color": quiet}},
		"splitLine":   object{"lineStyle": object{"color": faint}},
		"axisPointer": object{"label": object{"show": false}, "lineStyle": object{"color": quiet}},
		"viewControl": object{"alpha": 24, "beta": 35, "distance": 200, "center": []int{0, -15, 0}},
		"light":       object{"main": object{"intensity": 0.7, "alpha": 60, "beta": 20}, "ambient": object{"intensity": 0.6}},
	})
	setAt(o, "visualMap", 0, object{"min": rounded(low), "max": rounded(high), "dimension": 2, "seriesIndex": 0})
	setAt(o, "series", 0, object{
		"dataShape": []int{len(s.Y.Values), len(s.X.Values)},
		"shading":   "lambert",
		"wireframe": object{"show": true, "lineStyle": object{"color": "rgba(26,36,44,0.3)", "width": 1}},
	})
	for i := 1; i < len(c.MultiSeries); i++ {
		setAt(o, "series", i, object{"silent": true})
	}
	o["tooltip"] = object{}
	o["title"] = heading(s)
	raw, err := encode(o)
	return chart.Spec{GL: true, Height: reliefHeight, Option: raw, Names: names(s), Units: units(s)}, err
}

// points3D lists a surface's points, X running fastest.
func points3D(s *figure.Surface) []opts.Chart3DData {
	data := make([]opts.Chart3DData, 0, len(s.Z.Values))
	for j, y := range s.Y.Values {
		for i, x := range s.X.Values {
			data = append(data, opts.Chart3DData{Value: []any{number(x), number(y), number(s.At(i, j))}})
		}
	}
	return data
}
