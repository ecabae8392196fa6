package draw_test

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"

	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
	"example.com/railbook/sizing/sweep"
)

func picture(t *testing.T, f figure.Figure, o draw.Options) image.Image {
	t.Helper()
	data, err := draw.PNG(f, o)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func samples() []figure.Figure {
	void := flat(math.NaN())
	void.ID = "void"
	odd := waves()
	odd.ID, odd.Title, odd.Chart.X.Name, odd.Chart.Y.Unit = "odd", "漢字 \x07 "+strings.Repeat("long ", 60), strings.Repeat("very ", 40), "□\n"
	odd.Chart.Series[0].Name = strings.Repeat("endless ", 60)
	return []figure.Figure{bowl(), flat(5), void, headroom(), waves(), odd}
}

func TestSizeIsAsAsked(t *testing.T) {
	for _, c := range []struct {
		o    draw.Options
		w, h int // h 0: by the kind of figure
	}{
		{draw.Options{}, 1004, 0}, // 170 mm at 150 dots per inch
		{draw.Options{Width: 400 * vg.Inch / 100, Height: 3 * vg.Inch, DPI: 100}, 400, 300},
		{draw.Options{Width: 401 * vg.Inch / 100, Height: 3 * vg.Inch, DPI: 100, Bare: true}, 401, 300},
	} {
		for _, f := range samples() {
			size := picture(t, f, c.o).Bounds().Size()
			if size.X != c.w || c.h != 0 && size.Y != c.h {
				t.Errorf("%s with %+v is %v dots, want %d by %d", f.ID, c.o, size, c.w, c.h)
			}
		}
	}
}

// Nothing may be cut off at the sides: the outermost dots stay white, whatever
// the size.
func TestNothingIsClipped(t *testing.T) {
	for _, o := range []draw.Options{{}, {Width: 90 * vg.Millimeter}, {Width: 300 * vg.Millimeter, DPI: 80}, {Bare: true, Height: 77 * vg.Millimeter}} {
		for _, f := range samples() {
			img := picture(t, f, o)
			r := img.Bounds()
			dark := 0
			for x := r.Min.X; x < r.Max.X; x++ {
				for y := r.Min.Y; y < r.Max.Y; y++ {
					if x < r.Min.X+2 || y < r.Min.Y+2 || x >= r.Max.X-2 || y >= r.Max.Y-2 {
						if luminance(img.At(x, y)) < 0.99 {
							dark++
						}
					}
				}
			}
			if dark > 0 {
				t.Errorf("%s with %+v: %d dots at the sides are not white", f.ID, o, dark)
			}
		}
	}
}

func TestSameFigureSameBytes(t *testing.T) {
	for _, f := range samples() {
		first, err := draw.PNG(f, draw.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for range 3 {
			if again, err := draw.PNG(f, draw.Options{}); err != nil || !bytes.Equal(first, again) {
				t.Errorf("%s came out otherwise (error %v)", f.ID, err)
			}
		}
	}
}

func TestTitleIsLeftOutWhereAsked(t *testing.T) {
	with := picture(t, headroom(), draw.Options{})
	without := picture(t, headroom(), draw.Options{Bare: true})
	if inkIn(with, 0, 0.15) <= inkIn(without, 0, 0.15)*5/4 {
		t.Error("the picture with a title has hardly more ink at its top")
	}
}

// inkIn counts the dark dots between two shares of the height.
func inkIn(img image.Image, from, to float64) int {
	r := img.Bounds()
	n := 0
	for y := int(from * float64(r.Dy())); y < int(to*float64(r.Dy())); y++ {
		for x := range r.Dx() {
			if luminance(img.At(x, y)) < 0.2 {
				n++
			}
		}
	}
	return n
}

func TestErrors(t *testing.T) {
	change := func(f figure.Figure, change func(*figure.Figure)) figure.Figure { change(&f); return f }
	inf := math.Inf(1)
	for _, c := range []struct {
		name string
		f    figure.Figure
		o    draw.Options
		kind error
		says string
	}{
		{"nothing set", figure.Figure{ID: "a"}, draw.Options{}, draw.ErrFigure, "exactly one"},
		{"two set", change(bowl(), func(f *figure.Figure) { f.Chart = waves().Chart }), draw.Options{}, draw.ErrFigure, "exactly one"},
		{"one value on an axis", change(bowl(), func(f *figure.Figure) { f.Surface.X.Values = sweep.Numbers{1} }), draw.Options{}, draw.ErrFigure, "x axis has 1"},
		{"axis that falls", change(bowl(), func(f *figure.Figure) { f.Surface.Y.Values = sweep.Numbers{1, 2, 2} }), draw.Options{}, draw.ErrFigure, "value 3 of the y axis"},
		{"axis that is no number", change(bowl(), func(f *figure.Figure) { f.Surface.Y.Values = sweep.Numbers{1, math.NaN()} }), draw.Options{}, draw.ErrFigure, "value 2 of the y axis"},
		{"too few heights", change(bowl(), func(f *figure.Figure) { f.Surface.Z.Values = f.Surface.Z.Values[1:] }), draw.Options{}, draw.ErrFigure, "440 heights"},
		{"infinite height", flat(inf), draw.Options{}, draw.ErrFigure, "infinite"},
		{"no bars", figure.Figure{ID: "a", Headroom: &figure.Headroom{Target: 1}}, draw.Options{}, draw.ErrFigure, "no bars"},
		{"no target", figure.Figure{ID: "a", Headroom: &figure.Headroom{Bars: headroom().Headroom.Bars}}, draw.Options{}, draw.ErrFigure, "target"},
		{"bar below zero", figure.Figure{ID: "a", Headroom: &figure.Headroom{Target: 1, Bars: []figure.Bar{{Limit: -1}}}}, draw.Options{}, draw.ErrFigure, "-1"},
		{"bar without end", figure.Figure{ID: "a", Headroom: &figure.Headroom{Target: 1, Bars: []figure.Bar{{Limit: inf}}}}, draw.Options{}, draw.ErrFigure, "Inf"},
		{"no points", figure.Figure{ID: "a", Chart: &figure.Chart{}}, draw.Options{}, draw.ErrFigure, "no points"},
		{"infinite point", figure.Figure{ID: "a", Chart: &figure.Chart{Series: []figure.Series{{Name: "s", Points: []sweep.Point{{X: inf}}}}}}, draw.Options{}, draw.ErrFigure, "infinite"},
		{"unknown style", figure.Figure{ID: "a", Chart: &figure.Chart{Series: []figure.Series{{Name: "s", Style: "wavy", Points: []sweep.Point{{}}}}}}, draw.Options{}, draw.ErrFigure, "wavy"},
		{"too narrow", bowl(), draw.Options{Width: 1}, draw.ErrOptions, "width"},
		{"no number", bowl(), draw.Options{Width: vg.Length(math.NaN())}, draw.ErrOptions, "width"},
		{"too high", bowl(), draw.Options{Height: 1e6}, draw.ErrOptions, "height"},
		{"too fine", bowl(), draw.Options{DPI: 100000}, draw.ErrOptions, "dots per inch"},
		{"negative", bowl(), draw.Options{DPI: -1}, draw.ErrOptions, "dots per inch"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data, err := draw.PNG(c.f, c.o)
			if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) || data != nil {
				t.Errorf("error %v with %d bytes; want %v saying %q", err, len(data), c.kind, c.says)
			}
		})
	}
}
