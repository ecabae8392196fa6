package live

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// lines draws lines and loose marks over common axes. A point that is no number
// breaks its line.
func lines(f *figure.Chart) (chart.Spec, error) {
	xs, ys, err := coordinates(f)
	if err != nil {
		return chart.Spec{}, err
	}
	xFrom, xTo, xStep := ticks(slices.Min(xs), slices.Max(xs), 8)
	yFrom, yTo, yStep := ticks(slices.Min(ys), slices.Max(ys), 6)
	for _, s := range f.Series {
		if s.Style != figure.Marks {
			continue
		}
		for _, p := range s.Points { // a mark on the frame would be hard to see
			if p.X == xFrom && p.X != 0 {
				xFrom -= xStep
			}
			if p.X == xTo {
				xTo += xStep
			}
			if p.Y == yFrom && p.Y != 0 {
				yFrom -= yStep
			}
			if p.Y == yTo {
				yTo += yStep
			}
		}
	}
	c := charts.NewLine()
	c.SetGlobalOptions(
		charts.WithLegendOpts(opts.Legend{Show: yes(), Top: "0"}),
		charts.WithTooltipOpts(opts.Tooltip{Trigger: "axis"}),
		charts.WithGridOpts(opts.Grid{Left: "72", Right: "24", Top: "72", Bottom: "56"}),
		charts.WithXAxisOpts(opts.XAxis{Type: "value", Name: capital(f.X.Title()), NameLocation: "middle", NameGap: 32, Min: xFrom, Max: xTo}),
		charts.WithYAxisOpts(opts.YAxis{Type: "value", Name: capital(f.Y.Title()), NameLocation: "middle", NameGap: 50, Min: yFrom, Max: yTo}),
	)
	colours := map[string]string{} // by name: lines of one name are pieces of one
	for _, s := range f.Series {
		if s.Style == figure.Marks {
			c.Overlap(charts.NewScatter().AddSeries(s.Name, marksOf(s.Points), charts.WithItemStyleOpts(
				opts.ItemStyle{Color: ink, BorderColor: white, BorderWidth: 1.5, Opacity: opts.Float(1)})))
			continue
		}
		if _, ok := colours[s.Name]; !ok {
			colours[s.Name] = lineColours[len(colours)%len(lineColours)]
		}
		colour := colours[s.Name]
		c.AddSeries(s.Name, pointsOf(s.Points),
			charts.WithLineChartOpts(opts.LineChart{ShowSymbol: no(), Symbol: "none", ConnectNulls: no()}),
			charts.WithLineStyleOpts(opts.LineStyle{Color: colour, Width: 2.5, Type: string(s.Style)}),
			charts.WithItemStyleOpts(opts.ItemStyle{Color: colour}))
	}

	o, err := plainOption(c)
	if err != nil {
		return chart.Spec{}, err
	}
	for axis, step := range map[string]float64{"xAxis": xStep, "yAxis": yStep} {
		setAt(o, axis, 0, object{
			"interval": step, "nameTextStyle": object{"fontSize": 14, "color": ink}, "axisLabel": object{"color": ink},
			"axisLine": object{"onZero": false, "lineStyle": object{"color": quiet}}, "splitLine": object{"lineStyle": object{"color": faint}},
		})
	}
	set(o, "legend", object{"itemWidth": 44, "textStyle": object{"color": ink, "fontSize": 13}})
	marked := 0
	for i, s := range f.Series {
		if s.Style == figure.Marks {
			setAt(o, "series", i, object{"symbol": symbols[marked%len(symbols)], "symbolSize": 14})
			marked++
		}
	}
	raw, err := encode(o)
	return chart.Spec{
		Height: linesHeight, Option: raw,
		Names: chart.Axes{X: f.X.Name}, Units: chart.Axes{X: f.X.Unit, Y: f.Y.Unit},
	}, err
}

// symbols tell sets of marks apart.
var symbols = []string{"diamond", "circle", "rect", "triangle"}

// coordinates lists all that are numbers, or says what is wrong with the series.
func coordinates(f *figure.Chart) (xs, ys []float64, err error) {
	for _, s := range f.Series {
		switch s.Style {
		case figure.Solid, figure.Dashed, figure.Dotted, figure.Marks:
		default:
			return nil, nil, fmt.Errorf("series %q: no style %q; want %q, %q, %q or %q",
				s.Name, s.Style, figure.Solid, figure.Dashed, figure.Dotted, figure.Marks)
		}
		for i, p := range s.Points {
			if math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
				return nil, nil, fmt.Errorf("point %d of series %q is infinite", i+1, s.Name)
			}
			if !math.IsNaN(p.X) && !math.IsNaN(p.Y) {
				xs, ys = append(xs, p.X), append(ys, p.Y)
			}
		}
	}
	if len(xs) == 0 {
		return nil, nil, errors.New("no series has a point")
	}
	return xs, ys, nil
}

func pointsOf(points []sweep.Point) []opts.LineData {
	data := make([]opts.LineData, len(points))
	for i, p := range points {
		data[i].Value = []any{number(p.X), number(p.Y)}
	}
	return data
}

func marksOf(points []sweep.Point) []opts.ScatterData {
	data := make([]opts.ScatterData, len(points))
	for i, p := range points {
		data[i].Value = []any{number(p.X), number(p.Y)}
	}
	return data
}
