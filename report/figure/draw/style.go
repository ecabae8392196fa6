package draw

import (
	"image/color"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"example.com/railbook/report/internal/typeface"
)

// Sizes of type and of the white around things.
const (
	titleSize = 10 * vg.Length(1)
	labelSize = 8.5 * vg.Length(1)
	tickSize  = 8 * vg.Length(1)
	noteSize  = 7.5 * vg.Length(1)

	margin = 4 * vg.Length(1)
	gap    = 5 * vg.Length(1)
)

// Shades of ink.
var (
	ink   = color.NRGBA{R: 0x1a, G: 0x24, B: 0x2c, A: 0xff}
	quiet = color.NRGBA{R: 0x5a, G: 0x66, B: 0x70, A: 0xff}
	faint = color.NRGBA{R: 0xd5, G: 0xda, B: 0xde, A: 0xff}
	white = color.NRGBA{R: 0xff, G: 0xff, B: 0xff, A: 0xff}
)

// handler sets text in the family of package typeface. It is our own, so that
// nothing depends on, or changes, the defaults of the plotting library.
var handler = text.Plain{Fonts: font.NewCache(font.Collection{
	{Font: font.Font{Typeface: typeface.Name}, Face: typeface.Regular.Font()},
	{Font: font.Font{Typeface: typeface.Name, Weight: xfont.WeightBold}, Face: typeface.Bold.Font()},
})}

// style returns a text style of the given size in ink, aligned to the left on
// the baseline.
func style(size vg.Length) text.Style {
	return text.Style{Color: ink, Font: font.Font{Typeface: typeface.Name, Size: size}, Handler: handler}
}

func bold(s text.Style) text.Style {
	s.Font.Weight = xfont.WeightBold
	return s
}

func aligned(s text.Style, x text.XAlignment) text.Style {
	s.XAlign = x
	return s
}

func line(c color.Color, width vg.Length, dashes ...vg.Length) vgdraw.LineStyle {
	return vgdraw.LineStyle{Color: c, Width: width, Dashes: dashes}
}

// canvas is a part of the picture, with the image below it.
type canvas struct {
	vgdraw.Canvas
	img *vgimg.Canvas
}

// title writes a title at the top and takes its room off the canvas.
func (c *canvas) title(words string) {
	s := bold(style(titleSize))
	for _, l := range wrap(s, printable(words), c.Size().X) {
		c.line(s, l)
	}
	c.Max.Y -= gap
}

// line writes one line of text at the top left and takes its room off.
func (c *canvas) line(s text.Style, words string) {
	e := s.FontExtents()
	c.FillText(s, vg.Point{X: c.Min.X, Y: c.Max.Y - e.Ascent}, words)
	c.Max.Y -= e.Height
}

// capHeight is the height of a capital in the typeface, over its size.
const capHeight = 0.73

// centred writes one line of text whose capitals have their middle at the height
// of a point, aligned to it sideways as the style says and turned about it.
func centred(c vgdraw.Canvas, s text.Style, at vg.Point, words string) {
	s.YAlign = text.YBottom
	// The text handler puts the baseline the ascent less the size below.
	down := float64(capHeight/2*s.Font.Size + s.Font.Size - s.FontExtents().Ascent)
	sin, cos := math.Sincos(s.Rotation)
	c.FillText(s, at.Add(vg.Point{X: vg.Length(sin * down), Y: vg.Length(-cos * down)}), words)
}

// axes returns a plot for the canvas with both axes named and ticked over the
// given ranges, which must not be empty. Names too long for their axis are cut.
func (c canvas) axes(x, y axis) *plot.Plot {
	x.name = shorten(style(labelSize), x.name, 0.7*c.Size().X)
	y.name = shorten(style(labelSize), y.name, 0.7*c.Size().Y)
	p := plot.New()
	p.BackgroundColor = nil
	p.TextHandler = handler
	p.Legend.TextStyle = style(labelSize) // unused, but asked for its font
	for _, a := range []struct {
		*plot.Axis
		axis
	}{{&p.X, x}, {&p.Y, y}} {
		a.Min, a.Max = a.from, a.to
		a.Padding = 0
		a.LineStyle = line(ink, 0.6)
		a.Label.Text = a.name
		a.Label.Padding = 3
		a.Label.TextStyle = aligned(style(labelSize), text.XCenter)
		sideways, upright := a.Tick.Label.XAlign, a.Tick.Label.YAlign
		a.Tick.Label = aligned(style(tickSize), sideways)
		a.Tick.Label.YAlign = upright
		a.Tick.LineStyle = line(ink, 0.6)
		a.Tick.Length = 3.5
		a.Tick.Marker = a.ticks
	}
	p.Title.TextStyle = style(titleSize)
	return p
}

// axis is one direction of a picture.
type axis struct {
	name     string
	from, to float64
	ticks    plot.Ticker
}

// frame draws the four sides of the data area.
func frame(c vgdraw.Canvas) { c.StrokeLines(line(ink, 0.6), corners(c.Rectangle)) }

func corners(r vg.Rectangle) []vg.Point {
	return []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}, r.Min}
}

// printable returns text as the typeface prints it.
func printable(s string) string {
	s, _ = typeface.Printable(s)
	return s
}

// sentence returns words with a capital at the start.
func sentence(words string) string {
	words = printable(words)
	first, n := utf8.DecodeRuneInString(words)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + words[n:]
}

// wrap breaks text at spaces into lines no wider than the given width. A word
// that is wider is cut off with an ellipsis.
func wrap(s text.Style, words string, width vg.Length) []string {
	var lines []string
	for _, w := range strings.Fields(words) {
		if n := len(lines); n > 0 && s.Width(lines[n-1]+" "+w) <= width {
			lines[n-1] += " " + w
			continue
		}
		lines = append(lines, shorten(s, w, width))
	}
	return lines
}

// shorten cuts text to a width, ending it with an ellipsis where it has to.
func shorten(s text.Style, words string, width vg.Length) string {
	face := typeface.Regular
	if s.Font.Weight == xfont.WeightBold {
		face = typeface.Bold
	}
	return face.Ellipsis(words, float64(s.Font.Size), float64(width))
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
