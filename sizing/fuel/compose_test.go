package fuel

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestByMassUndoesParts(t *testing.T) {
	at := quantity.Celsius(40)
	for text, b := range grid(t) {
		again, err := ByMass(b.Parts()...)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		for _, c := range b.Constituents() {
			within(t, text+": "+c.Name(), float64(again.VolumeFraction(c.Name())), float64(b.VolumeFraction(c.Name())), 1e-12)
		}
		within(t, text+" density", float64(again.Density(at)), float64(b.Density(at)), 1e-12)
		within(t, text+" air-fuel ratio", float64(again.StoichiometricAFR()), float64(b.StoichiometricAFR()), 1e-12)
	}
}

// Volumes measured warm hold less of what expands more: the masses have to be
// those of the volumes at that temperature.
func TestByVolumeAtAnotherTemperature(t *testing.T) {
	at := quantity.Celsius(40)
	b, err := ByVolume(at, VolumePart{"ethanol", 0.5}, VolumePart{"gasoline", 0.5})
	if err != nil {
		t.Fatal(err)
	}
	e, g := float64(lookup(t, "ethanol").Density(at)), float64(lookup(t, "gasoline").Density(at))
	within(t, "ethanol by mass", float64(b.MassFraction("ethanol")), e/(e+g), 1e-12)
	within(t, "density", float64(b.Density(at)), (e+g)/2, 1e-12)
	if b.EthanolContent() <= 0.5 {
		t.Errorf("content at 15 °C is %v; gasoline shrinks more on cooling", b.EthanolContent())
	}
	cold, err := ByVolume(Reference, VolumePart{"ethanol", 0.5}, VolumePart{"gasoline", 0.5})
	if err != nil || cold != blend(t, "E50") {
		t.Errorf("half and half at 15 °C is %v, not E50 (%v)", cold, err)
	}
}

func TestCompositionErrors(t *testing.T) {
	for _, test := range []struct {
		name  string
		make  func() (Blend, error)
		is    error
		wants string
	}{
		{"nothing", func() (Blend, error) { return ByMass() }, ErrComposition, "add up to 0"},
		{"too little", func() (Blend, error) { return ByMass(MassPart{"ethanol", 0.9}) }, ErrComposition, "add up to 0.9, not to 1"},
		{"twice", func() (Blend, error) { return ByMass(MassPart{"ethanol", 0.5}, MassPart{"EtOH", 0.5}) }, ErrComposition, "ethanol is given twice"},
		{"negative", func() (Blend, error) { return ByMass(MassPart{"ethanol", -0.5}, MassPart{"gasoline", 1.5}) }, ErrComposition, "the share of ethanol is -0.5"},
		{"NaN", func() (Blend, error) { return ByMass(MassPart{"ethanol", quantity.MassFraction(math.NaN())}) }, ErrComposition, "NaN"},
		{"unknown", func() (Blend, error) { return ByMass(MassPart{"diesel", 1}) }, ErrUnknown, `unknown fuel "diesel"`},
		{"water", func() (Blend, error) { return ByMass(MassPart{"water", 1}) }, ErrComposition, "water does not burn"},
		{"mostly water", func() (Blend, error) { return ByMass(MassPart{"water", 0.95}, MassPart{"ethanol", 0.05}) }, ErrComposition, "does not burn"},
		{"content", func() (Blend, error) { return Ethanol(1.2) }, ErrComposition, "ethanol content 120 % is not from 0 to 100 %"},
		{"content NaN", func() (Blend, error) { return Ethanol(quantity.VolumeFraction(math.NaN())) }, ErrComposition, "NaN"},
		{"too hot", func() (Blend, error) { return ByVolume(quantity.Celsius(2000), VolumePart{"ethanol", 1}) }, ErrComposition, "temperature"},
		{"no temperature", func() (Blend, error) {
			return ByVolume(quantity.Temperature(math.NaN()), VolumePart{"ethanol", 1})
		}, ErrComposition, "temperature"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b, err := test.make()
			if !errors.Is(err, test.is) || !strings.Contains(err.Error(), test.wants) {
				t.Errorf("error %v, want %q", err, test.wants)
			}
			if !b.IsZero() {
				t.Errorf("%v comes with the error", b)
			}
		})
	}
}

func TestRoundedSharesAreScaled(t *testing.T) {
	b, err := ByMass(MassPart{"toluene", 0.3333333}, MassPart{"isooctane", 0.3333333}, MassPart{"n-heptane", 0.3333333})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "toluene", float64(b.MassFraction("toluene")), 1.0/3, 1e-12)
}
