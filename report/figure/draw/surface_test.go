package draw_test

import (
	"image"
	"image/color"
	"testing"

	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
	"example.com/railbook/sizing/sweep"
)

// slope is a map whose height is that of its x axis, from 0 to 10, with a step of
// its own in the middle: 0 to 1 and 1 to 10.
func slope(limit float64) figure.Figure {
	s := sweep.Surface{
		X: sweep.Scale{Name: "x", Values: sweep.Numbers{0, 1, 10}},
		Y: sweep.Scale{Name: "y", Values: sweep.Numbers{0, 1}},
		Z: sweep.Scale{Name: "z", Values: sweep.Numbers{0, 1, 10, 0, 1, 10}},
	}
	s.Limit = &sweep.Limit{Value: limit, Label: "limit", Lines: s.Contour(limit)}
	return figure.Figure{ID: "slope", Surface: &figure.Surface{Surface: s}}
}

// row returns the lightness of the dots of one row of the map, without its frame.
func row(t *testing.T, img image.Image, y int) []float64 {
	t.Helper()
	var all []float64
	for x := range img.Bounds().Dx() {
		all = append(all, luminance(img.At(x, y)))
	}
	// A white gap ends a stretch, the narrow white beside a limit line does not. The
	// longest stretch is the map; names, ticks and the scale of shades are short.
	from, to, start, white := 0, 0, 0, 0
	for x := range len(all) + 6 {
		if x < len(all) && all[x] < 0.985 {
			if white > 5 {
				start = x
			}
			white = 0
			continue
		}
		if white++; white == 6 && x-5-start > to-from {
			from, to = start, x-5
		}
	}
	if to-from < len(all)/2 {
		t.Fatalf("row %d has no map", y)
	}
	// The tick and the frame on the left, the frame on the right.
	for all[from] < 0.8 {
		from++
	}
	for all[to-1] < 0.5 {
		to--
	}
	return all[from:to]
}

func TestShadeFollowsHeight(t *testing.T) {
	img := picture(t, slope(20), draw.Options{Bare: true}) // the limit is out of reach
	dots := row(t, img, 300)
	last := 1.0
	for _, l := range dots {
		if l < 0.45 {
			continue // a contour line
		}
		if l > last+0.12 { // its edge, half ink
			t.Fatalf("lightness rises from %.2f to %.2f", last, l)
		}
		last = min(last, l)
	}
	if dots[5] < 0.9 || last > 0.65 {
		t.Errorf("lightness goes from %.2f to %.2f", dots[5], last)
	}
}

// The limit at a third of the way is drawn a third of the way across.
func TestLimitLineLiesWhereItBelongs(t *testing.T) {
	for _, limit := range []float64{2.5, 5, 7.5} {
		dots := row(t, picture(t, slope(limit), draw.Options{Bare: true}), 150)
		best, run, start := 0, 0, 0
		for x, l := range dots {
			if l < 0.25 {
				if run++; run > best {
					best, start = run, x-run+1
				}
			} else {
				run = 0
			}
		}
		if best < 3 {
			t.Fatalf("limit %v: no bold line found", limit)
		}
		got := 10 * (float64(start) + float64(best)/2) / float64(len(dots))
		if got < limit-0.12 || got > limit+0.12 {
			t.Errorf("limit %v is drawn at %.2f", limit, got)
		}
	}
}

// A gap is told from every shade: it is hatched in grey on white.
func TestGapIsHatched(t *testing.T) {
	img := picture(t, bowl(), draw.Options{})
	whites, greys := 0, 0
	for x := 600; x < 800; x++ {
		switch c, _ := color.GrayModel.Convert(img.At(x, 150)).(color.Gray); {
		case c.Y > 250:
			whites++
		case c.Y < 140:
			greys++
		}
	}
	if whites < 100 || greys < 10 {
		t.Errorf("of 200 dots across the gap %d are white and %d grey", whites, greys)
	}
}

// A relief is drawn as a map.
func TestReliefIsDrawnFromAbove(t *testing.T) {
	f := bowl()
	f.Surface.View = figure.Relief
	relief, err := draw.PNG(f, draw.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f.Surface.View = figure.Map
	if same, err := draw.PNG(f, draw.Options{}); err != nil || string(same) != string(relief) {
		t.Errorf("the map of the same surface is another picture (error %v)", err)
	}
}
