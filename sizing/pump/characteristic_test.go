package pump

import (
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/internal/monotone"
	"example.com/railbook/sizing/quantity"
)

// TestCharacteristic works by hand: level, cubic, straight.
func TestCharacteristic(t *testing.T) {
	c, err := newCharacteristic([]float64{1, 2, 3}, []float64{10, 8, 4})
	if err != nil {
		t.Fatal(err)
	}
	for at, want := range map[float64]float64{0: 10, 1: 10, 2: 8, 3: 4, math.Inf(-1): 10, math.Inf(1): math.Inf(-1)} {
		if got := c.at(at); got != want {
			t.Errorf("at %g: %g, want %g", at, got, want)
		}
	}
	if got := c.at(4); !(got <= 0) { // the last chord falls by 4
		t.Errorf("beyond the last point: %g, want no more than the chord leaves", got)
	}
	level, err := newCharacteristic([]float64{1, 2}, []float64{5, 5})
	if err != nil || level.at(math.Inf(1)) != 5 {
		t.Errorf("level: %g, %v", level.at(math.Inf(1)), err)
	}
	if got := c.at(math.NaN()); !math.IsNaN(got) {
		t.Errorf("at no number: %g", got)
	}
	var none characteristic
	if got := none.at(7); got != 0 {
		t.Errorf("nothing is %g", got)
	}
	if _, err := newCharacteristic([]float64{1, 2, 3}, []float64{1, 2, 1}); !errors.Is(err, monotone.ErrPoints) {
		t.Errorf("up and down: %v", err)
	}
}

// TestVanishingVoltage: as the voltage goes to nothing the flow goes to nothing and the
// current to that of a stalled motor, also where the square of the voltage underflows.
func TestVanishingVoltage(t *testing.T) {
	p := drawn(t)
	for _, dp := range []quantity.PressureDiff{-1 * quantity.BarDiff, 0, 300 * quantity.KilopascalDiff} {
		stalled := p.Current(dp, 0)
		for v := 1 * quantity.Volt; v > 0; v /= 1e10 {
			if q := p.Flow(dp, v); !(q >= 0) || float64(v) < 1e-9 && !(float64(q) < 1e-12) {
				t.Errorf("%v at %v against %v", q, v, dp)
			}
			if i := p.Current(dp, v); !(i >= 0) || float64(v) < 1e-9 && !(math.Abs(float64(i-stalled)) < 1e-9) {
				t.Errorf("%v at %v against %v, stalled %v", i, v, dp, stalled)
			}
		}
	}
}
