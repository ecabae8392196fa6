package live

import (
	"fmt"
	"math"
	"testing"
)

// lightness is CIE L* of an sRGB colour (IEC 61966-2-1 for the curve and the
// weights of luminance, CIE 15 for lightness; both from memory).
func lightness(t *testing.T, colour string) float64 {
	t.Helper()
	var r, g, b int
	if _, err := fmt.Sscanf(colour, "#%02x%02x%02x", &r, &g, &b); err != nil {
		t.Fatalf("%q: %v", colour, err)
	}
	linear := func(v int) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 116*math.Cbrt(0.2126*linear(r)+0.7152*linear(g)+0.0722*linear(b)) - 16
}

// The ramp falls from L* 97 to 52 in equal steps.
func TestRampIsEven(t *testing.T) {
	step := (97.0 - 52.0) / float64(len(ramp)-1)
	for i, c := range ramp {
		if want, got := 97-float64(i)*step, lightness(t, c); math.Abs(got-want) > 0.5 {
			t.Errorf("%s has lightness %.2f, want %.2f", c, got, want)
		}
	}
}

// Ink reads on every shade: a contrast ratio of 3 and more is what WCAG 2 asks
// of lines and large text.
func TestInkStandsOut(t *testing.T) {
	luminance := func(c string) float64 { return math.Pow((lightness(t, c)+16)/116, 3) }
	for _, c := range append([]string{white}, ramp...) {
		if ratio := (luminance(c) + 0.05) / (luminance(ink) + 0.05); ratio < 3 {
			t.Errorf("ink on %s has a contrast of %.2f, want 3 or more", c, ratio)
		}
	}
}
