package draw

import (
	"image/color"
	"math"
)

// The shading of surfaces: a walk through CIE L*a*b* from a pale yellow by way of
// green-blue to a deep blue. Lightness falls in equal steps, so that the order
// survives a black-and-white copier, and the hues lie where the common kinds of
// colour blindness tell them apart, yellow against blue. The darkest shade still
// carries ink and the lightest still differs from paper.
var walk = [...]struct{ l, a, b float64 }{
	{97, -5, 24},
	{89.2, -15, 19},
	{81.4, -20, 9},
	{73.6, -19, -4},
	{65.8, -13, -16},
	{58, -4, -27},
}

// shade returns the colour at t from 0, the least value, to 1, the greatest.
func shade(t float64) color.NRGBA {
	x := max(0, min(1, t)) * float64(len(walk)-1)
	i := min(int(x), len(walk)-2)
	f := x - float64(i)
	p, q := walk[i], walk[i+1]
	return lab(p.l+f*(q.l-p.l), p.a+f*(q.a-p.a), p.b+f*(q.b-p.b))
}

// lab converts from CIE L*a*b*, white D65, to sRGB (IEC 61966-2-1; the matrix
// and white point from memory), cutting off what sRGB does not hold.
func lab(l, a, b float64) color.NRGBA {
	fy := (l + 16) / 116
	decode := func(f float64) float64 {
		const delta = 6.0 / 29
		if f > delta {
			return f * f * f
		}
		return 3 * delta * delta * (f - 4.0/29)
	}
	x, y, z := 0.95047*decode(fy+a/500), decode(fy), 1.08883*decode(fy-b/200)
	encode := func(v float64) uint8 {
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		return uint8(math.Round(255 * max(0, min(1, v))))
	}
	return color.NRGBA{
		R: encode(3.2406*x - 1.5372*y - 0.4986*z),
		G: encode(-0.9689*x + 1.8758*y + 0.0415*z),
		B: encode(0.0557*x - 0.2040*y + 1.0570*z),
		A: 0xff,
	}
}
