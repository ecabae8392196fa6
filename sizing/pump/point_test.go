package pump

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestParsePoint(t *testing.T) {
	tests := []struct {
		text string
		want Point
	}{
		{"340 L/h at 300 kPa", Point{Flow: 340 * quantity.LitrePerHour, Pressure: 300 * quantity.KilopascalDiff}},
		{" 340lph\tat  3bar ", Point{Flow: 340 * quantity.LitrePerHour, Pressure: 3 * quantity.BarDiff}},
		{"90 gph at 43.5 psig", Point{Flow: 90 * quantity.GallonPerHour, Pressure: 43.5 * quantity.PSI}},
		{"0 L/h at 700 kPa", Point{Pressure: 700 * quantity.KilopascalDiff}},
		{"400 L/h at 0 kPa", Point{Flow: 400 * quantity.LitrePerHour}},
		{"340 L/h at 300 kPa at 9.8 A", Point{Flow: 340 * quantity.LitrePerHour, Pressure: 300 * quantity.KilopascalDiff, Current: 9.8 * quantity.Ampere}},
		{"90gph at 43.5psi  at 9800 mA", Point{Flow: 90 * quantity.GallonPerHour, Pressure: 43.5 * quantity.PSI, Current: 9.8 * quantity.Ampere}},
	}
	for _, tt := range tests {
		got, err := ParsePoint(tt.text)
		if err != nil {
			t.Errorf("ParsePoint(%q): %v", tt.text, err)
			continue
		}
		near(t, "flow of "+tt.text, float64(got.Flow), float64(tt.want.Flow), 1e-15)
		near(t, "pressure of "+tt.text, float64(got.Pressure), float64(tt.want.Pressure), 1e-15)
		near(t, "current of "+tt.text, float64(got.Current), float64(tt.want.Current), 1e-15)
	}
}

func TestParsePointRefuses(t *testing.T) {
	tests := []struct {
		text, want string
		kind       error
	}{
		{"", `no " at "`, quantity.ErrSyntax},
		{"340 L/h", `no " at "`, quantity.ErrSyntax},
		{"340 L/h @ 300 kPa", `no " at "`, quantity.ErrSyntax},
		{"300 kPa at 340 L/h", `unknown unit "kPa"; want a volume flow`, quantity.ErrSyntax},
		{"340 lb/h at 300 kPa", `unknown unit "lb/h"; want a volume flow`, quantity.ErrSyntax},
		{"340 L/h at 300 psia", "an absolute pressure cannot stand for", quantity.ErrSyntax},
		{"-340 L/h at 300 kPa", "below the least possible value", quantity.ErrRange},
		{"340 L/h at -300 kPa", "the pressure must not be negative", quantity.ErrRange},
		{"340 m3/s at 300 kPa", "the flow must not exceed", quantity.ErrRange},
		{"340 L/h at 300000 MPa", "the pressure must not exceed", quantity.ErrRange},
		{"340 L/h at 300 kPa at 12 V", "unknown unit", quantity.ErrSyntax},
		{"340 L/h at 300 kPa at 9.8 A at 12 V", "unknown unit", quantity.ErrSyntax},
		{"340 L/h at 9.8 A at 300 kPa", `unknown unit "A"; want a pressure difference`, quantity.ErrSyntax},
		{"340 L/h at 300 kPa at 0 A", "the current must be greater than zero", quantity.ErrRange},
		{"340 L/h at 300 kPa at -9.8 A", "the current must not be negative", quantity.ErrRange},
		{"340 L/h at 300 kPa at 9800 A", "the current must not exceed 1000 A", quantity.ErrRange},
	}
	for _, tt := range tests {
		before := Point{Flow: 1 * quantity.LitrePerHour, Pressure: 1 * quantity.PascalDiff}
		p := before
		err := p.UnmarshalText([]byte(tt.text))
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !errors.Is(err, tt.kind) || !strings.Contains(err.Error(), tt.want) || pe.Accepted == "" {
			t.Errorf("%q: error %v, want kind %v with %q and what is accepted", tt.text, err, tt.kind, tt.want)
		}
		if p != before {
			t.Errorf("%q: changed the point", tt.text)
		}
	}
}

func TestPointPrints(t *testing.T) {
	if got := (Point{}).Accepts(); !strings.Contains(got, `"340 L/h at 300 kPa"`) {
		t.Errorf("Accepts: %q", got)
	}
	p := Point{Flow: 340 * quantity.LitrePerHour, Pressure: 300 * quantity.KilopascalDiff}
	if got := p.String(); got != "340 L/h at 300 kPa" {
		t.Errorf("String: %q", got)
	}
	if got := p.Format(quantity.US); got != "89.82 gal/h at 43.51 psi" {
		t.Errorf("US: %q", got)
	}
	p.Current = 9.8 * quantity.Ampere
	if got := p.String(); got != "340 L/h at 300 kPa at 9.8 A" {
		t.Errorf("String: %q", got)
	}
	for _, bad := range []Point{{Current: quantity.Current(math.NaN())}, {Flow: quantity.VolumeFlow(math.NaN())}, {Pressure: quantity.PressureDiff(math.Inf(1))}} {
		if text, err := bad.MarshalText(); err == nil {
			t.Errorf("%v is written %q", bad, text)
		}
	}
}

// FuzzParsePoint: whatever reads is sound and is written so that it reads back the
// same.
func FuzzParsePoint(f *testing.F) {
	for _, seed := range []string{
		"340 L/h at 300 kPa", "90gph at 43.5psi", "0 L/h at 700 kPa", "-0 L/h at -0 kPa",
		"1e-320 m3/s at 1e-320 Pa", "340 L/h at", "at at at", "1 m3/s at 1000 MPa",
		"340 L/h at 300 kPa at 9.8 A", "340 L/h at 300 kPa at -0 A", "1 L/h at 1 kPa at 1e-320 A", "1 L/h at 1 kPa at 1 A at 1 A",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePoint(text)
		if err != nil {
			if p != (Point{}) {
				t.Errorf("%q: point %v with error %v", text, p, err)
			}
			return
		}
		if why := p.fault(); why != "" {
			t.Errorf("%q reads as %v, but %s", text, p, why)
		}
		written, err := p.MarshalText()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		var back Point
		if err := back.UnmarshalText(written); err != nil || back != p {
			t.Errorf("%q: written %q, reads as %v, %v", text, written, back, err)
		}
	})
}
