package draw

import (
	"math"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"
)

const barThickness = 11 * vg.Length(1)

// barWidth is the room that the scale of shades takes, its words included.
func (s *surface) barWidth() vg.Length {
	tick := style(tickSize)
	widest := vg.Length(0)
	for _, v := range s.levels {
		widest = max(widest, tick.Width(number(v)))
	}
	return barThickness + 5 + widest + gap + style(labelSize).Height("M")
}

// bar draws the scale of shades at the left of c, with the heights at which they
// change and the name of what is shown. Its ends are the least and the greatest
// height on the map.
func (s *surface) bar(c canvas) {
	low, high := s.Range()
	if low == high {
		// One shade for one height: a scale with room around it.
		d := max(math.Abs(low)*0.1, 0.5)
		low, high = low-d, high+d
	}
	y := func(z float64) vg.Length { return c.Min.Y + vg.Length((z-low)/(high-low))*c.Size().Y }
	box := vg.Rectangle{Min: c.Min, Max: vg.Point{X: c.Min.X + barThickness, Y: c.Max.Y}}
	edges := append(append([]float64{low}, s.levels...), high)
	for i, shade := range s.shades() {
		c.FillPolygon(shade, corners(vg.Rectangle{
			Min: vg.Point{X: box.Min.X, Y: y(edges[i])}, Max: vg.Point{X: box.Max.X, Y: y(edges[i+1])},
		}))
	}
	tick := aligned(style(tickSize), text.XLeft)
	marks := s.levels
	if len(marks) == 0 {
		if one, _ := s.Range(); finite(one) {
			marks = []float64{one}
		}
	}
	last := c.Min.Y - 100
	for _, v := range marks {
		c.StrokeLine2(line(ink, 0.6), box.Min.X, y(v), box.Max.X+3, y(v))
		// A label that would stand in its neighbour's way is left out.
		if y(v)-last > tickSize && y(v) > c.Min.Y+tickSize/3 && y(v) < c.Max.Y-tickSize/3 {
			centred(c.Canvas, tick, vg.Point{X: box.Max.X + 5, Y: y(v)}, number(v))
			last = y(v)
		}
	}
	if s.Limit != nil && low <= s.Limit.Value && s.Limit.Value <= high {
		c.StrokeLine2(limitLine, box.Min.X, y(s.Limit.Value), box.Max.X+4, y(s.Limit.Value))
	}
	frame(vgdraw.Canvas{Canvas: c.Canvas.Canvas, Rectangle: box})
	name := aligned(style(labelSize), text.XCenter)
	name.Rotation = math.Pi / 2
	words := shorten(name, sentence(s.Z.Title()), c.Size().Y)
	c.FillText(name, vg.Point{X: c.Max.X - name.FontExtents().Descent, Y: c.Center().Y}, words)
}
