package air

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestFactors checks each rule against independent arithmetic on its formula. No
// worked example issued with a standard could be read.
func TestFactors(t *testing.T) {
	kPa := func(v float64) quantity.Pressure { return quantity.Of(v, quantity.Kilopascal) }
	mbar := func(v float64) quantity.Pressure { return quantity.Of(v, quantity.Millibar) }
	inHg := func(v float64) quantity.Pressure { return quantity.Of(v, quantity.InchMercury) }
	for _, tt := range []struct {
		s    Standard
		dry  quantity.Pressure
		t    quantity.Temperature
		want float64
		v    Validity
	}{
		{ISO1585, kPa(99), quantity.Temperature(298), 1.000000, Valid},
		{ISO1585, kPa(95), quantity.Temperature(303), 1.061279, Valid},
		{ISO1585, kPa(97.5), quantity.Temperature(305), 1.032778, Valid},
		{ISO1585, kPa(100), quantity.Temperature(293), 0.978032, Valid},
		{ISO1585, kPa(90), quantity.Temperature(310), 1.148044, Outside},
		{SAEJ1349, mbar(990), quantity.Celsius(25), 1.000000, Valid},
		{SAEJ1349, mbar(950), quantity.Celsius(30), 1.059957, Valid},
		{SAEJ1349, mbar(975), quantity.Celsius(32), 1.032144, Valid},
		{SAEJ1349, mbar(1000), quantity.Celsius(20), 0.978358, Valid},
		{SAEJ1349, mbar(900), quantity.Celsius(37), 1.143876, Outside},
		{SAEJ607, inHg(29.92), quantity.Fahrenheit(60), 1.0, Valid},
		{SAEJ607, inHg(29.0), quantity.Fahrenheit(80), 1.051378, Valid},
		{SAEJ607, inHg(28.85), quantity.Fahrenheit(85), 1.061726, Valid},
		{SAEJ607, inHg(30.10), quantity.Fahrenheit(55), 0.989229, Valid},
		{None, kPa(80), quantity.Celsius(50), 1, Valid},
	} {
		got, v := tt.s.Factor(tt.dry, tt.t)
		if !near(float64(got), tt.want, 6e-7) || v != tt.v {
			t.Errorf("%s at %v, %v: %.7f, %s; want %.6f, %s", tt.s, tt.dry, tt.t, float64(got), v, tt.want, tt.v)
		}
	}
}

// TestReferenceHasFactorOne holds each reference to what the rules say of
// themselves: 99 kPa dry and 25 °C for two, 29.92 inHg and 60 °F for the third.
func TestReferenceHasFactorOne(t *testing.T) {
	for _, s := range []Standard{ISO1585, SAEJ1349, SAEJ607} {
		at := s.Reference()
		if f, v := s.Factor(at.Pressure, at.Temperature); !near(float64(f), 1, 1e-12) || v != Valid {
			t.Errorf("%s at its reference: %v, %s", s, f, v)
		}
	}
	if None.Reference() != (State{}) {
		t.Error("no standard has a reference")
	}
}

// TestRulesAgree: ISO 1585 and SAE J1349 refer to the same air and lie within 0.2 %
// over the air that both allow.
func TestRulesAgree(t *testing.T) {
	for p := 93e3; p <= 104e3; p += 1e3 {
		for c := 12.0; c <= 44; c += 4 {
			dry, temperature := quantity.Pressure(p), quantity.Celsius(c)
			iso, v := ISO1585.Factor(dry, temperature)
			sae, w := SAEJ1349.Factor(dry, temperature)
			if v == Valid && w == Valid && !near(float64(iso), float64(sae), 2e-3) {
				t.Errorf("%v, %v: ISO %v, SAE %v", dry, temperature, iso, sae)
			}
		}
	}
}

func TestCorrectedAndObservedInvert(t *testing.T) {
	p := 640 * quantity.Horsepower
	for s := None; s <= SAEJ607; s++ {
		for _, dry := range []quantity.Pressure{85 * quantity.Kilopascal, 97 * quantity.Kilopascal, 103 * quantity.Kilopascal} {
			c, v := s.Corrected(p, dry, quantity.Celsius(33))
			back, w := s.Observed(c, dry, quantity.Celsius(33))
			if !near(float64(back), float64(p), 1e-15) || v != w || v == Undefined {
				t.Errorf("%s at %v: %v comes back as %v, %s and %s", s, dry, p, back, v, w)
			}
		}
	}
}

// Thin and hot air makes less power than the reference: the factor rises with
// temperature and falls with pressure.
func TestFactorIsMonotone(t *testing.T) {
	for _, s := range []Standard{ISO1585, SAEJ1349, SAEJ607} {
		last := quantity.Ratio(math.Inf(1))
		for p := 60e3; p <= 110e3; p += 1e3 {
			f, _ := s.Factor(quantity.Pressure(p), quantity.Celsius(25))
			if f >= last {
				t.Errorf("%s: %v at %v Pa after %v", s, f, p, last)
			}
			last = f
		}
		last = 0
		for c := -20.0; c <= 60; c++ {
			f, _ := s.Factor(98*quantity.Kilopascal, quantity.Celsius(c))
			if f <= last {
				t.Errorf("%s: %v at %v °C after %v", s, f, c, last)
			}
			last = f
		}
	}
}

