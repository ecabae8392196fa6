package fuel

import (
	"math"
	"testing"
)

// TestDensityOfEthanolAndWater holds the formula at 20 °C against printed tables.
func TestDensityOfEthanolAndWater(t *testing.T) {
	for _, test := range []struct {
		percent   float64 // of ethanol by mass
		want      float64 // kg/m³
		tolerance float64 // kg/m³
		source    string
	}{
		{0, 998.201, 0.001, "OIML R 22"},
		{10, 981.848, 0.001, "the formula itself, against slips only"},
		{40, 935.145, 0.001, "the formula itself, against slips only"},
		{50, 913.771, 0.001, "the formula itself, against slips only"},
		{95, 804.144, 0.001, "the formula itself, against slips only"},
		{100, 789.239, 0.002, "OIML R 22"},
		{1, 996.36, 0.1, "Perry, 7th edition, table of ethyl alcohol at 20 °C; secondary"},
		{2, 994.53, 0.1, "Perry, 7th edition; secondary"},
		{5, 989.38, 0.1, "Perry, 7th edition; secondary"},
		{8, 984.78, 0.1, "Perry, 7th edition; secondary"},
		{10, 981.87, 0.1, "Perry, 7th edition; secondary"},
		{12, 979.10, 0.1, "Perry, 7th edition; secondary"},
		{60, 891, 0.5, "a public table of three digits"},
		{70, 867, 1, "a public table of three digits"},
		{80, 843, 1, "a public table of three digits"},
		{85, 831, 1, "a public table of three digits"},
		{90, 818, 0.5, "a public table of three digits"},
		{95, 805, 1, "a public table of three digits"},
	} {
		if got := densityOfAlcohol(test.percent / 100); math.Abs(got-test.want) > test.tolerance {
			t.Errorf("%g %% of ethanol: %.3f kg/m³, want %.3f (%s)", test.percent, got, test.want, test.source)
		}
	}
}

// The pure liquids lose nothing, any mixture does, and the most is 3.5 to 4 %: 100 L
// of each make 192.75 L (a public glossary; the strength of its alcohol is not
// stated).
func TestContraction(t *testing.T) {
	if a, b := contraction(0), contraction(1); math.Abs(a) > 1e-12 || math.Abs(b) > 1e-12 {
		t.Errorf("water alone loses %v, ethanol alone %v", a, b)
	}
	var most float64
	for p := 0.01; p < 1; p += 0.01 {
		c := contraction(p)
		if c <= 0 {
			t.Errorf("%.0f %%: %v", 100*p, c)
		}
		most = max(most, c)
	}
	if most < 0.035 || most > 0.04 {
		t.Errorf("the most is %v", most)
	}
	half := densityOfAlcohol(1) / (densityOfAlcohol(0) + densityOfAlcohol(1))
	within(t, "100 L and 100 L", 200*(1-contraction(half)), 192.75, 0.0015)
}

// In a blend the loss is that of the share that ethanol and water fill.
func TestContractionOfABlend(t *testing.T) {
	hydrous := blend(t, "95 % ethanol + 5 % water")
	lost := hydrous.contraction()
	if lost < 0.008 || lost > 0.012 {
		t.Errorf("hydrous ethanol loses %v", lost)
	}
	with := blend(t, "50 % gasoline + 47.5 % ethanol + 2.5 % water")
	within(t, "half of it", with.contraction(), lost/2, 1e-9)
	for _, text := range []string{"ethanol", "E70", "M85", "99 % gasoline + 1 % water"} {
		b := blend(t, text)
		if c := b.contraction(); c != 0 {
			t.Errorf("%s loses %v", text, c)
		}
	}
}
