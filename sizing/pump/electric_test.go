package pump

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

func wires(t testing.TB, gauge string, length quantity.Length) wiring.Circuit {
	t.Helper()
	c, err := wiring.ParseConductor(gauge)
	if err != nil {
		t.Fatal(err)
	}
	return wiring.Circuit{Conductor: c, Length: length, Temperature: quantity.Celsius(60), Contacts: 12 * quantity.Milliohm}
}

// TestElectricBalance: at every pressure the terminal voltage is the supply less the
// drop of the current drawn there, and flow and current are the pump's own at that
// voltage; what the supply gives is what the pumps take and the wires heat.
func TestElectricBalance(t *testing.T) {
	for _, e := range []Electric{
		{Pump: drawn(t), Circuit: wires(t, "12 AWG", 5*quantity.Metre)},
		{Pump: Pump{Count: 2, Curves: drawn(t).Curves}, Circuit: wires(t, "12 AWG", 5*quantity.Metre)},
		{Pump: Pump{Count: 2, Curves: drawn(t).Curves}, Circuit: wires(t, "8 AWG", 5*quantity.Metre), Shared: true},
		{Pump: Pump{Curves: drawn(t).Curves[:1]}, Circuit: wires(t, "14 AWG", 5*quantity.Metre)},
	} {
		if err := e.Validate(); err != nil {
			t.Fatal(err)
		}
		ways := 1.0
		if !e.Shared {
			ways = float64(e.Pump.count())
		}
		for dp := quantity.PressureDiff(0); dp < 700*quantity.KilopascalDiff; dp += 35 * quantity.KilopascalDiff {
			for supply := 10 * quantity.Volt; supply < 16*quantity.Volt; supply += 0.7 * quantity.Volt {
				s, err := e.At(dp, supply)
				if err != nil {
					t.Fatal(err)
				}
				each := quantity.Current(float64(s.Current) / ways)
				if gap := float64(supply - s.Voltage - e.Circuit.Drop(each)); math.Abs(gap) > 1e-8 {
					t.Fatalf("%v at %v: %v at the pumps leaves %g V", dp, supply, s.Voltage, gap)
				}
				if s.Flow != e.Pump.Flow(dp, s.Voltage) || math.Abs(float64(s.Current-e.Pump.Current(dp, s.Voltage))) > 1e-12 {
					t.Fatalf("%v at %v: %+v is not what the pump does", dp, supply, s)
				}
				given := float64(supply.Power(s.Current))
				spent := float64(s.Power()) + ways*float64(e.Circuit.Heat(each))
				near(t, "power", spent, given, 1e-8)
			}
		}
	}
}

// TestElectricMonotone: through thin wires too the flow falls with pressure without
// a break, and rises with the supply voltage.
func TestElectricMonotone(t *testing.T) {
	e := Electric{Pump: drawn(t), Circuit: wires(t, "16 AWG", 6*quantity.Metre)}
	e.Pump.Relief = 600 * quantity.KilopascalDiff
	for supply := 6 * quantity.Volt; supply < 17*quantity.Volt; supply += 1 * quantity.Volt {
		at := Conditions{Voltage: supply}
		last := e.Flow(0, at)
		for dp := quantity.PressureDiff(0); dp < 800*quantity.KilopascalDiff; dp += 250 * quantity.PascalDiff {
			q := e.Flow(dp, at)
			// Where the voltage is level, its last digits may rise.
			if q > last+1e-7*quantity.LitrePerHour || last-q > 5*quantity.LitrePerHour || q < 0 {
				t.Fatalf("at %v flow goes from %v to %v at %v", supply, last, q, dp)
			}
			last = q
		}
	}
	last := quantity.VolumeFlow(0)
	for supply := 1 * quantity.Volt; supply < 17*quantity.Volt; supply += 10 * quantity.Millivolt {
		q := e.Flow(400*quantity.KilopascalDiff, Conditions{Voltage: supply})
		if q < last-1e-7*quantity.LitrePerHour || q-last > 3*quantity.LitrePerHour {
			t.Fatalf("flow goes from %v to %v at %v", last, q, supply)
		}
		last = q
	}
}

// TestElectricWires: thicker wire brings more, no wire all of it.
func TestElectricWires(t *testing.T) {
	at := Conditions{Voltage: 13.5 * quantity.Volt}
	const dp = 400 * quantity.KilopascalDiff
	last := quantity.VolumeFlow(0)
	for _, gauge := range []string{"18 AWG", "14 AWG", "10 AWG", "6 AWG"} {
		q := Electric{Pump: drawn(t), Circuit: wires(t, gauge, 5*quantity.Metre)}.Flow(dp, at)
		if !(q > last) {
			t.Errorf("%s brings %v, thinner wire %v", gauge, q, last)
		}
		last = q
	}
	ideal := Electric{Pump: drawn(t)}
	if q := ideal.Flow(dp, at); q != ideal.Pump.Flow(dp, at.Voltage) || !(q > last) {
		t.Errorf("without wires %v, with thick ones %v", q, last)
	}
	if !ideal.Covers(dp, at) || ideal.Covers(dp, Conditions{Voltage: 14 * quantity.Volt}) {
		t.Error("covers by the voltage of the supply")
	}
	// Through wire, a supply above the measured voltages comes to lie within them.
	if wired := (Electric{Pump: drawn(t), Circuit: wires(t, "14 AWG", 5*quantity.Metre)}); !wired.Covers(dp, Conditions{Voltage: 14 * quantity.Volt}) {
		t.Error("does not cover by the voltage at the terminals")
	}
}

// TestElectricStalls: where the wiring cannot bring the current, the pump stands
// still and says so.
func TestElectricStalls(t *testing.T) {
	e := Electric{Pump: drawn(t), Circuit: wiring.Circuit{Contacts: 3 * quantity.Ohm}}
	s, err := e.At(500*quantity.KilopascalDiff, 12*quantity.Volt)
	if !errors.Is(err, wiring.ErrCollapse) || s.Flow != 0 || s.Voltage != 0 || !(s.Current > 0) {
		t.Errorf("behind 3 Ω: %+v, %v", s, err)
	}
	if e.Covers(500*quantity.KilopascalDiff, Conditions{Voltage: 12 * quantity.Volt}) {
		t.Error("a stalled pump is covered")
	}
	if s, err := e.At(500*quantity.KilopascalDiff, 0); err == nil || s.Flow != 0 {
		t.Errorf("without supply: %+v, %v", s, err)
	}
}

func TestElectricValidate(t *testing.T) {
	blind := Electric{Pump: twoVoltages(t), Circuit: wires(t, "12 AWG", 5*quantity.Metre)}
	err := blind.Validate()
	if !errors.Is(err, quantity.ErrRange) || !strings.HasPrefix(err.Error(), "curves: ") || !strings.Contains(err.Error(), "the current is missing, without which the drop") {
		t.Errorf("wires and no current: %v", err)
	}
	bad := Electric{Circuit: wiring.Circuit{Length: 1 * quantity.Metre}}
	if lines := strings.Split(bad.Validate().Error(), "\n"); len(lines) != 2 || !strings.HasPrefix(lines[0], "curves: ") || !strings.HasPrefix(lines[1], "conductor: ") {
		t.Errorf("nothing right: %q", lines)
	}
	for _, good := range []Electric{{Pump: twoVoltages(t)}, {Pump: drawn(t), Circuit: wires(t, "12 AWG", 5*quantity.Metre)}} {
		if err := good.Validate(); err != nil {
			t.Error(err)
		}
	}
}
