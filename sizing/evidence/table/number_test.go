package table

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	tests := []struct {
		text    string
		decimal byte
		want    float64
		kind    Kind
	}{
		{"0", '.', 0, Number},
		{" 12.50 ", '.', 12.5, Number},
		{"+3", '.', 3, Number},
		{"-.5", '.', -0.5, Number},
		{"5.", '.', 5, Number},
		{"12,5", ',', 12.5, Number},
		{"1,234", '.', 1234, Number},
		{"1,234.5", '.', 1234.5, Number},
		{"1.234,5", ',', 1234.5, Number},
		{"-1 234 567,25", ',', -1234567.25, Number},
		{"1'234.5", '.', 1234.5, Number},
		{"2.5e3", '.', 2500, Number},
		{"2,5E-3", ',', 0.0025, Number},
		{"123456789012345678", '.', 123456789012345678, Number},
		{"0.1234567890123456789", '.', 0.1234567890123456789, Number},

		{"", '.', 0, Empty},
		{" ", '.', 0, Empty},
		{"-", '.', 0, Empty},
		{"N/A", '.', 0, Empty},
		{"NaN", '.', 0, NotFinite},
		{"-Infinity", '.', 0, NotFinite},
		{"1e999", '.', 0, NotFinite},

		{"12,34", '.', 0, NotANumber},
		{"1,2345", '.', 0, NotANumber},
		{"0,123", '.', 0, NotANumber}, // no group begins with a zero
		{"1234,567", '.', 0, NotANumber},
		{",123", '.', 0, NotANumber},
		{"1.2.3", '.', 0, NotANumber},
		{"1,234 567", '.', 0, NotANumber},
		{"1-2", '.', 0, NotANumber},
		{"+-1", '.', 0, NotANumber},
		{"0x1p4", '.', 0, NotANumber},
		{"1_000", '.', 0, NotANumber},
		{"12 kPa", '.', 0, NotANumber},
		{strings.Repeat("1", 100), '.', 0, NotANumber},
	}
	for _, tt := range tests {
		got, kind := parse([]byte(tt.text), tt.decimal)
		if got != tt.want || kind != tt.kind {
			t.Errorf("parse(%q, %q) = %v, %v; want %v, %v", tt.text, tt.decimal, got, kind, tt.want, tt.kind)
		}
	}
}

// TestParseLikeStrconv gives the bits of strconv.ParseFloat, with either mark.
func TestParseLikeStrconv(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		v := random.NormFloat64() * math.Pow(10, float64(random.IntN(30)-12))
		text := strconv.FormatFloat(v, "fge"[random.IntN(3)], random.IntN(18), 64)
		if len(text) > 64 {
			continue
		}
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, kind := parse([]byte(text), '.'); math.Float64bits(got) != math.Float64bits(want) || kind != Number {
			t.Fatalf("parse(%q) = %v, %v; want %v", text, got, kind, want)
		}
		if got, kind := parse([]byte(strings.Replace(text, ".", ",", 1)), ','); math.Float64bits(got) != math.Float64bits(want) || kind != Number {
			t.Fatalf("parse(%q) with a comma = %v, %v; want %v", text, got, kind, want)
		}
	}
}

func TestHeads(t *testing.T) {
	for text, want := range map[string]Column{
		"RPM (1/min)":                 {Name: "RPM", Unit: "1/min"},
		"Boost [kPa]":                 {Name: "Boost", Unit: "kPa"},
		"Fuel  pressure {psi}":        {Name: "Fuel pressure", Unit: "psi"},
		"Lambda [-]":                  {Name: "Lambda"},
		"Ethanol (%)":                 {Name: "Ethanol", Unit: "%"},
		"T/°C":                        {Name: "T", Unit: "°C"},
		"Specific use (lb/(hp h))":    {Name: "Specific use", Unit: "lb/(hp h)"},
		"n/1/min":                     {Name: "n", Unit: "1/min"},
		"Injector duty (bank 1)":      {Name: "Injector duty (bank 1)"},
		"Duty (bank 1) (%)":           {Name: "Duty (bank 1)", Unit: "%"},
		"Air/fuel":                    {Name: "Air/fuel"},
		"(rpm)":                       {Name: "(rpm)"},
		"Throttle":                    {Name: "Throttle"},
		"":                            {},
		"Rail pressure (psig)":        {Name: "Rail pressure", Unit: "psig"},
		"Manifold pressure [kPa abs]": {Name: "Manifold pressure", Unit: "kPa abs"},
	} {
		want.Head = strings.Join(strings.Fields(text), " ")
		if got := headOf(text); got != want {
			t.Errorf("headOf(%q) = %+v, want %+v", text, got, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12.5", "1,234.5", "1.234,5", "NaN", "1e5", "-", "12:30:01,5", "1'234", "\xff", "2026-11-20 12:00:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, decimal := range []byte{'.', ','} {
			v, kind := parse([]byte(text), decimal)
			if math.IsNaN(v) || math.IsInf(v, 0) || kind != Number && v != 0 {
				t.Fatalf("parse(%q, %q) = %v, %v", text, decimal, v, kind)
			}
			if kind != Number {
				continue
			}
			// What it reads it reads again, however it is printed.
			again := strconv.FormatFloat(v, 'g', -1, 64)
			if decimal == ',' {
				again = strings.Replace(again, ".", ",", 1)
			}
			if w, kind := parse([]byte(again), decimal); w != v || kind != Number {
				t.Fatalf("parse(%q) = %v, but parse(%q) = %v, %v", text, v, again, w, kind)
			}
		}
		if v, kind := clock([]byte(text)); math.IsNaN(v) || math.IsInf(v, 0) || v < 0 && !strings.Contains(text, "-") {
			t.Fatalf("clock(%q) = %v, %v", text, v, kind)
		}
	})
}
