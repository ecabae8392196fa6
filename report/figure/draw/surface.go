package draw

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// surface draws a result over two axes as a shaded map with contour lines. A
// relief is drawn the same way: on paper a map can be read off, a relief only
// looked at.
type surface struct {
	sweep.Surface
	here   *sweep.Point
	levels []float64 // heights between two shades, rising
	empty  bool      // no height anywhere
	gaps   bool      // no height somewhere
}

// wantedLevels is how many contour lines a map has at most, or one or two more.
const wantedLevels = 11

func newSurface(f *figure.Surface) (*surface, error) {
	s := &surface{Surface: f.Surface, here: f.Here}
	for _, a := range []struct {
		name   string
		values []float64
	}{{"x", s.X.Values}, {"y", s.Y.Values}} {
		if len(a.values) < 2 {
			return nil, fmt.Errorf("the %s axis has %d values; want 2 or more", a.name, len(a.values))
		}
		for i, v := range a.values {
			if !finite(v) || i > 0 && !(v > a.values[i-1]) {
				return nil, fmt.Errorf("value %d of the %s axis, %v, is no number above the one before", i+1, a.name, v)
			}
		}
	}
	if want := len(s.X.Values) * len(s.Y.Values); len(s.Z.Values) != want {
		return nil, fmt.Errorf("the surface has %d heights; its axes want %d", len(s.Z.Values), want)
	}
	if slices.ContainsFunc(s.Z.Values, func(z float64) bool { return math.IsInf(z, 0) }) {
		return nil, errors.New("a height is infinite; want NaN for a gap")
	}
	s.gaps = slices.ContainsFunc(s.Z.Values, math.IsNaN)
	low, high := s.Range()
	if s.empty = low > high; s.empty {
		return s, nil
	}
	levels, step := round(low, high, wantedLevels)
	for _, v := range levels {
		if v > low+step/1e3 && v < high-step/1e3 {
			s.levels = append(s.levels, v)
		}
	}
	return s, nil
}

func (s *surface) height() vg.Length { return 105 * vg.Millimeter }

func (s *surface) draw(c canvas) {
	s.key(&c)
	bar := c
	if !s.empty {
		c.Max.X -= s.barWidth() + 3*gap
	}
	p := c.axes(
		axis{sentence(s.X.Title()), s.X.Values[0], s.X.Values[len(s.X.Values)-1], ticks(c.Size().X / 50)},
		axis{sentence(s.Y.Title()), s.Y.Values[0], s.Y.Values[len(s.Y.Values)-1], ticks(c.Size().Y / 35)},
	)
	p.Add(plotter(func(area vgdraw.Canvas, p *plot.Plot) { s.plot(canvas{area, c.img}, p) }))
	p.Draw(c.Canvas)
	if !s.empty {
		area := p.DataCanvas(c.Canvas)
		bar.Min = vg.Point{X: area.Max.X + 3*gap, Y: area.Min.Y}
		bar.Max.Y = area.Max.Y
		s.bar(bar)
	}
}

// plotter is a function that draws into the data area.
type plotter func(vgdraw.Canvas, *plot.Plot)

// Plot implements [plot.Plotter].
func (f plotter) Plot(c vgdraw.Canvas, p *plot.Plot) { f(c, p) }

// key explains what is drawn over the shades, in a strip at the top.
func (s *surface) key(c *canvas) {
	var entries []entry
	if s.Limit != nil {
		name := sentence(s.Limit.Label)
		if len(s.Limit.Lines) == 0 {
			name += " (not met on this map)"
		}
		entries = append(entries, entry{name, func(c vgdraw.Canvas) {
			y := c.Center().Y
			c.StrokeLine2(limitLine, c.Min.X, y, c.Max.X, y)
		}})
	}
	if s.here != nil {
		entries = append(entries, entry{"This build", func(c vgdraw.Canvas) { diamond(c, c.Center()) }})
	}
	if s.gaps {
		entries = append(entries, entry{"No result", func(c vgdraw.Canvas) { hatch(c, c.Rectangle, gapLine, 3) }})
	}
	c.key(entries)
}

var (
	contourLine = line(color.NRGBA{R: 0x1a, G: 0x24, B: 0x2c, A: 0xb0}, 0.55)
	limitLine   = line(ink, 2.2)
	limitCasing = line(white, 4)
	gapLine     = line(quiet, 0.6)
)

