package plumbing

import (
	"math"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// TestSpecificHeat: of ethanol by Perry's equation (Chemical Engineers' Handbook, 7th
// edition, table 2-196, as public code has it), of gasoline by Cragoe's (Bureau of
// Standards, Miscellaneous Publication 97, 1929; the form 0.388 + 0.00045 t in Btu/lb °F
// over the root of the specific gravity is quoted at eng-tips.com), and
// tables: amesweb.info and engineeringtoolbox.com have methanol 2.55, n-heptane 2.24, ethanol 2.46
// and water 4.18 kJ/(kg K).
func TestSpecificHeat(t *testing.T) {
	of := func(name string) float64 {
		b, err := fuel.Parse(name)
		if err != nil {
			t.Fatal(err)
		}
		c, known := SpecificHeatOf(b)
		if !known {
			t.Errorf("%s is not known", name)
		}
		return c.In(quantity.KilojoulePerKilogramKelvin)
	}
	const at = 298.15
	perry := (1.0264e5 - 139.63*at - 3.0341e-2*at*at + 2.0386e-3*at*at*at) / 46.07 / 1000
	near(t, "ethanol by Perry", of("ethanol"), perry, 2e-3)
	cragoe := (0.388 + 0.00045*77) / math.Sqrt(0.745) * 4.1868
	near(t, "gasoline by Cragoe", of("gasoline"), cragoe, 0.02)
	for name, want := range map[string]float64{"methanol": 2.55, "ethanol": 2.46, "n-heptane": 2.24} {
		near(t, name, of(name), want, 0.011)
	}
	// A blend is the mass average.
	e50, err := fuel.Parse("E50")
	if err != nil {
		t.Fatal(err)
	}
	w := float64(e50.MassFraction("ethanol"))
	near(t, "E50", of("E50"), w*of("ethanol")+(1-w)*of("gasoline"), 1e-12)
	if c, known := SpecificHeatOf(fuel.Blend{}); c != 0 || known {
		t.Errorf("no fuel has %v, %v", c, known)
	}
	if got := (2.08 * quantity.KilojoulePerKilogramKelvin).String(); got != "2.08 kJ/(kg·K)" {
		t.Errorf("prints %q", got)
	}
	c, known := heatOf([]fuel.MassPart{{Name: "toluene", Fraction: 0.5}, {Name: "made up", Fraction: 0.5}})
	if want := (specificHeats["toluene"] + UsualSpecificHeat) / 2; known || math.Abs(float64(c-want)) > 1e-9 {
		t.Errorf("half of it unknown: %v, %v, want %v", c, known, want)
	}
	for name := range specificHeats {
		if _, err := fuel.Lookup(name); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
