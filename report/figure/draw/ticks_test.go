package draw

import (
	"fmt"
	"math"
	"testing"
)

func TestRound(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		wanted    int
		want      string
	}{
		{0, 10, 5, "[0 2 4 6 8 10] 2"},
		{0, 1, 4, "[0 0.25 0.5 0.75 1] 0.25"},
		{-46, 173, 11, "[-40 -20 0 20 40 60 80 100 120 140 160] 20"},
		{0.7, 0.9, 4, "[0.7 0.75 0.8 0.85 0.9] 0.05"},
		{3, 3, 4, "[] 0"},
		{4, 3, 4, "[] 0"},
		{math.NaN(), 3, 4, "[] 0"},
		{0, math.Inf(1), 4, "[] 0"},
		{1e15, 1e15 + 1, 4, "[] 0"},
	} {
		values, step := round(c.low, c.high, c.wanted)
		for i := range values {
			values[i] = math.Round(values[i]*1e6) / 1e6
		}
		if got := fmt.Sprint(values, math.Round(step*1e6)/1e6); got != c.want {
			t.Errorf("round(%v, %v, %d) = %s, want %s", c.low, c.high, c.wanted, got, c.want)
		}
	}
}

// Over many ranges: the numbers are multiples of the step, within the range, and
// no more than one over what was wanted.
func TestRoundStaysInRange(t *testing.T) {
	for e := -6; e <= 6; e++ {
		for m := 1.0; m < 10; m += 0.37 {
			for wanted := 1; wanted < 14; wanted++ {
				span := m * math.Pow(10, float64(e))
				low := -0.3 * span
				values, step := round(low, low+span, wanted)
				if len(values) > wanted+1 {
					t.Fatalf("span %v: %d numbers, wanted %d", span, len(values), wanted)
				}
				for _, v := range values {
					if v < low-1e-6*span || v > low+span*(1+1e-6) {
						t.Fatalf("%v lies outside %v to %v", v, low, low+span)
					}
					if r := v / step; math.Abs(r-math.Round(r)) > 1e-6 {
						t.Fatalf("%v is no multiple of %v", v, step)
					}
				}
			}
		}
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -20: "−20", 0.1 + 0.2: "0.3", 1e4: "10000", -0.25: "−0.25"} {
		if got := number(v); got != want {
			t.Errorf("number(%v) = %q, want %q", v, got, want)
		}
	}
}