// plot draws everything in the data area.
func (s *surface) plot(c canvas, p *plot.Plot) {
	s.fill(c, p)
	x, y := p.Transforms(&c.Canvas)
	onPage := func(line []sweep.Point) path {
		list := make(path, len(line))
		for i, q := range line {
			list[i] = vg.Point{X: x(q.X), Y: y(q.Y)}
		}
		return list
	}
	labels := labeller{area: c.Rectangle}
	if s.here != nil {
		at := vg.Point{X: x(s.here.X), Y: y(s.here.Y)}
		labels.keepOff(at, 8)
	}
	var draws []func()
	if s.Limit != nil {
		st := aligned(bold(style(labelSize)), text.XCenter)
		words := number(s.Limit.Value)
		if s.Z.Unit != "" {
			words += " " + printable(s.Z.Unit)
		}
		for _, l := range s.Limit.Lines {
			pieces, label := labels.place(onPage(l), words, st)
			draws = append(draws, func() {
				for _, piece := range pieces {
					c.StrokeLines(limitCasing, piece)
				}
				for _, piece := range pieces {
					c.StrokeLines(limitLine, piece)
				}
				label(c.Canvas)
			})
		}
	}
	st := aligned(style(noteSize), text.XCenter)
	for _, level := range s.levels {
		if s.Limit != nil && math.Abs(level-s.Limit.Value) < 1e-9*max(1, math.Abs(level)) {
			continue
		}
		for _, l := range s.Contour(level) {
			pieces, label := labels.place(onPage(l), number(level), st)
			for _, piece := range pieces {
				c.StrokeLines(contourLine, piece)
			}
			label(c.Canvas)
		}
	}
	for _, d := range draws {
		d()
	}
	if s.here != nil && p.X.Min <= s.here.X && s.here.X <= p.X.Max && p.Y.Min <= s.here.Y && s.here.Y <= p.Y.Max {
		diamond(c.Canvas, vg.Point{X: x(s.here.X), Y: y(s.here.Y)})
	}
	frame(c.Canvas)
}

// band returns the number of the shade for a height.
func (s *surface) band(z float64) int {
	n := 0
	for n < len(s.levels) && s.levels[n] <= z {
		n++
	}
	return n
}

// shades returns the colour of each band.
func (s *surface) shades() []color.NRGBA {
	list := make([]color.NRGBA, len(s.levels)+1)
	for i := range list {
		if len(list) == 1 {
			list[i] = shade(0.3)
		} else {
			list[i] = shade(float64(i) / float64(len(list)-1))
		}
	}
	return list
}

// fill shades the data area dot by dot, heights between the grid's points found
// by bilinear interpolation, and hatches the gaps.
func (s *surface) fill(c canvas, p *plot.Plot) {
	img, ok := c.img.Image().(*image.RGBA)
	if !ok {
		return // the image is of our own making, see PNG
	}
	dpi := c.img.DPI()
	height := float64(img.Bounds().Dy())
	left, right := int(math.Round(c.Min.X.Dots(dpi))), int(math.Round(c.Max.X.Dots(dpi)))
	top, bottom := int(math.Round(height-c.Max.Y.Dots(dpi))), int(math.Round(height-c.Min.Y.Dots(dpi)))

	columns := places(s.X.Values, left, right, func(px float64) float64 {
		return p.X.Min + (px-c.Min.X.Dots(dpi))/c.Size().X.Dots(dpi)*(p.X.Max-p.X.Min)
	})
	rows := places(s.Y.Values, top, bottom, func(px float64) float64 {
		return p.Y.Min + (height-px-c.Min.Y.Dots(dpi))/c.Size().Y.Dots(dpi)*(p.Y.Max-p.Y.Min)
	})
	shades := s.shades()
	period, width := int(dpi/12), max(1, int(dpi/100))
	for py, row := range rows {
		for px, col := range columns {
			z := (1-row.share)*((1-col.share)*s.At(col.cell, row.cell)+col.share*s.At(col.cell+1, row.cell)) +
				row.share*((1-col.share)*s.At(col.cell, row.cell+1)+col.share*s.At(col.cell+1, row.cell+1))
			shade := white
			switch {
			case !math.IsNaN(z):
				shade = shades[s.band(z)]
			case (px+py)%period < width:
				shade = quiet
			}
			at := img.PixOffset(left+px, top+py)
			img.Pix[at], img.Pix[at+1], img.Pix[at+2], img.Pix[at+3] = shade.R, shade.G, shade.B, 0xff
		}
	}
}

// place is where a dot lies between two values of an axis.
type place struct {
	cell  int
	share float64 // of the way to the next value
}

// places returns the places of the dots from first up to last.
func places(values []float64, first, last int, value func(dot float64) float64) []place {
	list := make([]place, max(0, last-first))
	for i := range list {
		v := value(float64(first+i) + 0.5)
		k, _ := slices.BinarySearch(values, v)
		k = max(0, min(k-1, len(values)-2))
		share := (v - values[k]) / (values[k+1] - values[k])
		list[i] = place{k, max(0, min(1, share))}
	}
	return list
}

// diamond marks the build's own place.
func diamond(c vgdraw.Canvas, at vg.Point) {
	for _, d := range []struct {
		r vg.Length
		color.Color
	}{{5.4, white}, {4.2, ink}, {2, white}} {
		c.FillPolygon(d.Color, []vg.Point{{X: at.X - d.r, Y: at.Y}, {X: at.X, Y: at.Y + d.r}, {X: at.X + d.r, Y: at.Y}, {X: at.X, Y: at.Y - d.r}})
	}
}
