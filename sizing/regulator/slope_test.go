package regulator

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestParseSlope(t *testing.T) {
	want := Slope{Rise: 8 * quantity.KilopascalDiff, Per: 100 * quantity.LitrePerHour}
	for text, want := range map[string]Slope{
		"8 kPa per 100 L/h": want, " 8kPa  per\t100lph ": want, "none": {}, " NONE ": {},
		"1.2 psi per 25 gph": {Rise: 1.2 * quantity.PSI, Per: 25 * quantity.GallonPerHour},
	} {
		got, err := ParseSlope(text)
		if err != nil || math.Abs(float64(got.Rise-want.Rise)) > 1e-9 || math.Abs(float64(got.Per-want.Per)) > 1e-18 {
			t.Errorf("ParseSlope(%q) = %v, %v, want %v", text, got, err, want)
		}
	}
	if got := want.String(); got != "8 kPa per 100 L/h" {
		t.Errorf("String: %q", got)
	}
	if got := want.Format(quantity.US); got != "1.16 psi per 26.42 gal/h" {
		t.Errorf("US: %q", got)
	}
	if got := (Slope{}).String(); got != "none" {
		t.Errorf("zero: %q", got)
	}
}

func TestParseSlopeRefuses(t *testing.T) {
	for text, kind := range map[string]error{
		"": quantity.ErrSyntax, "8 kPa": quantity.ErrSyntax, "8 kPa at 100 L/h": quantity.ErrSyntax, "100 L/h per 8 kPa": quantity.ErrSyntax, "8 kPa per 100 g/s": quantity.ErrSyntax,
		"8 psia per 100 L/h": quantity.ErrSyntax, "0 kPa per 100 L/h": quantity.ErrRange, "-8 kPa per 100 L/h": quantity.ErrRange, "8 kPa per 0 L/h": quantity.ErrRange,
	} {
		s := Slope{Rise: 1 * quantity.PascalDiff, Per: 1 * quantity.LitrePerHour}
		err := s.UnmarshalText([]byte(text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !errors.Is(err, kind) || pe.Accepted == "" || s.Rise != 1*quantity.PascalDiff {
			t.Errorf("%q: slope %v, error %v, want kind %v", text, s, err, kind)
		}
	}
	if got := (Slope{}).Accepts(); !strings.Contains(got, `"8 kPa per 100 L/h"`) {
		t.Errorf("Accepts: %q", got)
	}
	for _, bad := range []Slope{{Rise: quantity.PressureDiff(math.NaN())}, {Per: quantity.VolumeFlow(math.Inf(1))}} {
		if text, err := bad.MarshalText(); err == nil {
			t.Errorf("%v is written %q", bad, text)
		}
		if err := bad.Validate(); !errors.Is(err, quantity.ErrRange) {
			t.Errorf("%v is valid: %v", bad, err)
		}
	}
}

func TestSlopeOver(t *testing.T) {
	s := Slope{Rise: 8 * quantity.KilopascalDiff, Per: 100 * quantity.LitrePerHour}
	for flow, want := range map[float64]float64{-50: 0, 0: 0, 50: 4, 100: 8, 350: 28} {
		if got := s.Over(quantity.Of(flow, quantity.LitrePerHour)).In(quantity.KilopascalDiff); math.Abs(got-want) > 1e-12 {
			t.Errorf("over %g L/h %g kPa, want %g", flow, got, want)
		}
	}
	if got := (Slope{}).Over(100 * quantity.LitrePerHour); got != 0 {
		t.Errorf("no slope rises %v", got)
	}
}

// FuzzParseSlope: whatever reads is valid and is written so that it reads back the
// same.
func FuzzParseSlope(f *testing.F) {
	for _, seed := range []string{"8 kPa per 100 L/h", "none", "1psi per 1gph", " per ", "8 kPa per 100 L/h per 1", "1e-300 Pa per 1e300 m3/s", "-0 Pa per 1 L/h"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSlope(text)
		if err != nil {
			if s != (Slope{}) {
				t.Errorf("%q: slope %v with error %v", text, s, err)
			}
			return
		}
		if err := s.Validate(); err != nil {
			t.Errorf("%q: reads as %v, but %v", text, s, err)
		}
		written, err := s.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Slope
		if err := back.UnmarshalText(written); err != nil || back != s {
			t.Errorf("%q: written %q, reads as %v, %v", text, written, back, err)
		}
	})
}
