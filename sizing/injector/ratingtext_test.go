package injector

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

func TestParseRating(t *testing.T) {
	tests := []struct {
		text     string
		si, us   string
		pressure quantity.PressureDiff
	}{
		{"440 cc/min at 3 bar on n-heptane", "440 cc/min at 300 kPa on n-heptane", "440 cc/min at 43.51 psi on n-heptane", 3 * quantity.BarDiff},
		{"142 lb/h at 43.5 psi", "17.89 g/s at 299.9 kPa", "142 lb/h at 43.5 psi", 43.5 * quantity.PSI},
		{"60 lb/h at 300 kPa on gasoline", "7.56 g/s at 300 kPa on gasoline", "60 lb/h at 43.51 psi on gasoline", 300 * quantity.KilopascalDiff},
		{"1000 cc/min at 3 barg on E85 at 77 degF", "1000 cc/min at 300 kPa on E85 at 25 °C", "1000 cc/min at 43.51 psi on E85 at 77 °F", 3 * quantity.BarDiff},
		{"440  cc/min at\t3 bar on N-Heptane at 21 degC", "440 cc/min at 300 kPa on n-heptane at 21 °C", "440 cc/min at 43.51 psi on n-heptane at 69.8 °F", 3 * quantity.BarDiff},
		{"30 gph at 3 bar", "1893 cc/min at 300 kPa", "1893 cc/min at 43.51 psi", 3 * quantity.BarDiff},
	}
	for _, tt := range tests {
		r, err := ParseRating(tt.text)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		if r.String() != tt.si || r.Format(quantity.US) != tt.us || r.Pressure() != tt.pressure {
			t.Errorf("%q reads as %q, %q at %v", tt.text, r, r.Format(quantity.US), r.Pressure())
		}
		// What is printed reads as the same rating to the digits printed.
		back, err := ParseRating(r.String())
		if err != nil || back.FluidAssumed() != r.FluidAssumed() || back.Fluid() != r.Fluid() {
			t.Errorf("%q printed as %q reads as %v, %v", tt.text, r, back, err)
			continue
		}
		near(t, "flow of "+r.String(), float64(back.Mass()), float64(r.Mass()), 1e-3)
	}
}

func TestParseRatingRefuses(t *testing.T) {
	tests := []struct {
		text, want string
		kind       error
	}{
		{"", `no " at "`, quantity.ErrSyntax},
		{"440 cc/min", "a flow alone does not rate an injector", quantity.ErrSyntax},
		{"3 bar at 440 cc/min", `unknown unit "cc/min"; want a pressure difference`, quantity.ErrSyntax},
		{"440 bar at 3 bar", `"440 bar": unknown unit "bar"; want a flow at a differential pressure`, quantity.ErrSyntax},
		{"440 at 3 bar", "the unit is missing", quantity.ErrSyntax},
		{"1,000 cc/min at 3 bar", "a comma in a number is ambiguous", quantity.ErrSyntax},
		{"-440 cc/min at 3 bar", "below the least possible value", quantity.ErrRange},
		{"-60 lb/h at 3 bar", "below the least possible value", quantity.ErrRange},
		{"0 cc/min at 3 bar", "flow: ", quantity.ErrRange},
		{"440 cc/min at 0 bar", "test pressure: ", quantity.ErrRange},
		{"440 cc/min at -3 bar", "test pressure: ", quantity.ErrRange},
		{"440 cc/min at 3 bara", "an absolute pressure cannot stand for", quantity.ErrSyntax},
		{"440 cc/min at 3 bar at 20 degC", "unknown unit", quantity.ErrSyntax},
		{"440 cc/min at 3 bar ON gasoline", "unknown unit", quantity.ErrSyntax},
		{"440 cc/min at 3 bar on", "unknown unit", quantity.ErrSyntax},
		{"440 cc/min at 3 bar on brine", "test fluid: ", fuel.ErrUnknown},
		{"440 cc/min at 3 bar on gasoline at 700 degF", "test temperature: ", quantity.ErrRange},
		{"440 cc/min at 3 bar on gasoline at 0 K", "test temperature: ", quantity.ErrRange},
		{"440 cc/min at 3 bar on gasoline at 20", "the unit is missing", quantity.ErrSyntax},
	}
	for _, tt := range tests {
		before := mustParse(t, "1 g/s at 1 bar")
		r := before
		err := r.UnmarshalText([]byte(tt.text))
		if err == nil || !errors.Is(err, tt.kind) || !strings.Contains(err.Error(), tt.want) || !strings.Contains(err.Error(), "; want ") {
			t.Errorf("%q: error %v, want kind %v with %q and what is accepted", tt.text, err, tt.kind, tt.want)
		}
		if r != before {
			t.Errorf("%q: changed the rating", tt.text)
		}
	}
}

func TestRatingMarshalRefuses(t *testing.T) {
	if got := (Rating{}).Accepts(); !strings.Contains(got, `"440 cc/min at 3 bar"`) {
		t.Errorf("Accepts: %q", got)
	}
	var none Rating
	if text, err := none.MarshalText(); err == nil {
		t.Errorf("no rating is written %q", text)
	}
	if got := none.String(); got != "no rating" {
		t.Errorf("no rating prints %q", got)
	}
	huge := Rating{mass: quantity.MassFlow(math.Inf(1)), pressure: 1 * quantity.PascalDiff}
	if text, err := huge.MarshalText(); err == nil {
		t.Errorf("an infinite flow is written %q", text)
	}
}

// FuzzParseRating: whatever reads is written so that it reads back the same, and
// delivers a positive flow.
func FuzzParseRating(f *testing.F) {
	for _, seed := range []string{
		"440 cc/min at 3 bar", "142 lb/h at 43.5 psi", "60 lb/h at 300 kPa on gasoline",
		"440 cc/min at 3 bar on n-heptane at 21 degC", "1 g/s at 1 Pa on E12.345678 at 300.15 K",
		"1e-320 cc/min at 3 bar", "1e300 kg/s at 1e-300 Pa on methanol", "440 cc/min at 3 bar on 50 % toluene + 50 % isooctane",
		"440 cc/min on gasoline at 3 bar", " at  on  at ", "440 cc/min at 3 bar on gasoline at -300 degC",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseRating(text)
		if err != nil {
			if !r.IsZero() {
				t.Errorf("%q: rating %v with error %v", text, r, err)
			}
			return
		}
		if !(r.Density() > 0) || r.Flow(r.Density(), r.Pressure()) != r.Mass() {
			t.Errorf("%q: %+v delivers %v in its own test", text, r, r.Flow(r.Density(), r.Pressure()))
		}
		written, err := r.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Rating
		if err := back.UnmarshalText(written); err != nil || back != r {
			t.Errorf("%q: written %q, reads as %+v, %v; want %+v", text, written, back, err, r)
		}
	})
}
