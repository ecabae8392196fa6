package draw_test

import "image/color"

// luminance is the lightness of a colour as a copier sees it, from 0 to 1, by the
// weights of ITU-R BT.601.
func luminance(c color.Color) float64 {
	g, _ := color.GrayModel.Convert(c).(color.Gray)
	return float64(g.Y) / 255
}
