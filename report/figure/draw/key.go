package draw

import (
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"
)

// entry is one line of a key: a name and what draws its sample.
type entry struct {
	name   string
	sample func(vgdraw.Canvas)
}

const (
	sampleWidth  = 22 * vg.Length(1)
	sampleHeight = 7 * vg.Length(1)
)

// key draws entries in as many lines as they need at the top and takes their
// room off the canvas, so that the key never covers what is drawn.
func (c *canvas) key(entries []entry) {
	if len(entries) == 0 {
		return
	}
	s := aligned(style(labelSize), text.XLeft)
	height := s.Height("M") + 2
	x, y := c.Min.X, c.Max.Y-height/2
	for _, e := range entries {
		name := shorten(s, e.name, c.Size().X-sampleWidth-gap)
		width := sampleWidth + gap + s.Width(name)
		if x > c.Min.X && x+width > c.Max.X {
			x, y = c.Min.X, y-height
		}
		e.sample(vgdraw.Canvas{Canvas: c.Canvas.Canvas, Rectangle: vg.Rectangle{
			Min: vg.Point{X: x, Y: y - sampleHeight/2}, Max: vg.Point{X: x + sampleWidth, Y: y + sampleHeight/2},
		}})
		centred(c.Canvas, s, vg.Point{X: x + sampleWidth + gap, Y: y}, name)
		x += width + 4*gap
	}
	c.Max.Y = y - height/2 - gap
}

// hatch fills a rectangle with slanted lines at the given distance.
func hatch(c vgdraw.Canvas, r vg.Rectangle, s vgdraw.LineStyle, distance vg.Length) {
	w, h := r.Size().X, r.Size().Y
	for d := -h + distance; d < w; d += distance {
		// The line y - Min.Y = x - Min.X - d, cut at the sides.
		from := vg.Point{X: r.Min.X + max(d, 0), Y: r.Min.Y + max(-d, 0)}
		to := vg.Point{X: r.Min.X + min(d+h, w), Y: r.Min.Y + min(h, w-d)}
		c.StrokeLine2(s, from.X, from.Y, to.X, to.Y)
	}
	c.StrokeLines(s, corners(r))
}
