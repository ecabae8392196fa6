// Package draw makes still pictures of figures, for paper and for readers whose
// page cannot run scripts.
//
// Every picture can be read in black and white: surfaces are shaded in a scale
// whose lightness falls from the least value to the greatest, lines differ in
// dashes and bars in hatching. The same figure and options give the same bytes.
package draw

import (
	"bytes"
	"errors"
	"fmt"
	"image/png"

	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"example.com/railbook/report/figure"
)

// Options says how large a picture is. The zero value is good for a page.
type Options struct {
	Width  vg.Length // default 170 mm
	Height vg.Length // default by the kind of figure
	DPI    int       // dots per inch; default 150
	Bare   bool      // leave out the title, where one stands beside the picture
}

// Limits of [Options]: a picture below is unreadable, one above is a mistake.
const (
	minWidth, minHeight = 60 * vg.Millimeter, 30 * vg.Millimeter
	maxSide             = 1000 * vg.Millimeter
	minDPI, maxDPI      = 50, 600
)

// ErrFigure marks a figure that cannot be drawn, and ErrOptions a size that
// cannot be had.
var (
	ErrFigure  = errors.New("figure cannot be drawn")
	ErrOptions = errors.New("picture cannot be made")
)

// PNG draws a figure. The error wraps [ErrFigure] or [ErrOptions] and says what
// is wrong.
func PNG(f figure.Figure, o Options) ([]byte, error) {
	p, err := drawing(f)
	if err != nil {
		return nil, fmt.Errorf("%w: %q: %v", ErrFigure, f.ID, err)
	}
	if err := o.fill(p); err != nil {
		return nil, err
	}
	img := vgimg.NewWith(vgimg.UseWH(o.Width, o.Height), vgimg.UseDPI(o.DPI))
	c := canvas{Canvas: vgdraw.New(img), img: img}
	c.Canvas = vgdraw.Crop(c.Canvas, margin, -margin, margin, -margin)
	if !o.Bare && f.Title != "" {
		c.title(f.Title)
	}
	p.draw(c)
	var out bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&out, img.Image()); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrOptions, err)
	}
	return out.Bytes(), nil
}

// picture is a figure made ready to be drawn.
type picture interface {
	height() vg.Length // that suits it
	draw(c canvas)
}

// drawing checks a figure and returns what draws it.
func drawing(f figure.Figure) (picture, error) {
	switch {
	case f.Surface != nil && f.Headroom == nil && f.Chart == nil:
		return newSurface(f.Surface)
	case f.Headroom != nil && f.Surface == nil && f.Chart == nil:
		return newHeadroom(f.Headroom)
	case f.Chart != nil && f.Surface == nil && f.Headroom == nil:
		return newChart(f.Chart)
	}
	return nil, errors.New("want exactly one of surface, headroom and chart")
}

func (o *Options) fill(p picture) error {
	if o.Width == 0 {
		o.Width = 170 * vg.Millimeter
	}
	if o.Height == 0 {
		o.Height = p.height()
	}
	if o.DPI == 0 {
		o.DPI = 150
	}
	// Written so that a number that is none is refused too.
	switch {
	case !(o.Width >= minWidth && o.Width <= maxSide):
		return fmt.Errorf("%w: width %s; want %s to %s", ErrOptions, length(o.Width), length(minWidth), length(maxSide))
	case !(o.Height >= minHeight && o.Height <= maxSide):
		return fmt.Errorf("%w: height %s; want %s to %s", ErrOptions, length(o.Height), length(minHeight), length(maxSide))
	case o.DPI < minDPI || o.DPI > maxDPI:
		return fmt.Errorf("%w: %d dots per inch; want %d to %d", ErrOptions, o.DPI, minDPI, maxDPI)
	}
	return nil
}

func length(l vg.Length) string { return fmt.Sprintf("%.0f mm", float64(l/vg.Millimeter)) }
