package fuel

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestParse(t *testing.T) {
	for _, test := range []struct {
		text, name string
		ethanol    float64
	}{
		{"E70", "E70", 0.7},
		{"e70", "E70", 0.7},
		{" E12.5 ", "E12.5", 0.125},
		{"E0", "gasoline", 0},
		{"E100", "ethanol", 1},
		{"E070", "E70", 0.7},
		{"gasoline", "gasoline", 0},
		{"Petrol", "gasoline", 0},
		{"ethanol", "ethanol", 1},
		{"Methanol", "methanol", 0},
		{"M85", "M85", 0},
		{"m100", "methanol", 0},
		{"n-heptane", "n-heptane", 0},
		{"2,2,4-trimethylpentane", "isooctane", 0},
		{"50 % toluene + 50 % isooctane", "50 % isooctane + 50 % toluene", 0},
		{"50%toluene+50%isooctane", "50 % isooctane + 50 % toluene", 0},
		{"30 % gasoline + 70 % ethanol", "E70", 0.7},
		{"100 % ethanol", "ethanol", 1},
		{"premium gasoline", "premium gasoline", 0},
		{"Test Gasoline", "test gasoline", 0},
		{"certification gasoline", "test gasoline", 0},
		{"regular petrol", "regular gasoline", 0},
		{"10 % ethanol + 90 % premium gasoline", "10 % ethanol + 90 % premium gasoline", 0.1},
		{"15 % methyl tert-butyl ether + 85 % petrol", "85 % gasoline + 15 % MTBE", 0},
		{"mtbe", "MTBE", 0},
		{"etbe", "ETBE", 0},
		{"95 % EtOH + 5 % water", "95 % ethanol + 5 % water", 0.95},
	} {
		b, err := Parse(test.text)
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
			continue
		}
		if b.String() != test.name || float64(b.EthanolContent()) != test.ethanol {
			t.Errorf("%q is %v with %v ethanol, want %s with %v", test.text, b, b.EthanolContent(), test.name, test.ethanol)
		}
	}
}

func TestParseErrors(t *testing.T) {
	for _, test := range []struct {
		text  string
		is    error
		wants string
	}{
		{"E120", ErrComposition, "ethanol content 120 % is not from 0 to 100 %"},
		{"E-5", ErrComposition, "ethanol content -5 %"},
		{"M101", ErrComposition, "methanol content 101 %"},
		{"", ErrUnknown, `unknown fuel ""`},
		{"E", ErrUnknown, `unknown fuel "E"`},
		{"E7O", ErrUnknown, `unknown fuel "E7O"`},
		{"E7e1", ErrUnknown, `unknown fuel "E7e1"`},
		{"E0x10", ErrUnknown, "unknown fuel"},
		{"Einf", ErrUnknown, "unknown fuel"},
		{"E--7", ErrUnknown, "unknown fuel"},
		{"kerosene", ErrUnknown, "known are ETBE, ethanol, gasoline"},
		{"super gasoline", ErrUnknown, "known are ETBE, ethanol, gasoline"},
		{"premum gasoline", ErrUnknown, `did you mean "premium gasoline"?`},
		{"10 % ethanol + 90 % racing gasoline", ErrUnknown, `unknown fuel "racing gasoline"`},
		{"toluen", ErrUnknown, `did you mean "toluene"?`},
		{"water", ErrComposition, "water does not burn"},
		{"70 % toluene", ErrComposition, "add up to 0.7, not to 1"},
		{"toluene + isooctane", ErrComposition, `"toluene" has no percent sign`},
		{"x % toluene", ErrComposition, `"x" is no percentage`},
		{"E70 + 10 % water", ErrComposition, `"E70" has no percent sign`},
		{"50 % toluene + 50 % toluene", ErrComposition, "toluene is given twice"},
		{"150 % toluene + -50 % isooctane", ErrComposition, "not from 0 to 1"},
	} {
		b, err := Parse(test.text)
		if !errors.Is(err, test.is) || !strings.Contains(err.Error(), test.wants) {
			t.Errorf("%q: error %v, want %q", test.text, err, test.wants)
			continue
		}
		if !strings.Contains(err.Error(), accepted) {
			t.Errorf("%q: error %q does not say what is accepted", test.text, err)
		}
		if !b.IsZero() {
			t.Errorf("%q: %v comes with the error", test.text, b)
		}
	}
}

