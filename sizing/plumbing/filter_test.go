package plumbing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestParseFilter(t *testing.T) {
	rated := Filter{Flow: 300 * quantity.LitrePerHour, Drop: 15 * quantity.KilopascalDiff}
	tests := []struct {
		text string
		want Filter
	}{
		{"15 kPa at 300 L/h", rated},
		{"  15kPa   at\t300 lph ", rated},
		{"15 kPag at 300 L/h", rated}, // a gauge reading across the filter
		{"2 psi at 90 gph", Filter{Flow: 90 * quantity.GallonPerHour, Drop: 2 * quantity.PSI}},
		{"none", Filter{}},
		{" None ", Filter{}},
	}
	for _, tt := range tests {
		if got, err := ParseFilter(tt.text); err != nil || got != tt.want {
			t.Errorf("ParseFilter(%q) = %v, %v, want %v", tt.text, got, err, tt.want)
		}
	}
}

func TestParseFilterRefuses(t *testing.T) {
	if got := (Filter{}).Accepts(); !strings.Contains(got, `"15 kPa at 300 L/h"`) {
		t.Errorf("Accepts: %q", got)
	}
	tests := []struct {
		text, reason string
		kind         error
	}{
		{"", `no " at "`, quantity.ErrSyntax},
		{"15 kPa", `no " at "`, quantity.ErrSyntax},
		{"15 kPa @ 300 L/h", `no " at "`, quantity.ErrSyntax},
		{"15 kPa at", `no " at "`, quantity.ErrSyntax},
		{"300 L/h at 15 kPa", `unknown unit "L/h"`, quantity.ErrSyntax},
		{"15 kPa at 300 g/s", `unknown unit "g/s"`, quantity.ErrSyntax},
		{"15 psia at 300 L/h", "an absolute pressure cannot stand for", quantity.ErrSyntax},
		{"0 kPa at 300 L/h", "must be greater than zero", quantity.ErrRange},
		{"-1 kPa at 300 L/h", "must be greater than zero", quantity.ErrRange},
		{"15 kPa at 0 L/h", "must be greater than zero", quantity.ErrRange},
		{"15 kPa at 300 L/h at 20 degC", "unknown unit", quantity.ErrSyntax},
	}
	for _, tt := range tests {
		f := Filter{Flow: 1 * quantity.LitrePerHour, Drop: 1 * quantity.PascalDiff}
		err := f.UnmarshalText([]byte(tt.text))
		var pe *quantity.ParseError
		switch {
		case !errors.As(err, &pe) || !errors.Is(err, tt.kind):
			t.Errorf("%q: error %v, want a ParseError of kind %v", tt.text, err, tt.kind)
		case !strings.Contains(pe.Reason, tt.reason) || pe.Accepted == "":
			t.Errorf("%q: error %v, want reason %q and what is accepted", tt.text, err, tt.reason)
		case f.Flow != 1*quantity.LitrePerHour:
			t.Errorf("%q: changed the filter", tt.text)
		}
	}
}

func TestFilterLoss(t *testing.T) {
	f := Filter{Flow: 300 * quantity.LitrePerHour, Drop: 15 * quantity.KilopascalDiff}
	for part, want := range map[float64]float64{0: 0, 0.5: 3.75, 1: 15, 2: 60, -1: -15} {
		got := f.Loss(quantity.Of(300*part, quantity.LitrePerHour)).In(quantity.KilopascalDiff)
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("loss at %g of the rated flow = %g kPa, want %g", part, got, want)
		}
	}
	if got := (Filter{}).Loss(300 * quantity.LitrePerHour); got != 0 {
		t.Errorf("no filter loses %v", got)
	}
}

func TestFilterPrints(t *testing.T) {
	f := Filter{Flow: 90 * quantity.GallonPerHour, Drop: 2 * quantity.PSI}
	if got := f.Format(quantity.US); got != "2 psi at 90 gal/h" {
		t.Errorf("US: %q", got)
	}
	if got := f.String(); got != "13.79 kPa at 340.7 L/h" {
		t.Errorf("String: %q", got)
	}
	if got := (Filter{}).String(); got != "none" {
		t.Errorf("zero: %q", got)
	}
	if _, err := (Filter{Flow: quantity.VolumeFlow(math.NaN()), Drop: 1 * quantity.PascalDiff}).MarshalText(); err == nil {
		t.Error("wrote a flow that is no number")
	}
	if _, err := (Filter{Flow: 1 * quantity.LitrePerHour, Drop: quantity.PressureDiff(math.Inf(1))}).MarshalText(); err == nil {
		t.Error("wrote an infinite drop")
	}
}

func TestFilterValidate(t *testing.T) {
	good := Filter{Flow: 300 * quantity.LitrePerHour, Drop: 15 * quantity.KilopascalDiff}
	checkLines(t, good.Validate(), nil)
	checkLines(t, Filter{}.Validate(), nil)
	checkLines(t, Filter{Drop: good.Drop}.Validate(), []string{`flow: "0 L/h": must be greater than zero`})
	checkLines(t, Filter{Flow: -good.Flow, Drop: -good.Drop}.Validate(), []string{"flow: ", "drop: "})
}

// FuzzParseFilter: whatever reads is valid and is written so that it reads back the
// same.
func FuzzParseFilter(f *testing.F) {
	for _, seed := range []string{
		"15 kPa at 300 L/h", "none", "2psi at 90gph",
		"15 kPa at 300", "at", " at ", "1e-300 Pa at 1e300 m3/s", "1e999 Pa at 1 L/h", "-0 Pa at 1 L/h",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParseFilter(text)
		if err != nil {
			if got != (Filter{}) {
				t.Errorf("%q: value %v with error %v", text, got, err)
			}
			return
		}
		if err := got.Validate(); err != nil {
			t.Errorf("%q: reads as %v, but %v", text, got, err)
		}
		written, err := got.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Filter
		if err := back.UnmarshalText(written); err != nil || back != got {
			t.Errorf("%q: written %q, reads as %v, %v", text, written, back, err)
		}
	})
}
