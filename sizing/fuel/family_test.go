package fuel

import (
	"math"
	"testing"
)

func TestFamilies(t *testing.T) {
	for name, want := range map[string]Family{
		"gasoline": Gasoline, "premium gasoline": Gasoline, "test gasoline": Gasoline, "toluene": Hydrocarbon,
		"ethanol": Alcohol, "MTBE": Ether, "ETBE": Ether, "water": Water,
	} {
		if got := lookup(t, name).Family(); got != want {
			t.Errorf("%s is of the family %q, want %q", name, got, want)
		}
	}
}

func TestFamilyFits(t *testing.T) {
	ethanol, toluene, water := Atoms{2, 6, 1}, Atoms{7, 8, 0}, Atoms{0, 2, 1}
	for _, test := range []struct {
		family Family
		atoms  Atoms
		want   bool
	}{
		{Alcohol, ethanol, true}, {Ether, ethanol, true}, {Gasoline, ethanol, false}, {Water, ethanol, false},
		{Hydrocarbon, toluene, true}, {Gasoline, toluene, true}, {Alcohol, toluene, false}, {Water, toluene, false},
		{Water, water, true}, {Alcohol, water, false}, {Hydrocarbon, water, false},
	} {
		if got := test.family.fits(test.atoms); got != test.want {
			t.Errorf("%v fits %s: %v", test.atoms, test.family, got)
		}
	}
}

func TestGasolineContent(t *testing.T) {
	for text, want := range map[string]float64{
		"gasoline": 1, "E70": 0.3, "20 % premium gasoline + 30 % gasoline + 50 % toluene": 0.5, "ethanol": 0, "isooctane": 0,
	} {
		if got := float64(blend(t, text).GasolineContent()); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s holds %v gasoline, want %v", text, got, want)
		}
	}
}
