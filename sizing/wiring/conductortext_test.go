package wiring

import (
	"errors"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestParseConductor(t *testing.T) {
	for text, want := range map[string]string{
		"10 AWG": "10 AWG", "10awg": "10 AWG", " 8  Awg ": "8 AWG", "0 AWG": "1/0 AWG", "00 AWG": "2/0 AWG", "0000 AWG": "4/0 AWG",
		"1/0 AWG": "1/0 AWG", "3/0 awg": "3/0 AWG", "4 mm2": "4 mm²", "4mm²": "4 mm²", "0.01 sq in": "6.452 mm²",
	} {
		c, err := ParseConductor(text)
		if err != nil || c.String() != want {
			t.Errorf("ParseConductor(%q) = %v, %v, want %s", text, c, err, want)
		}
	}
	if got := mustConductor(t, "4 mm2").Format(quantity.US); got != "0.0062 in²" {
		t.Errorf("US: %q", got)
	}
}

func TestParseConductorRefuses(t *testing.T) {
	for text, kind := range map[string]error{
		"": quantity.ErrSyntax, "AWG": quantity.ErrSyntax, "ten AWG": quantity.ErrSyntax, "-2 AWG": quantity.ErrSyntax, "10.5 AWG": quantity.ErrSyntax,
		"0/0 AWG": quantity.ErrSyntax, "1/2 AWG": quantity.ErrSyntax, "10": quantity.ErrSyntax, "4 mm": quantity.ErrSyntax, "10 ga": quantity.ErrSyntax,
		"41 AWG": quantity.ErrRange, "5/0 AWG": quantity.ErrRange, "00000 AWG": quantity.ErrRange, "0 mm2": quantity.ErrRange, "-4 mm2": quantity.ErrRange, "4 m2": quantity.ErrRange,
	} {
		before := mustConductor(t, "10 AWG")
		c := before
		err := c.UnmarshalText([]byte(text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !errors.Is(err, kind) || pe.Accepted == "" {
			t.Errorf("%q: error %v, want kind %v and what is accepted", text, err, kind)
		}
		if c != before {
			t.Errorf("%q: changed the conductor", text)
		}
	}
	if got := (Conductor{}).Accepts(); !strings.Contains(got, `"10 AWG"`) {
		t.Errorf("Accepts: %q", got)
	}
	if text, err := (Conductor{}).MarshalText(); err == nil || (Conductor{}).String() != "no wire" {
		t.Errorf("no wire is written %q", text)
	}
}

// FuzzParseConductor: whatever reads has copper and is written so that it reads back
// the same.
func FuzzParseConductor(f *testing.F) {
	for _, seed := range []string{"10 AWG", "2/0 AWG", "00awg", "4 mm2", "1e-8 m2", "0x10 AWG", "+1 AWG", "1/0/0 AWG", "ſ AWG", "999999999999999999999 AWG"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseConductor(text)
		if err != nil {
			if !c.IsZero() {
				t.Errorf("%q: %v with error %v", text, c, err)
			}
			return
		}
		if !(c.Area() > 0) {
			t.Errorf("%q has %v of copper", text, c.Area())
		}
		written, err := c.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Conductor
		if err := back.UnmarshalText(written); err != nil || back != c {
			t.Errorf("%q: written %q, reads as %v, %v", text, written, back, err)
		}
	})
}
