package draw

import (
	"image/color"
	"math"
	"testing"
)

// Relative luminance and contrast ratio: W3C, Web Content Accessibility
// Guidelines 2.1, "relative luminance" and "contrast ratio".
func luminance(c color.Color) float64 {
	r, g, b, _ := c.RGBA()
	linear := func(v uint32) float64 {
		s := float64(v) / 0xffff
		if s <= 0.03928 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func contrast(a, b color.Color) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// toLab is CIE L*a*b* from sRGB, the way back of lab, written by itself.
func toLab(c color.Color) (l, a, b float64) {
	r16, g16, b16, _ := c.RGBA()
	linear := func(v uint32) float64 {
		s := float64(v) / 0xffff
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	r, g, bl := linear(r16), linear(g16), linear(b16)
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124*r + 0.3576*g + 0.1805*bl) / 0.95047)
	y := f(0.2126*r + 0.7152*g + 0.0722*bl)
	z := f((0.0193*r + 0.1192*g + 0.9505*bl) / 1.08883)
	return 116*y - 16, 500 * (x - y), 200 * (y - z)
}

// steps is how finely the shades are gone through: not so finely that their
// rounding to whole numbers counts.
const steps = 15

func TestShadesDarkenInEqualSteps(t *testing.T) {
	last, _, _ := toLab(shade(0))
	want := (walk[0].l - walk[len(walk)-1].l) / steps
	for i := 1; i <= steps; i++ {
		l, _, _ := toLab(shade(float64(i) / steps))
		if d := last - l; math.Abs(d-want) > 0.4 {
			t.Errorf("step %d darkens by %.2f, want %.2f", i, d, want)
		}
		last = l
	}
}

// The whole difference between neighbouring shades, by the formula of 1976, is
// about the same everywhere, so that no line seems to be where none is.
func TestShadesDifferEvenly(t *testing.T) {
	var diffs []float64
	sum := 0.0
	for i := range steps {
		l1, a1, b1 := toLab(shade(float64(i) / steps))
		l2, a2, b2 := toLab(shade(float64(i+1) / steps))
		d := math.Sqrt((l2-l1)*(l2-l1) + (a2-a1)*(a2-a1) + (b2-b1)*(b2-b1))
		diffs = append(diffs, d)
		sum += d
	}
	for i, d := range diffs {
		if mean := sum / steps; d < 0.6*mean || d > 1.4*mean {
			t.Errorf("step %d differs by %.2f from its neighbour, the mean is %.2f", i, d, mean)
		}
	}
}

// Readers who see no difference between red and green see the shades by their
// lightness and by yellow against blue: b* falls all the way.
func TestShadesGoFromYellowToBlue(t *testing.T) {
	_, _, first := toLab(shade(0))
	_, _, last := toLab(shade(1))
	if first < 15 || last > -20 {
		t.Errorf("b* goes from %.0f to %.0f", first, last)
	}
	for i := 1; i <= steps; i++ {
		_, _, b0 := toLab(shade(float64(i-1) / steps))
		if _, _, b1 := toLab(shade(float64(i) / steps)); b1 > b0+0.7 {
			t.Errorf("b* rises from %.1f to %.1f at step %d", b0, b1, i)
		}
	}
}

// Labels are written on every shade: 4.5 is the least contrast for text of WCAG
// 2.1, success criterion 1.4.3.
func TestInkCanBeReadOnEveryShade(t *testing.T) {
	for i := range steps + 1 {
		if c := contrast(ink, shade(float64(i)/steps)); c < 4.5 {
			t.Errorf("contrast of ink on shade %d/%d is %.2f", i, steps, c)
		}
	}
}