func TestValidity(t *testing.T) {
	ok := ISO1585.Reference()
	for _, tt := range []struct {
		s    Standard
		dry  quantity.Pressure
		t    quantity.Temperature
		want Validity
	}{
		{ISO1585, ok.Pressure, ok.Temperature, Valid},
		{ISO1585, 93.6 * quantity.Kilopascal, ok.Temperature, Valid}, // 99 kPa / 1.07^(1/1.2) = 93.57
		{ISO1585, 93.5 * quantity.Kilopascal, ok.Temperature, Outside},
		{ISO1585, 105.1 * quantity.Kilopascal, ok.Temperature, Valid}, // 99 kPa / 0.93^(1/1.2) = 105.17
		{ISO1585, 105.2 * quantity.Kilopascal, ok.Temperature, Outside},
		{ISO1585, ok.Pressure, quantity.Celsius(9), Outside},
		{ISO1585, ok.Pressure, quantity.Celsius(46), Outside},
		{ISO1585, 0, ok.Temperature, Undefined},
		{ISO1585, -1 * quantity.Kilopascal, ok.Temperature, Undefined},
		{ISO1585, ok.Pressure, 0, Undefined},
		{ISO1585, quantity.Pressure(math.NaN()), ok.Temperature, Undefined},
		{ISO1585, quantity.Pressure(math.Inf(1)), ok.Temperature, Undefined},
		{ISO1585, ok.Pressure, quantity.Temperature(math.Inf(1)), Undefined},
		{SAEJ1349, 9 * quantity.Bar, ok.Temperature, Undefined}, // its formula turns negative
		{Standard(99), ok.Pressure, ok.Temperature, Undefined},
		{None, 0, 0, Valid},
	} {
		f, v := tt.s.Factor(tt.dry, tt.t)
		if v != tt.want || (v == Undefined) != (f == 0) {
			t.Errorf("%s at %v, %v: %v, %s; want %s", tt.s, tt.dry, tt.t, f, v, tt.want)
		}
		if p, w := tt.s.Observed(500*quantity.Kilowatt, tt.dry, tt.t); w != tt.want || (w == Undefined) != (p == 0) {
			t.Errorf("%s at %v, %v: observed %v, %s", tt.s, tt.dry, tt.t, p, w)
		}
	}
	if Valid.String() == Outside.String() || Undefined.String() == "?" || Validity(9).String() != "?" {
		t.Error("the words of Validity")
	}
}

func TestStandardText(t *testing.T) {
	for s := None; s <= SAEJ607; s++ {
		text, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		back := Standard(99)
		if err := json.Unmarshal(text, &back); err != nil || back != s {
			t.Errorf("%s is written as %s and reads as %s, %v", s, text, back, err)
		}
	}
	for text, want := range map[string]Standard{"iso 1585": ISO1585, "ISO1585": ISO1585, " SAE-J1349 ": SAEJ1349, "j607": SAEJ607, "NONE": None} {
		s := Standard(99)
		if err := s.UnmarshalText([]byte(text)); err != nil || s != want {
			t.Errorf("%q reads as %s, %v", text, s, err)
		}
	}
	s := SAEJ607
	err := s.UnmarshalText([]byte("DIN 70020"))
	var pe *quantity.ParseError
	if !errors.As(err, &pe) || !strings.Contains(pe.Accepted, `"ISO 1585"`) || s != SAEJ607 {
		t.Errorf("an unknown standard: %v, left as %s", err, s)
	}
	if s.Accepts() != `one of "none", "ISO 1585", "SAE J1349", "SAE J607"` {
		t.Errorf("accepts %s", s.Accepts())
	}
	if Standard(99).String() != "?" {
		t.Error("a standard outside the list has a name")
	}
}

// FuzzStandard holds every text that reads to a standard whose own name reads the
// same.
func FuzzStandard(f *testing.F) {
	for _, text := range []string{"none", "ISO 1585", "SAE J1349", "SAE J607", "j1349", "saej607", "", "SAE", "ISO-15 85", "\xff", "ſae j607"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s := Standard(99)
		if err := s.UnmarshalText([]byte(text)); err != nil {
			if !errors.Is(err, quantity.ErrSyntax) || s != Standard(99) {
				t.Fatalf("%q: %v, left as %s", text, err, s)
			}
			return
		}
		var back Standard
		if err := back.UnmarshalText([]byte(s.String())); err != nil || back != s {
			t.Fatalf("%q reads as %s, which reads as %s, %v", text, s, back, err)
		}
	})
}
