package whatif

import (
	"math"
	"slices"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func TestRoundStep(t *testing.T) {
	for v, want := range map[float64]float64{
		0.67: 0.5, 1: 1, 1.99: 1, 2: 2, 4.9: 2, 5: 5, 9.99: 5, 10: 10, 0.1: 0.1, 0.03: 0.02, 1234: 1000, 7e-5: 5e-5,
	} {
		if got := roundStep(v).of(1); math.Abs(got-want) > 1e-12*want {
			t.Errorf("round step in %v is %v, want %v", v, got, want)
		}
	}
	// 0.1 added up three times is not 0.3; three steps are.
	if got := roundStep(0.1).of(3); got != 0.3 {
		t.Errorf("three steps of 0.1 are %v", got)
	}
}

// TestStops wants the stops to rise by round steps, within limits, and the sheet's value
// to be one of them with every digit.
func TestStops(t *testing.T) {
	for _, home := range []quantity.PressureDiff{22 * quantity.PSI, 21.87 * quantity.PSI, 0.1 * quantity.PSI, 100 * quantity.PSI} {
		s := newSlider("x", "X", quantity.US, span[quantity.PressureDiff]{
			home, quantity.Of(0.6, home), quantity.Of(1.5, home), 0.1 * quantity.PSI, 100 * quantity.PSI,
		})
		if s.values[s.Home] != float64(home) {
			t.Errorf("%v: its stop is at %v", home, s.values[s.Home])
		}
		if !slices.IsSorted(s.values) || len(s.values) != len(s.Stops) || len(s.values) > 140 {
			t.Errorf("%v: %d stops, %v", home, len(s.values), s.values)
		}
		for i, v := range s.values {
			if v < float64(0.1*quantity.PSI) || v > float64(100*quantity.PSI) {
				t.Errorf("%v: stop at %v", home, v)
			}
			if i > 0 && s.Stops[i] == s.Stops[i-1] {
				t.Errorf("%v: two stops read %v", home, s.Stops[i])
			}
			if s.nearest(v) != i {
				t.Errorf("%v: the stop nearest to stop %d is %d", home, i, s.nearest(v))
			}
		}
		if s.nearest(-1e9) != 0 || s.nearest(1e9) != len(s.values)-1 {
			t.Errorf("%v: nearest beyond the ends: %d, %d", home, s.nearest(-1e9), s.nearest(1e9))
		}
	}
}

// TestMarks wants the numbers of a scale to be those of their stops, and few enough to be
// read on a phone.
func TestMarks(t *testing.T) {
	for _, name := range []string{"turbo", "natural", "driven", "surge", "speed", "lift", "turbo-si", "doubt"} {
		b, err := sizing.Open("../../testdata/sheets/" + name + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		p, err := New(b)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range p.sliders {
			letters := 0
			for _, m := range s.Marks {
				letters += len(m.Text)
				if text := s.Stops[m.Stop].Text; len(text) < len(m.Text) || text[:len(m.Text)] != m.Text {
					t.Errorf("%s, %s: mark %q at the stop %q", name, s.Name, m.Text, text)
				}
			}
			if len(s.Marks) < 3 || letters > 24 {
				t.Errorf("%s, %s: marks %v", name, s.Name, s.Marks)
			}
		}
	}
}
