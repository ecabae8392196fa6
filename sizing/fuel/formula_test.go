package fuel

import (
	"math"
	"testing"
)

func TestParseFormula(t *testing.T) {
	for _, test := range []struct {
		text  string
		atoms Atoms
		molar float64 // g/mol, AFDC table and VDI Heat Atlas
	}{
		{"C2H6O", Atoms{2, 6, 1}, 46.07},
		{"CH4O", Atoms{1, 4, 1}, 32.04},
		{"H2O", Atoms{0, 2, 1}, 18.02},
		{"C7H16", Atoms{7, 16, 0}, 100.21},
		{"C7H8", Atoms{7, 8, 0}, 92.14},
		{"C7.4H13.838", Atoms{7.4, 13.838, 0}, 102.83},
	} {
		got, err := parseFormula(test.text)
		if err != nil || got != test.atoms {
			t.Errorf("%s: %v %v", test.text, got, err)
		}
		if m := 1e3 * got.molarMass(); math.Abs(m-test.molar) > 0.006 {
			t.Errorf("%s: molar mass %.4f, want %.2f", test.text, m, test.molar)
		}
	}
	for _, text := range []string{"", "C", "O2", "C2H6S", "C2H6OH", "CxH4", "C-1H4", "C1e9H4", "2CH", "C2H6O "} {
		if got, err := parseFormula(text); err == nil {
			t.Errorf("%q reads as %v", text, got)
		}
	}
}
