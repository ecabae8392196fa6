package draw

import (
	"errors"
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// chart draws lines and marks over common axes. Lines differ in dashes and
// marks in shape; the key stands above, off the data.
type chart struct {
	*figure.Chart
	x, y axis
	pens []pen
}

// pen is how a series is drawn.
type pen struct {
	line vgdraw.LineStyle // no width: marks only
	mark vgdraw.GlyphDrawer
}

func newChart(f *figure.Chart) (*chart, error) {
	c := &chart{Chart: f, x: axis{name: sentence(f.X.Title())}, y: axis{name: sentence(f.Y.Title())}}
	c.x.from, c.y.from = math.Inf(1), math.Inf(1)
	c.x.to, c.y.to = math.Inf(-1), math.Inf(-1)
	styles := map[figure.Style]int{}
	for _, s := range f.Series {
		for i, q := range s.Points {
			if math.IsInf(q.X, 0) || math.IsInf(q.Y, 0) {
				return nil, fmt.Errorf("point %d of series %q is infinite; want NaN for a gap", i+1, s.Name)
			}
			if gapAt(q) {
				continue
			}
			c.x.from, c.x.to = min(c.x.from, q.X), max(c.x.to, q.X)
			c.y.from, c.y.to = min(c.y.from, q.Y), max(c.y.to, q.Y)
		}
		p, err := newPen(s.Style, styles[s.Style])
		if err != nil {
			return nil, fmt.Errorf("series %q: %w", s.Name, err)
		}
		styles[s.Style]++
		c.pens = append(c.pens, p)
	}
	if c.x.from > c.x.to {
		return nil, errors.New("there are no points")
	}
	// Lines may end at the frame; marks need room.
	room := 0.0
	if styles[figure.Marks] > 0 {
		room = 0.02
	}
	c.x.widen(room)
	c.y.widen(0.06)
	return c, nil
}

// widen gives an axis room beyond its values: a share of their span above and
// below, except where that would pass zero, and some where they are all one.
func (a *axis) widen(share float64) {
	if a.from == a.to {
		d := max(math.Abs(a.from)*0.1, 0.5)
		a.from, a.to = a.from-d, a.to+d
		return
	}
	d := share * (a.to - a.from)
	low := a.from - d
	if a.from >= 0 && low < 0 {
		low = 0
	}
	a.from, a.to = low, a.to+d
}

func gapAt(p sweep.Point) bool { return math.IsNaN(p.X) || math.IsNaN(p.Y) }

// newPen returns the pen of the n-th series of a style: the first in ink, further
// ones in shades that also differ in lightness.
func newPen(s figure.Style, n int) (pen, error) {
	inks := []color.Color{ink, shade(1), quiet, shade(0.75)}
	c := inks[n%len(inks)]
	switch s {
	case figure.Solid, "":
		return pen{line: line(c, 1.6)}, nil
	case figure.Dashed:
		return pen{line: line(c, 1.6, 7, 3.5)}, nil
	case figure.Dotted:
		return pen{line: line(c, 1.7, 1.7, 2.6)}, nil
	case figure.Marks:
		shapes := []vgdraw.GlyphDrawer{vgdraw.CircleGlyph{}, vgdraw.BoxGlyph{}, vgdraw.PyramidGlyph{}, vgdraw.RingGlyph{}}
		return pen{mark: shapes[n%len(shapes)]}, nil
	}
	return pen{}, fmt.Errorf("no style %q; want %q, %q, %q or %q", s, figure.Solid, figure.Dashed, figure.Dotted, figure.Marks)
}

func (c *chart) height() vg.Length { return 88 * vg.Millimeter }

func (c *chart) draw(on canvas) {
	var entries []entry
	for i, s := range c.Series {
		entries = append(entries, entry{printable(s.Name), func(at vgdraw.Canvas) {
			if p := c.pens[i]; p.mark != nil {
				p.at(at, at.Center())
			} else {
				at.StrokeLine2(p.line, at.Min.X, at.Center().Y, at.Max.X, at.Center().Y)
			}
		}})
	}
	on.key(entries)
	c.x.ticks, c.y.ticks = ticks(on.Size().X/55), ticks(on.Size().Y/35)
	p := on.axes(c.x, c.y)
	p.Add(plotter(c.plot))
	p.Draw(on.Canvas)
}

// at draws the pen's mark.
func (p pen) at(c vgdraw.Canvas, at vg.Point) {
	c.DrawGlyph(vgdraw.GlyphStyle{Color: white, Radius: 4.6, Shape: vgdraw.CircleGlyph{}}, at)
	c.DrawGlyph(vgdraw.GlyphStyle{Color: ink, Radius: 3.2, Shape: p.mark}, at)
}

func (c *chart) plot(area vgdraw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&area)
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		area.StrokeLine2(line(faint, 0.5), x(t.Value), area.Min.Y, x(t.Value), area.Max.Y)
	}
	for _, t := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
		area.StrokeLine2(line(faint, 0.5), area.Min.X, y(t.Value), area.Max.X, y(t.Value))
	}
	frame(area)
	for i, s := range c.Series {
		if c.pens[i].mark == nil {
			for _, run := range runs(s.Points) {
				list := make([]vg.Point, len(run))
				for k, q := range run {
					list[k] = vg.Point{X: x(q.X), Y: y(q.Y)}
				}
				area.StrokeLines(c.pens[i].line, list)
			}
		}
	}
	for i, s := range c.Series {
		if c.pens[i].mark != nil {
			for _, q := range s.Points {
				if !gapAt(q) {
					c.pens[i].at(area, vg.Point{X: x(q.X), Y: y(q.Y)})
				}
			}
		}
	}
}

// runs splits points at the gaps.
func runs(points []sweep.Point) [][]sweep.Point {
	var list [][]sweep.Point
	open := false
	for _, q := range points {
		switch {
		case gapAt(q):
			open = false
		case open:
			list[len(list)-1] = append(list[len(list)-1], q)
		default:
			list, open = append(list, []sweep.Point{q}), true
		}
	}
	return list
}
