package plumbing

import (
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestFittingCrane compares n = 1 with the fT that Crane TP-410 tabulates for clean
// commercial steel pipe by nominal size, as a simulation program's documentation
// repeats it. Bores are those of schedule 40 pipe (ASME B36.10, from memory); for
// the two smallest the nominal size stands in, and the table is 2 figures coarse.
func TestFittingCrane(t *testing.T) {
	for _, row := range []struct {
		bore   quantity.Length
		ft     float64
		within float64
	}{
		{5 * quantity.Millimetre, 0.035, 0.06},
		{10 * quantity.Millimetre, 0.029, 0.04},
		{15.80 * quantity.Millimetre, 0.027, 0.05},
		{20.93 * quantity.Millimetre, 0.025, 0.05},
		{26.64 * quantity.Millimetre, 0.023, 0.05},
		{52.48 * quantity.Millimetre, 0.019, 0.03},
	} {
		near(t, "fT at "+row.bore.String(), float64(Fitting(1).LossCoefficient(row.bore)), row.ft, row.within)
	}
}

// TestFittingFluids compares with ft_Crane of fluids 1.0.22, which fits the same
// table by another formula; fluids itself notes that the two differ.
func TestFittingFluids(t *testing.T) {
	for bore, ft := range map[quantity.Length]float64{
		6.35 * quantity.Millimetre:  0.0333353,
		7.94 * quantity.Millimetre:  0.0311250,
		15.80 * quantity.Millimetre: 0.0255445,
		52.48 * quantity.Millimetre: 0.0188491,
	} {
		near(t, "fT at "+bore.String(), float64(Fitting(1).LossCoefficient(bore)), ft, 0.025)
	}
}

func TestFittingProperties(t *testing.T) {
	bore := 8 * quantity.Millimetre
	if a, b := Elbow45.LossCoefficient(bore), Elbow90.LossCoefficient(bore); !(a < b) {
		t.Errorf("K of an elbow: %v at 45°, %v at 90°", a, b)
	}
	if a, b := TeeRun.LossCoefficient(bore), TeeBranch.LossCoefficient(bore); math.Abs(float64(3*a-b)) > 1e-15 {
		t.Errorf("K of a tee: run %v, branch %v, want three times", a, b)
	}
	if small, large := Elbow90.LossCoefficient(bore), Elbow90.LossCoefficient(2*bore); !(small > large) {
		t.Errorf("K of an elbow: %v at 8 mm, %v at 16 mm, want it to fall", small, large)
	}
	for _, bad := range []quantity.Length{0, -bore, quantity.Length(math.NaN())} {
		if k := Elbow90.LossCoefficient(bad); !math.IsNaN(float64(k)) {
			t.Errorf("K at bore %v = %v, want NaN", bad, k)
		}
	}
}
