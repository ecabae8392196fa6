package evidence

import (
	"math"
	"testing"
)

// near fails where got is not within tolerance of want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v within %v", what, got, want, tolerance)
	}
}

// TestGaugeBlock is the end-gauge calibration of JCGM 100:2008, H.1 (values from memory):
// the components in nm with their degrees of freedom give 32 nm, 16 degrees and, at 99 %,
// the expanded uncertainty 93 nm.
func TestGaugeBlock(t *testing.T) {
	d := combine(component{5.8, 24}, component{3.9, 5}, component{6.7, 8})
	near(t, "u(d)", d.u, 9.7, 0.05)
	near(t, "ν(d)", float64(d.df), 25.6, 0.2) // of the rounded 9.7 nm
	l := combine(component{25, 18}, component{9.7, 25.6}, component{2.9, 50}, component{16.6, 2})
	near(t, "u(l)", l.u, 32, 0.5)
	near(t, "ν(l)", math.Floor(float64(l.df)), 16, 0)
	near(t, "U99", coverage(0.99, l.df)*32, 93, 0.5)
}

// TestWelchSatterthwaite is the example of JCGM 100:2008, G.4.1 (values from memory): a
// product of three means of 10, 5 and 15 observations with 0.25 %, 0.57 % and 0.82 % has
// 1.03 %, 19.0 degrees of freedom, and at 95 % 2.2 %.
func TestWelchSatterthwaite(t *testing.T) {
	c := combine(component{0.25, 9}, component{0.57, 4}, component{0.82, 14})
	near(t, "u", c.u, 1.03, 0.005)
	near(t, "ν", float64(c.df), 19.0, 0.05)
	near(t, "t95", coverage(0.95, 19), 2.09, 0.005)
	near(t, "U95", coverage(0.95, 19)*c.u, 2.2, 0.05)
}

// TestRepeatedObservations is the example of JCGM 100:2008, 4.4.3: twenty temperatures
// with the mean 100.14 °C, the deviation 1.49 °C and the standard uncertainty 0.33 °C
// (table 1, the readings from memory; that they give the published results confirms them).
func TestRepeatedObservations(t *testing.T) {
	readings := []float64{
		96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
		100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
	}
	mean := 0.0
	for _, v := range readings {
		mean += v / float64(len(readings))
	}
	near(t, "mean", mean, 100.145, 0.0051)
	r := make([]float64, len(readings))
	x := make([]float64, len(readings))
	for i, v := range readings {
		r[i] = v - mean
	}
	// The table is sorted, so its order says nothing of correlation: it is taken out.
	sc := scatterOf(x, r, 1)
	sc.tau = 1
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	sc.s = math.Sqrt(sum / 19)
	near(t, "s", sc.s, 1.489, 0.0005)
	u, _ := sc.mean(20)
	near(t, "u", u, 0.333, 0.0005)
}

// TestLimits is JCGM 100:2008, 4.4.5 (from memory): anything from 96 °C to 104 °C as likely
// has a standard uncertainty of 2.3 °C.
func TestLimits(t *testing.T) {
	near(t, "u", float64(Limits(4.0*kelvin).Standard()), 2.3, 0.05)
}

// TestCoverage holds the factors against table G.2 of JCGM 100:2008 (from memory).
func TestCoverage(t *testing.T) {
	for _, tt := range []struct {
		df       Degrees
		p95, p99 float64
	}{
		{1, 12.71, 63.66}, {2, 4.30, 9.92}, {5, 2.57, 4.03}, {10, 2.23, 3.17}, {16, 2.12, 2.92}, {20, 2.09, 2.85},
		{50, 2.01, 2.68}, {100, 1.984, 2.626}, {Infinite, 1.960, 2.576},
		{16.9, 2.12, 2.92}, // cut off
		{0.3, 12.71, 63.66},
	} {
		near(t, "95 % at "+tt.df.String(), coverage(0.95, tt.df), tt.p95, 0.006)
		near(t, "99 % at "+tt.df.String(), coverage(0.99, tt.df), tt.p99, 0.006)
	}
	// Where degrees of freedom are taken for infinite the factors hardly jump.
	near(t, "at the end", coverage(0.95, mostDegrees), coverage(0.95, Infinite), 1e-4)
}

// TestSensitivity finds the derivative of simple relations.
func TestSensitivity(t *testing.T) {
	near(t, "square", sensitivity(func(x float64) float64 { return (3 + x) * (3 + x) }, 0.01), 0.06, 1e-12)
	near(t, "falling", sensitivity(func(x float64) float64 { return -2 * x }, 0.5), 1, 1e-12)
	near(t, "nothing", sensitivity(math.Exp, 0), 0, 0)
}

func TestDegreesText(t *testing.T) {
	for _, d := range []Degrees{0, 3.7, 16.25, 1e6, Infinite} {
		text, err := d.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Degrees
		if err := back.UnmarshalText(text); err != nil || back != d {
			t.Errorf("%s comes back as %v, %v", text, back, err)
		}
	}
	for _, text := range []string{"", "NaN", "-1", "many"} {
		var d Degrees
		if err := d.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is read as %v", text, d)
		}
	}
}
