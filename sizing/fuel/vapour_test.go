package fuel

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestVapourPressureOfBlends holds blends at 100 °F against published ones. The
// first two are what the constants were fitted to; the others were not.
func TestVapourPressureOfBlends(t *testing.T) {
	hundred := quantity.Fahrenheit(100)
	psi := func(text string) float64 { return blend(t, text).VapourPressure(hundred).In(quantity.PSIA) }
	gasoline := psi("E0")
	if rise := psi("E10") - gasoline; rise < 0.9 || rise > 1.1 {
		t.Errorf("10 %% of ethanol adds %.2f psi, want about 1 (NREL memo, 26 March 2012)", rise)
	}
	if p := blend(t, "E81.5").VapourPressure(hundred).In(quantity.Kilopascal); p < 41.5 || p > 45.1 {
		t.Errorf("E81.5 has %.1f kPa, want 41.5 to 45.1 (40 CFR 1065.725)", p)
	}
	// The US EPA lets E10 have 1 psi more than gasoline (89 FR 14760, 29 February
	// 2024), on whatever grade it is made.
	for _, grade := range []string{"regular gasoline", "test gasoline", "premium gasoline"} {
		if rise := psi("10 % ethanol + 90 % "+grade) - psi(grade); rise < 0.9 || rise > 1.1 {
			t.Errorf("10 %% of ethanol adds %.2f psi to %s, want about 1 (89 FR 14760)", rise, grade)
		}
	}
	if d := psi("E15") - psi("E10"); d < -0.2 || d > 0.2 {
		t.Errorf("E15 differs from E10 by %.2f psi, want next to nothing (NREL memo)", d)
	}
	// ASTM D5798-15: 5.5 psi (class 1) to 15 psi (class 4) between 51 and 83 %.
	for _, text := range []string{"E51", "E60", "E70", "E83"} {
		if p := psi(text); p < 5.5 || p > 15 {
			t.Errorf("%s has %.2f psi, want 5.5 to 15 (ASTM D5798-15)", text, p)
		}
	}
	if got := psi("E10"); got <= 0.9*gasoline+0.1*psi("E100") {
		t.Errorf("E10 has %.2f psi, a volume average or less", got)
	}
}

// No liquid in a stable mixture has more than the vapour pressure it has alone,
// so the sum of the two groups' is an upper bound.
func TestVapourPressureIsBounded(t *testing.T) {
	sweep(quantity.Celsius(0), quantity.Celsius(60), func(at quantity.Temperature) {
		e, g := lookup(t, "ethanol").VapourPressure(at), lookup(t, "gasoline").VapourPressure(at)
		for content := quantity.VolumeFraction(0); content <= 1; content += 0.05 {
			b, err := Ethanol(content)
			if err != nil {
				t.Fatal(err)
			}
			if p := b.VapourPressure(at); p > e+g || p < e {
				t.Errorf("%v at %v: %v is not between %v and %v", b, at, p, e, e+g)
			}
		}
	})
}

// Hydrocarbons among themselves follow Raoult's law here.
func TestHydrocarbonsAreIdeal(t *testing.T) {
	at := quantity.Celsius(30)
	b := blend(t, "50 % toluene + 50 % isooctane")
	var want, moles float64
	for _, p := range b.Parts() {
		c := lookup(t, p.Name)
		n := float64(p.Fraction) / float64(c.MolarMass())
		moles += n
		want += n * float64(c.VapourPressure(at))
	}
	within(t, "vapour pressure", float64(b.VapourPressure(at)), want/moles, 1e-12)
}

// TestVapourPressureRises is what a coupled model leans on: over all temperatures
// that a fuel system meets, any blend has a pressure that is finite, above zero and
// rising.
func TestVapourPressureRises(t *testing.T) {
	blends := grid(t)
	for _, alcohol := range []string{"ethanol", "methanol"} {
		for percent := 0; percent <= 100; percent += 5 {
			b, err := inGasoline(alcohol, float64(percent)/100)
			if err != nil {
				t.Fatal(err)
			}
			blends[b.String()] = b
			hydrous, err := Mix(Portion{b, 96}, Portion{blend(t, "90 % ethanol + 10 % water"), 4})
			if err != nil {
				t.Fatal(err)
			}
			blends[hydrous.String()] = hydrous
		}
	}
	for text, b := range blends {
		last := 0.0
		sweep(quantity.Celsius(-40), quantity.Celsius(150), func(at quantity.Temperature) {
			p := float64(b.VapourPressure(at))
			if !(p > last) || math.IsInf(p, 0) {
				t.Errorf("%s at %v: %g Pa after %g", text, at, p, last)
			}
			last = p
		})
	}
}

// A little more or less of a constituent changes the pressure a little, water beside
// hydrocarbons alone excepted.
func TestVapourPressureIsContinuous(t *testing.T) {
	at := quantity.Celsius(60)
	for _, pair := range [][2]string{
		{"gasoline", "0.000001 % ethanol + 99.999999 % gasoline"},
		{"ethanol", "99.999999 % ethanol + 0.000001 % gasoline"},
		{"ethanol", "99.999999 % ethanol + 0.000001 % water"},
		{"gasoline", "99.999999 % gasoline + 0.000001 % MTBE"},
		{"E70", "70 % ethanol + 29.999999 % gasoline + 0.000001 % water"},
	} {
		within(t, pair[1], float64(blend(t, pair[1]).VapourPressure(at)), float64(blend(t, pair[0]).VapourPressure(at)), 1e-6)
	}
}