func TestTextComesBack(t *testing.T) {
	for text, b := range grid(t) {
		data, err := json.Marshal(b)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		var again Blend
		if err := json.Unmarshal(data, &again); err != nil || again != b {
			t.Errorf("%s: %s reads back as %v (%v)", text, data, again, err)
		}
	}
	for _, content := range []float64{1.0 / 3, 0.1 + 0.2, math.Nextafter(0.7, 1), 1e-9, 5e-324, 1 - 1e-16} {
		b, err := inGasoline("ethanol", content)
		if err != nil {
			t.Fatal(err)
		}
		data, err := b.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		if again := blend(t, string(data)); again != b {
			t.Errorf("%g: %s reads back as %v", content, data, again)
		}
	}
}

// Shares that miss a sum of one by roundoff keep their bits.
func TestManyDigitsComeBack(t *testing.T) {
	const text = "74.25298373456091 % ethanol + 24.688014067246294 % isooctane + 1.059002198192808 % toluene"
	data, err := blend(t, text).MarshalText()
	if err != nil || string(data) != text {
		t.Errorf("%s is written as %s (%v)", text, data, err)
	}
}

func TestUnmarshalLeavesTheBlendOnError(t *testing.T) {
	b := blend(t, "E70")
	if err := b.UnmarshalText([]byte("E120")); err == nil || b != blend(t, "E70") {
		t.Errorf("%v, error %v", b, err)
	}
	if data, err := (Blend{}).MarshalText(); !errors.Is(err, ErrComposition) {
		t.Errorf("no fuel is written as %q (%v)", data, err)
	}
}

func TestPercent(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 1: "100", 0.7: "70", 0.125: "12.5", 0.005: "0.5", 0.0005: "0.05", 0.01: "1", 0.1234567: "12.34567",
	} {
		if got := percent(v); got != want {
			t.Errorf("percent(%v) is %s, want %s", v, got, want)
		}
	}
}

// FuzzParse holds every text that parses to the promises of Parse: what is
// written reads back the same, the parts add up and the numbers are sane.
func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"E70", "e0", "E100", "E120", "E12.5", "E-5", "E.5", "E5.", "M85", "gasoline", "n-heptane", "kerosene", "water", "", "E", "E.",
		"50 % toluene + 50 % isooctane",
		"95 % ethanol + 5 % water",
		"33.3333 % toluene + 33.3333 % isooctane + 33.3334 % n-heptane",
		"0 % toluene + 100 % ethanol",
		"0.00000001 % water + 99.99999999 % ethanol",
		"10 % ethanol + 90 % premium gasoline", "15 % MTBE + 85 % petrol", "MTBE", "M", "ETBE", "test gasoline",
		"% + %", "+", "E1e2", "E0x1p4", "E1_0", "Eİ",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		b, err := Parse(text)
		if err != nil {
			if !b.IsZero() || !(errors.Is(err, ErrUnknown) || errors.Is(err, ErrComposition)) {
				t.Fatalf("%q: %v with error %v", text, b, err)
			}
			return
		}
		data, err := b.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		again, err := Parse(string(data))
		if err != nil || again != b {
			t.Fatalf("%q is written as %q, which reads as %v (%v)", text, data, again, err)
		}
		if more, _ := again.MarshalText(); string(more) != string(data) {
			t.Fatalf("%q is written as %q and then as %q", text, data, more)
		}
		carbon, hydrogen, oxygen := b.Elements()
		if sum := carbon + hydrogen + oxygen; math.Abs(float64(sum)-1) > 1e-9 {
			t.Fatalf("%q: the elements add up to %v", text, sum)
		}
		if v := hot(b, Reference); !(v > 0) || math.IsInf(v, 0) {
			t.Fatalf("%q: the properties add up to %v", text, v)
		}
		if cold, warm := b.VapourPressure(quantity.Celsius(0)), b.VapourPressure(quantity.Celsius(100)); !(cold > 0 && warm > cold) {
			t.Fatalf("%q: vapour pressure %v at 0 °C and %v at 100 °C", text, cold, warm)
		}
	})
}
