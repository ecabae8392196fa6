package wiring

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestPower(t *testing.T) {
	if got := PowerOf(13.5*quantity.Volt, 12*quantity.Ampere); got != 162*Watt || got.In(Kilowatt) != 0.162 || got.String() != "162 W" {
		t.Errorf("13.5 V and 12 A are %v", got)
	}
	for text, want := range map[string]Power{"300 W": 300 * Watt, "0.3kW": 300 * Watt, "0 W": 0} {
		if got, err := ParsePower(text); err != nil || math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("ParsePower(%q) = %v, %v, want %v", text, got, err, want)
		}
	}
	for text, kind := range map[string]error{"": quantity.ErrSyntax, "300": quantity.ErrSyntax, "300 V": quantity.ErrSyntax, "300 whp": quantity.ErrSyntax, "-3 W": quantity.ErrRange} {
		p := 7 * Watt
		err := p.UnmarshalText([]byte(text))
		if !errors.Is(err, kind) || !strings.HasSuffix(err.Error(), "; want "+Power(0).Accepts()) || p != 7*Watt {
			t.Errorf("%q: %v, power %v", text, err, p)
		}
	}
	if text, err := Power(math.NaN()).MarshalText(); err == nil {
		t.Errorf("no number is written %q", text)
	}
}

// FuzzParsePower: whatever reads is not negative and is written so that it reads
// back the same.
func FuzzParsePower(f *testing.F) {
	for _, seed := range []string{"300 W", "0.3 kW", "-0 W", "1e400 W", "1 hp", "W"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePower(text)
		if err != nil {
			if p != 0 {
				t.Errorf("%q: %v with error %v", text, p, err)
			}
			return
		}
		written, err := p.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Power
		if err := back.UnmarshalText(written); err != nil || back != p || !(p >= 0) {
			t.Errorf("%q: %v is written %q, reads as %v, %v", text, p, written, back, err)
		}
	})
}