// Toluene and water without alcohol are two layers, which boil together at 84.1 °C
// under one atmosphere (from memory), 20 wt% of water; the content does not matter.
func TestLayersBoilTogether(t *testing.T) {
	for _, text := range []string{"95 % toluene + 5 % water", "80 % toluene + 20 % water"} {
		at, err := blend(t, text).BoilingPoint(quantity.Atmosphere)
		if err != nil || math.Abs(at.Celsius()-84.1) > 0.6 {
			t.Errorf("%s boils at %v (%v), want 84.1 °C", text, at, err)
		}
	}
}

func TestBoilingPointOfBlends(t *testing.T) {
	for _, test := range []struct {
		text      string
		at        quantity.Pressure
		want      float64 // °C
		tolerance float64 // K
		source    string
	}{
		{"ethanol", quantity.Atmosphere, 78.29, 0.2, "CRC Handbook, 351.44 K"},
		{"methanol", quantity.Atmosphere, 64.65, 0.2, "CRC Handbook, 337.8 K"},
		{"isooctane", quantity.Atmosphere, 99.22, 0.2, "CRC Handbook, 372.37 K"},
		{"MTBE", quantity.Atmosphere, 55.0, 0.2, "CRC Handbook, 328.15 K"},
		// ASTM D86 initial boiling points of gasoline are 27 to 43 °C (from memory: 80 to
		// 110 °F), below the boiling point of the whole liquid.
		{"gasoline", quantity.Atmosphere, 50, 8, "common practice, no source"},
		{"ethanol", 2 * quantity.Atmosphere, 97.5, 0.7, "an old table, 97.5 °C, from memory"},
	} {
		got, err := blend(t, test.text).BoilingPoint(test.at)
		if err != nil || math.Abs(got.Celsius()-test.want) > test.tolerance {
			t.Errorf("%s at %v boils at %v (%v), want %.2f °C (%s)", test.text, test.at, got, err, test.want, test.source)
		}
	}
}

// TestBoilingPointUndoesVapourPressure goes there and back, and holds the margin to
// the same line.
func TestBoilingPointUndoesVapourPressure(t *testing.T) {
	for text, b := range grid(t) {
		lowest, highest := b.VapourPressureRange()
		sweep(lowest, highest, func(at quantity.Temperature) {
			p := b.VapourPressure(at)
			got, err := b.BoilingPoint(p)
			if err != nil || math.Abs(float64(got-at)) > 1e-6 {
				t.Errorf("%s at %v: boils at %v (%v)", text, p, got, err)
			}
			if m := b.BoilingMargin(at, p); m != 0 {
				t.Errorf("%s: margin %v at its own vapour pressure", text, m)
			}
			if m := b.BoilingMargin(at, 2*p); math.Abs(float64(m)/float64(p)-1) > 1e-12 {
				t.Errorf("%s: margin %v at twice %v", text, m, p)
			}
			if m := b.BoilingMargin(at, p/2); m >= 0 {
				t.Errorf("%s: margin %v at half of %v", text, m, p)
			}
		})
	}
}

func TestVapourPressureRange(t *testing.T) {
	for text, want := range map[string][2]float64{
		"gasoline": {-20, 100}, "E70": {-20, 100}, "winter gasoline": {-20, 100}, "95 % ethanol + 5 % water": {0, 100},
	} {
		low, high := blend(t, text).VapourPressureRange()
		if math.Abs(low.Celsius()-want[0]) > 1e-9 || math.Abs(high.Celsius()-want[1]) > 1e-9 {
			t.Errorf("%s: %v to %v, want %v °C", text, low, high, want)
		}
	}
	water := lookup(t, "water")
	if low, high := water.VapourPressureRange(); math.Abs(low.Celsius()) > 1e-9 || math.Abs(high.Celsius()-100) > 1e-9 {
		t.Errorf("water: %v to %v, want 0 to 100 °C", low, high)
	}
}

func TestBoilingPointErrors(t *testing.T) {
	for _, test := range []struct {
		b     Blend
		p     quantity.Pressure
		is    error
		wants string
	}{
		{Blend{}, quantity.Atmosphere, ErrComposition, "no fuel"},
		{blend(t, "E70"), 0, quantity.ErrRange, "not above zero"},
		{blend(t, "E70"), -quantity.Atmosphere, quantity.ErrRange, "not above zero"},
		{blend(t, "E70"), quantity.Pressure(math.NaN()), quantity.ErrRange, "not above zero"},
		{blend(t, "E70"), 1 * quantity.Kilopascal, quantity.ErrRange, "E70 boils below -20 °C"},
		{blend(t, "E70"), 20 * quantity.Bar, quantity.ErrRange, "E70 boils above 100 °C"},
		{blend(t, "E70"), quantity.Pressure(math.Inf(1)), quantity.ErrRange, "E70 boils above 100 °C"},
	} {
		got, err := test.b.BoilingPoint(test.p)
		if !errors.Is(err, test.is) || !strings.Contains(err.Error(), test.wants) || got != 0 {
			t.Errorf("%v at %v: %v, error %v, want %q", test.b, test.p, got, err, test.wants)
		}
	}
}
