package quantity_test

import (
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func TestSystems(t *testing.T) {
	for text, want := range map[string]quantity.System{
		"SI": quantity.SI, "us": quantity.US, "both": quantity.SIThenUS, "Both": quantity.SIThenUS,
		"SI (US)": quantity.SIThenUS, "si(us)": quantity.SIThenUS, "US (SI)": quantity.USThenSI,
	} {
		var got quantity.System
		if err := got.UnmarshalText([]byte(text)); err != nil || got != want {
			t.Errorf("%q reads as %v, %v; want %v", text, got, err, want)
		}
		again, _ := want.MarshalText()
		if err := got.UnmarshalText(again); err != nil || got != want {
			t.Errorf("%v does not read back: %v, %v", want, got, err)
		}
	}
	var s quantity.System
	for _, text := range []string{"", "metric", "SI US"} {
		if err := s.UnmarshalText([]byte(text)); err == nil || !strings.Contains(err.Error(), `"both"`) {
			t.Errorf("%q: error %v, want one that says what is accepted", text, err)
		}
	}
}

// A quantity in both systems is printed once where both say the same, and its plain
// number is that of the first.
func TestBothSystems(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{quantity.Format(3*quantity.BarDiff, quantity.SIThenUS), "300 kPa (43.51 psi)"},
		{quantity.Format(3*quantity.BarDiff, quantity.USThenSI), "43.51 psi (300 kPa)"},
		{quantity.Format(13.5*quantity.Volt, quantity.USThenSI), "13.5 V"},
		{quantity.Format(quantity.Celsius(35), quantity.SIThenUS), "35 °C (95 °F)"},
		{quantity.UnitSymbol[quantity.PressureDiff](quantity.USThenSI), "psi"},
		{quantity.Digits(quantity.Number(3*quantity.BarDiff, quantity.SIThenUS), 4), "300"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if got := quantity.FromNumber[quantity.PressureDiff](300, quantity.SIThenUS); quantity.Digits(got.In(quantity.KilopascalDiff), 6) != "300" {
		t.Errorf("300 in the first system is %v", got)
	}
}
