package wiring

import (
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g within %g", what, got, want, tolerance)
	}
}

func mustConductor(t testing.TB, text string) Conductor {
	t.Helper()
	c, err := ParseConductor(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const room = 293.15 * quantity.Kelvin

// TestGaugeDefinition: two diameters define the gauge, 4/0 is 0.46 in and 36 AWG
// is 0.005 in, with 39 equal ratios between them (ASTM B258, as secondary sources
// quote it); the ratio is printed in the copper wire tables as 1.1229322.
func TestGaugeDefinition(t *testing.T) {
	near(t, "4/0", mustConductor(t, "4/0 AWG").Diameter().In(quantity.Inch), 0.46, 1e-13)
	near(t, "36", mustConductor(t, "36 AWG").Diameter().In(quantity.Inch), 0.005, 1e-13)
	for n := thickestGauge; n < thinnestGauge; n++ {
		near(t, "ratio", float64(gauge(n).Diameter()/gauge(n+1).Diameter()), 1.1229322, 1e-7)
	}
}

// TestWireTable compares with tables of bare copper wire at 20 °C, with half a unit
// of the last printed digit as tolerance.
func TestWireTable(t *testing.T) {
	// The AWG chart at daycounter.com: mm, mm², Ω/m. Its resistances were rounded twice,
	// so a twentieth of a digit more is let pass.
	for _, row := range []struct {
		gauge      string
		d, a, r    float64
		dd, da, dr float64 // half a unit of the last digit
	}{
		{gauge: "4/0 AWG", d: 11.7, a: 107, r: 0.000161, dd: 0.05, da: 0.5, dr: 0.5e-6},
		{gauge: "2/0 AWG", d: 9.26, a: 67.4, r: 0.000256, dd: 0.01, da: 0.05, dr: 0.5e-6},
		{gauge: "1 AWG", d: 7.35, a: 42.4, r: 0.000407, dd: 0.005, da: 0.05, dr: 0.5e-6},
		{gauge: "4 AWG", d: 5.19, a: 21.1, r: 0.000815, dd: 0.005, da: 0.06, dr: 0.5e-6},
		{gauge: "8 AWG", d: 3.26, a: 8.36, r: 0.00206, dd: 0.005, da: 0.01, dr: 0.5e-5},
		{gauge: "10 AWG", d: 2.59, a: 5.26, r: 0.00328, dd: 0.005, da: 0.005, dr: 0.5e-5},
		{gauge: "12 AWG", d: 2.05, a: 3.31, r: 0.00521, dd: 0.005, da: 0.005, dr: 0.5e-5},
		{gauge: "14 AWG", d: 1.63, a: 2.08, r: 0.00829, dd: 0.005, da: 0.005, dr: 0.5e-5},
		{gauge: "18 AWG", d: 1.02, a: 0.823, r: 0.0210, dd: 0.005, da: 0.0005, dr: 0.5e-4},
		{gauge: "24 AWG", d: 0.511, a: 0.205, r: 0.0842, dd: 0.0005, da: 0.0005, dr: 0.5e-4},
	} {
		c := mustConductor(t, row.gauge)
		if got := c.Diameter().In(quantity.Millimetre); math.Abs(got-row.d) > row.dd {
			t.Errorf("%s: %.5f mm, want %g ± %g", row.gauge, got, row.d, row.dd)
		}
		if got := c.Area().In(quantity.SquareMillimetre); math.Abs(got-row.a) > row.da {
			t.Errorf("%s: %.5f mm², want %g ± %g", row.gauge, got, row.a, row.da)
		}
		if got := float64(c.Resistance(1*quantity.Metre, room)); math.Abs(got-row.r) > 1.05*row.dr {
			t.Errorf("%s: %.7f Ω/m, want %g ± %g", row.gauge, got, row.r, row.dr)
		}
	}
	// Ω per 100 ft by gauge, the wire resistance table at cirris.com.
	for text, ohms := range map[string]float64{
		"12 AWG": 0.15880, "14 AWG": 0.25250, "16 AWG": 0.40160, "18 AWG": 0.63850, "20 AWG": 1.01500,
		"24 AWG": 2.56700, "26 AWG": 4.08100, "28 AWG": 6.49000, "30 AWG": 10.32000,
	} {
		near(t, text+" in Ω per 100 ft", float64(mustConductor(t, text).Resistance(100*quantity.Foot, room)), ohms, 1e-3)
	}
	// Ω per 1000 ft, National Bureau of Standards, Handbook 100, from memory.
	for text, ohms := range map[string]float64{"4/0 AWG": 0.04901, "1/0 AWG": 0.09827, "2 AWG": 0.1563, "4 AWG": 0.2485, "6 AWG": 0.3951, "8 AWG": 0.6282, "10 AWG": 0.9989} {
		near(t, text+" in Ω per 1000 ft", float64(mustConductor(t, text).Resistance(1000*quantity.Foot, room)), ohms, 3e-4)
	}
}

// TestMetricCable: the greatest resistance of plain copper in IEC 60228 (class 1
// and 2, then class 5, in mΩ/m at 20 °C, read in the tables at uecables.com and
// mycableengineering.com) is above
// that of as much copper, by no more than the 16 % that [Section] speaks of.
func TestMetricCable(t *testing.T) {
	for text, most := range map[string][2]float64{
		"1 mm2": {18.1, 19.5}, "1.5 mm2": {12.1, 13.3}, "2.5 mm2": {7.41, 7.98}, "4 mm2": {4.61, 4.95}, "6 mm2": {3.08, 3.30}, "10 mm2": {1.83, 1.91}, "16 mm2": {1.15, 1.21},
	} {
		copper := mustConductor(t, text).Resistance(1*quantity.Metre, room).In(quantity.Milliohm)
		for _, limit := range most {
			if over := limit/copper - 1; !(over > 0 && over < 0.165) {
				t.Errorf("%s: standard allows %g mΩ/m, copper has %.4g: %.1f %% more", text, limit, copper, 100*over)
			}
		}
	}
}

// TestTemperature compares with the factors by which IEC 60228 brings a resistance
// measured at a temperature to 20 °C (read in the table at uecables.com). The standard rounds the rule
// to 250/(230 °C + t), so 0.3 % is left.
func TestTemperature(t *testing.T) {
	c := mustConductor(t, "10 AWG")
	at20 := c.Resistance(1*quantity.Metre, room)
	for celsius, factor := range map[float64]float64{5: 1.064, 10: 1.042, 20: 1, 30: 0.962, 40: 0.926, 60: 0.862, 80: 0.806, 100: 0.758} {
		near(t, "factor", float64(at20/c.Resistance(1*quantity.Metre, quantity.Celsius(celsius))), factor, 4e-3)
	}
}

func TestConductorProperties(t *testing.T) {
	length := 3 * quantity.Metre
	last := quantity.Resistance(0)
	for n := thickestGauge; n <= thinnestGauge; n++ {
		r := gauge(n).Resistance(length, room)
		if !(r > last) {
			t.Fatalf("resistance falls at %v", gauge(n))
		}
		last = r
		if r2 := gauge(n).Resistance(2*length, room); r2 != 2*r {
			t.Errorf("%v: twice the length has %v, want twice %v", gauge(n), r2, r)
		}
		if got, ok := gauge(n).Gauge(); got != n || !ok {
			t.Errorf("gauge %d tells %d, %v", n, got, ok)
		}
	}
	if _, ok := mustConductor(t, "4 mm2").Gauge(); ok {
		t.Error("an area has a gauge")
	}
	var none Conductor
	if r := none.Resistance(length, room); !math.IsInf(float64(r), 1) || none.Resistance(0, room) != 0 || !none.IsZero() {
		t.Errorf("no wire has %v", r)
	}
}

func TestAtLeast(t *testing.T) {
	for text, want := range map[string]string{
		"4 mm2": "10 AWG", "5.2 mm2": "10 AWG", "5.3 mm2": "8 AWG", "0.001 mm2": "40 AWG", "42 mm2": "1/0 AWG", "107 mm2": "4/0 AWG",
	} {
		got, ok := AtLeast(quantity.MustParse[quantity.Area](text))
		if !ok || got.String() != want {
			t.Errorf("AtLeast(%s) = %v, %v, want %s", text, got, ok, want)
		}
	}
	for _, bad := range []quantity.Area{108 * quantity.SquareMillimetre, quantity.Area(math.NaN())} {
		if c, ok := AtLeast(bad); ok || !c.IsZero() {
			t.Errorf("AtLeast(%v) = %v, %v, want none", bad, c, ok)
		}
	}
}

func TestConductorRefuses(t *testing.T) {
	for _, n := range []int{-4, 41, 1000} {
		if c, err := AWG(n); !errors.Is(err, quantity.ErrRange) || !c.IsZero() {
			t.Errorf("AWG(%d) = %v, %v", n, c, err)
		}
	}
	for _, a := range []quantity.Area{0, -4 * quantity.SquareMillimetre, 1 * quantity.SquareMetre, quantity.Area(math.NaN()), quantity.Area(math.Inf(1))} {
		if c, err := Section(a); !errors.Is(err, quantity.ErrRange) || !c.IsZero() {
			t.Errorf("Section(%v) = %v, %v", a, c, err)
		}
	}
	if c, err := AWG(-3); err != nil || c != mustConductor(t, "4/0 AWG") {
		t.Errorf("AWG(-3) = %v, %v", c, err)
	}
	if c, err := Section(4 * quantity.SquareMillimetre); err != nil || c != mustConductor(t, "4 mm2") {
		t.Errorf("Section = %v, %v", c, err)
	}
}
