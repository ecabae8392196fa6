package draw

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// headroom draws, for every part, a bar up to the power at which it runs out:
// solid as far as the wanted margin is kept, hatched beyond.
type headroom struct {
	*figure.Headroom
	end float64 // of the axis
}

const rowHeight = 26 * vg.Length(1)

// The axis reaches to farthest times the target, or to beyond times the lowest
// bar where that is more. A bar that goes on is cut off with a mark and says its
// power in words.
const (
	farthest = 2
	beyond   = 1.3
)

// unlimited is how many times the target a power has to be to be none that
// matters: no limit was found.
const unlimited = 1000

func newHeadroom(f *figure.Headroom) (*headroom, error) {
	if !(f.Target > 0) || math.IsInf(f.Target, 0) {
		return nil, fmt.Errorf("the target is %v; want a power above zero", f.Target)
	}
	if len(f.Bars) == 0 {
		return nil, errors.New("there are no bars")
	}
	lowest, highest := math.Inf(1), f.Target
	for _, b := range f.Bars {
		if !(b.Limit >= 0) || !(b.Keeps >= 0) || math.IsInf(b.Limit, 0) {
			return nil, fmt.Errorf("bar %q goes to %v and keeps its margin to %v; want powers", b.Name, b.Limit, b.Keeps)
		}
		lowest, highest = min(lowest, b.Limit), max(highest, b.Limit)
	}
	most := farthest * f.Target
	if lowest < unlimited*f.Target {
		most = max(most, beyond*lowest)
	}
	return &headroom{Headroom: f, end: 1.04 * min(highest, most)}, nil
}

func (h *headroom) height() vg.Length {
	return vg.Length(len(h.Bars))*rowHeight + 80
}

func (h *headroom) draw(c canvas) {
	c.key([]entry{
		{"Wanted margin kept", func(c vgdraw.Canvas) { c.FillPolygon(shade(0.8), corners(c.Rectangle)) }},
		{"Carried, margin thin", func(c vgdraw.Canvas) { hatch(c, c.Rectangle, line(ink, 0.6), 4) }},
		{"Target, " + printable(h.power(h.Target)), func(c vgdraw.Canvas) {
			x := c.Center().X
			c.StrokeLine2(limitLine, x, c.Min.Y-1, x, c.Max.Y+1)
		}},
	})
	words := style(labelSize)
	verdicts := make([]string, len(h.Bars))
	widest := vg.Length(0)
	for i, b := range h.Bars {
		verdicts[i] = h.verdict(b)
		widest = max(widest, words.Width(verdicts[i]))
	}
	right := c
	c.Max.X -= widest + 2*gap
	p := c.axes(
		axis{"Crank power in " + printable(h.Unit), 0, h.end, ticks(c.Size().X / 55)},
		axis{"", -0.5, float64(len(h.Bars)) - 0.5, h.names(c.Size().X * 0.4)},
	)
	p.Y.Tick.Length = 0
	p.Y.LineStyle.Width = 0
	p.Y.Tick.Label.Font.Size = labelSize
	p.Add(plotter(func(area vgdraw.Canvas, p *plot.Plot) {
		h.bars(area, p)
		_, y := p.Transforms(&area)
		for i, v := range verdicts {
			at := vg.Point{X: right.Max.X - widest, Y: y(h.row(i))}
			centred(area, words, at, v)
		}
	}))
	p.Draw(c.Canvas)
}

// row is where the i-th bar stands: the first on top.
func (h *headroom) row(i int) float64 { return float64(len(h.Bars) - 1 - i) }

func (h *headroom) power(v float64) string { return quantity.Digits(v, 4) + " " + h.Unit }

// verdict says in words and by a sign of its own shape how a part stands.
func (h *headroom) verdict(b figure.Bar) string {
	word := b.Status.Symbol() + " " + b.Status.String()
	switch {
	case b.Limit == 0:
		return word + ", at any power"
	case b.Limit >= unlimited*h.Target:
		return word + ", no limit found"
	case b.Status == sizing.Short:
		return word + ", ends at " + printable(h.power(b.Limit))
	}
	return word + " to " + printable(h.power(b.Limit))
}

// names puts the parts' names on the axis.
func (h *headroom) names(most vg.Length) plot.ConstantTicks {
	s := style(labelSize)
	var list plot.ConstantTicks
	for i, b := range h.Bars {
		list = append(list, plot.Tick{Value: h.row(i), Label: shorten(s, sentence(b.Name), most)})
	}
	return list
}

func (h *headroom) bars(c vgdraw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		c.StrokeLine2(line(faint, 0.5), x(t.Value), c.Min.Y, x(t.Value), c.Max.Y)
	}
	half := (y(1) - y(0)) * 0.29
	for i, b := range h.Bars {
		limit, keeps := min(b.Limit, h.end), min(b.Keeps, b.Limit, h.end)
		box := func(from, to float64) vg.Rectangle {
			at := y(h.row(i))
			return vg.Rectangle{Min: vg.Point{X: x(from), Y: at - half}, Max: vg.Point{X: x(to), Y: at + half}}
		}
		c.FillPolygon(white, corners(box(0, limit)))
		c.FillPolygon(shade(0.8), corners(box(0, keeps)))
		if limit > keeps {
			hatch(c, box(keeps, limit), line(ink, 0.6), 4)
		}
		if b.Limit <= h.end {
			c.StrokeLines(line(ink, 0.8), corners(box(0, limit)))
			continue
		}
		// The bar goes on: its end stays open, behind two strokes.
		r := box(0, limit)
		c.StrokeLines(line(ink, 0.8), []vg.Point{{X: r.Max.X, Y: r.Min.Y}, r.Min, {X: r.Min.X, Y: r.Max.Y}, r.Max})
		for _, d := range []vg.Length{7, 11} {
			c.StrokeLine2(line(white, 2.4), r.Max.X-d-2, r.Min.Y-2, r.Max.X-d+2, r.Max.Y+2)
		}
	}
	c.StrokeLine2(limitCasing, x(h.Target), c.Min.Y, x(h.Target), c.Max.Y)
	c.StrokeLine2(limitLine, x(h.Target), c.Min.Y, x(h.Target), c.Max.Y)
	c.StrokeLine2(line(ink, 0.8), x(0), c.Min.Y, x(0), c.Max.Y)
}
