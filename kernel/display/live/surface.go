package live

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// checkSurface returns an error that says why a surface cannot be drawn, or nil.
func checkSurface(s *figure.Surface) error {
	if err := checkShape(s); err != nil {
		return err
	}
	if low, high := s.Range(); low > high || math.IsInf(low, 0) || math.IsInf(high, 0) {
		return errors.New("no point of the surface has a value, or one is infinite")
	}
	return nil
}

// checkShape checks all of a surface but that it has a height somewhere.
func checkShape(s *figure.Surface) error {
	for _, a := range []sweep.Scale{s.X, s.Y} {
		if len(a.Values) < 2 {
			return fmt.Errorf("the axis %q has %d values; a surface needs two or more", a.Name, len(a.Values))
		}
		for i, v := range a.Values {
			if math.IsNaN(v) || math.IsInf(v, 0) || i > 0 && !(v > a.Values[i-1]) {
				return fmt.Errorf("value %d of the axis %q, %v, is no number above the one before", i+1, a.Name, v)
			}
		}
	}
	if want := len(s.X.Values) * len(s.Y.Values); len(s.Z.Values) != want {
		return fmt.Errorf("the surface has %d heights; its axes want %d", len(s.Z.Values), want)
	}
	return nil
}

// heading is the title over a surface: what its heights are, and what the line
// and the mark on it mean.
func heading(s *figure.Surface) object {
	text := capital(s.Z.Title())
	second := ""
	if s.Limit != nil {
		if len(s.Limit.Lines) > 0 {
			second = "{sign|━━} " + s.Limit.Label
		} else {
			second = s.Limit.Label + ": not met here"
		}
	}
	if hereOn(s) {
		second += "   {sign|◆} this build"
	}
	if slices.ContainsFunc(s.Z.Values, math.IsNaN) {
		second += "   white: no answer"
	}
	if second != "" {
		text += "\n" + second
	}
	return object{
		"text": text, "left": "center", "top": 0,
		"textStyle": object{
			"fontSize": 14, "fontWeight": "normal", "lineHeight": 21, "color": ink,
			"rich": object{"sign": object{"color": ink, "fontSize": 14, "fontWeight": "bold", "lineHeight": 21}},
		},
	}
}

// hereOn reports whether the build's own place is on the surface.
func hereOn(s *figure.Surface) bool {
	return s.Here != nil && within(s.X.Values, s.Here.X) && within(s.Y.Values, s.Here.Y) && !math.IsNaN(heightAt(s, *s.Here))
}

func within(values []float64, v float64) bool { return values[0] <= v && v <= values[len(values)-1] }

// heightAt returns the height of the surface at a point, by bilinear
// interpolation; NaN beside a gap.
func heightAt(s *figure.Surface, p sweep.Point) float64 {
	i, fx := cell(s.X.Values, p.X)
	j, fy := cell(s.Y.Values, p.Y)
	return (1-fy)*((1-fx)*s.At(i, j)+fx*s.At(i+1, j)) + fy*((1-fx)*s.At(i, j+1)+fx*s.At(i+1, j+1))
}

// cell returns the number of the last value that is followed by another and lies
// at or below v, and the share of the way to the next at which v lies.
func cell(values []float64, v float64) (i int, share float64) {
	i, found := slices.BinarySearch(values, v)
	if !found {
		i--
	}
	i = max(0, min(i, len(values)-2))
	return i, (v - values[i]) / (values[i+1] - values[i])
}

func names(s *figure.Surface) chart.Axes {
	return chart.Axes{X: s.X.Name, Y: s.Y.Name, Z: s.Z.Name}
}

func units(s *figure.Surface) chart.Axes {
	return chart.Axes{X: s.X.Unit, Y: s.Y.Unit, Z: s.Z.Unit}
}
