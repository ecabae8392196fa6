package predict

import (
	"math"
	"testing"
)

func TestMixture(t *testing.T) {
	var m mixture
	m.add(0.25, -1, 0.5)
	m.add(0.75, 2, 1)
	// Mean -0.25 + 1.5; variance 0.25(0.25 + 2.25²) + 0.75(1 + 0.75²): worked by hand.
	near(t, "mean", m.Mean(), 1.25, 1e-15)
	near(t, "sd", m.SD(), math.Sqrt(2.5), 1e-15)
	for _, p := range []float64{1e-9, 0.01, 0.2, 0.5, 0.9, 1 - 1e-9} {
		near(t, "probability of the quantile", m.CDF(m.Quantile(p)), p, 1e-8)
	}
	if !math.IsInf(m.Quantile(0), -1) || !math.IsInf(m.Quantile(1), 1) {
		t.Error("the quantiles of 0 and 1 are not infinite")
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}
