package fuel

import (
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
