package live

import (
	"errors"
	"fmt"
	"math"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
)

// farthest is how many times the target the power axis reaches at most. A bar
// that goes on is cut off; the words beside it say how far.
const farthest = 2

// headroom draws a bar for each part: filled up to the power at which it still
// has the margin wanted, pale from there to where it runs out, with the target
// as a line across. What becomes of each part stands at the right in words.
func headroom(h *figure.Headroom) (chart.Spec, error) {
	if !(h.Target > 0) || math.IsInf(h.Target, 0) {
		return chart.Spec{}, fmt.Errorf("the target is %v; want a power above zero", h.Target)
	}
	if len(h.Bars) == 0 {
		return chart.Spec{}, errors.New("no part depends on power")
	}
	end := h.Target
	for _, b := range h.Bars {
		if !(b.Limit >= 0) || !(b.Keeps >= 0) {
			return chart.Spec{}, fmt.Errorf("bar %q goes to %v and keeps its margin to %v; want powers", b.Name, b.Limit, b.Keeps)
		}
		end = max(end, min(b.Limit, farthest*h.Target))
	}
	_, to, step := ticks(0, end, 6)

	var parts, words []string
	var limits, keeps []opts.BarData
	for _, b := range h.Bars {
		parts, words = append(parts, capital(b.Name)), append(words, verdict(b, h.Unit))
		limits, keeps = append(limits, opts.BarData{Value: number(b.Limit)}), append(keeps, opts.BarData{Value: number(b.Keeps)})
	}

	c := charts.NewBar()
	c.SetGlobalOptions(
		charts.WithLegendOpts(opts.Legend{Show: yes(), Top: "0"}),
		charts.WithTooltipOpts(opts.Tooltip{Trigger: "axis", AxisPointer: &opts.AxisPointer{Type: "shadow"}}),
		charts.WithXAxisOpts(opts.XAxis{Type: "value", Name: "Crank power in " + h.Unit, NameLocation: "middle", NameGap: 32, Min: 0, Max: to}),
		charts.WithYAxisOpts(opts.YAxis{Type: "category", Inverse: yes()}),
		charts.WithGridOpts(opts.Grid{Left: "16", Right: "16", Top: "64", Bottom: "48", ContainLabel: yes()}),
	)
	c.ExtendYAxis(opts.YAxis{Type: "category", Inverse: yes(), Position: "right", Data: words})
	c.SetXAxis(parts).XYReversal()
	// The second lies on the first, so that both count from zero.
	c.AddSeries("runs out at", limits,
		charts.WithBarChartOpts(opts.BarChart{BarWidth: "55%", BarGap: "-100%"}),
		charts.WithItemStyleOpts(opts.ItemStyle{Color: ramp[1], BorderColor: ink, BorderWidth: 1}))
	c.AddSeries("keeps the margin wanted up to", keeps,
		charts.WithBarChartOpts(opts.BarChart{BarWidth: "55%", BarGap: "-100%"}),
		charts.WithItemStyleOpts(opts.ItemStyle{Color: ramp[len(ramp)-1], BorderColor: ink, BorderWidth: 1}))

	o, err := plainOption(c)
	if err != nil {
		return chart.Spec{}, err
	}
	setAt(o, "xAxis", 0, object{"interval": step, "nameTextStyle": object{"fontSize": 14, "color": ink}, "axisLabel": object{"color": ink}, "splitLine": object{"lineStyle": object{"color": faint}}})
	for i := range 2 {
		setAt(o, "yAxis", i, object{"axisLabel": object{"color": ink, "fontSize": 13}, "axisTick": object{"show": false}, "axisLine": object{"show": i == 0}})
	}
	set(o, "legend", object{"textStyle": object{"color": ink, "fontSize": 13}})
	setAt(o, "series", 0, object{"z": 2})
	setAt(o, "series", 1, object{
		"z": 3,
		"markLine": object{
			"silent": true, "symbol": "none", "data": []object{{"xAxis": number(h.Target)}},
			"lineStyle": object{"color": ink, "width": 3, "type": "solid"},
			"label":     object{"formatter": "target " + readable(h.Target, h.Unit), "position": "start", "fontSize": 13, "color": ink, "fontWeight": "bold"},
		},
	})
	raw, err := encode(o)
	return chart.Spec{Height: 130 + 56*len(h.Bars), Option: raw, Units: chart.Axes{Y: h.Unit}}, err
}

// verdict says how a part stands and how far it carries.
func verdict(b figure.Bar, unit string) string {
	word := b.Status.Symbol() + " " + b.Status.String()
	switch {
	case b.Limit == 0:
		return word + " at any power"
	case b.Status == sizing.Short:
		return word + ", ends at " + readable(b.Limit, unit)
	}
	return word + " to " + readable(b.Limit, unit)
}
