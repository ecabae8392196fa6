package injector

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestPulse works by hand: 40 mg at 10 g/s is 4 ms, and the dead time on top.
func TestPulse(t *testing.T) {
	i := Injector{DeadTime: mustDeadTime(t, madeUp)}
	fuel, static := 40e-3*quantity.Gram, 10*quantity.GramPerSecond
	near(t, "pulse", i.Pulse(fuel, static, 12*quantity.Volt).In(quantity.Millisecond), 4+1.35, 1e-14)
	near(t, "no fuel", i.Pulse(0, static, 12*quantity.Volt).In(quantity.Millisecond), 1.35, 1e-14)
	for _, m := range []quantity.Mass{0, fuel} {
		if got := i.Pulse(m, 0, 12*quantity.Volt); !math.IsInf(float64(got), 1) {
			t.Errorf("pulse for %v without flow = %v, want +Inf", m, got)
		}
	}
	last := quantity.Time(0)
	for m := quantity.Mass(0); m < 200e-3*quantity.Gram; m += 1e-3 * quantity.Gram {
		now := i.Pulse(m, static, 13*quantity.Volt)
		if !(now > last) {
			t.Fatalf("pulse falls at %v", m)
		}
		last = now
	}
}

func TestSpread(t *testing.T) {
	i := Injector{Spread: 0.02}
	near(t, "weakest", i.Weakest(10*quantity.GramPerSecond).In(quantity.GramPerSecond), 9.8, 1e-15)
	near(t, "strongest", i.Strongest(10*quantity.GramPerSecond).In(quantity.GramPerSecond), 10.2, 1e-15)
	if got := (Injector{}).Weakest(10 * quantity.GramPerSecond); got != 10*quantity.GramPerSecond {
		t.Errorf("weakest of a set without spread = %v", got)
	}
}

func TestMeters(t *testing.T) {
	i := Injector{MinimumPulse: 1.8 * quantity.Millisecond}
	if i.Meters(1.79*quantity.Millisecond) || !i.Meters(1.8*quantity.Millisecond) || !(Injector{}).Meters(0) {
		t.Error("the minimum pulse is not the limit")
	}
}

func TestValidate(t *testing.T) {
	good := Injector{Rating: mustParse(t, "440 cc/min at 3 bar"), Spread: 0.02, MinimumPulse: 1 * quantity.Millisecond}
	if err := good.Validate(); err != nil {
		t.Errorf("good: %v", err)
	}
	bad := Injector{Spread: 1, MinimumPulse: -1 * quantity.Millisecond}
	err := bad.Validate()
	if !errors.Is(err, quantity.ErrRange) {
		t.Fatalf("error %v, want a range error", err)
	}
	want := []string{"rating: ", `minimum pulse: "-1 ms": must not be negative`, `spread: "1": must lie from 0`}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != len(want) {
		t.Fatalf("error %q, want %d lines", err, len(want))
	}
	for i, line := range lines {
		if !strings.HasPrefix(line, want[i]) {
			t.Errorf("line %d is %q, want it to start %q", i+1, line, want[i])
		}
	}
	if err := (Injector{Rating: good.Rating, Spread: quantity.Ratio(math.NaN())}).Validate(); err == nil {
		t.Error("accepted a spread that is no number")
	}
}

// TestFuelInverts: the pulse for a fuel mass injects that mass, with table and
// correction of every kind, and fuel never falls as the pulse gets longer.
func TestFuelInverts(t *testing.T) {
	const static, v, dp = 10 * quantity.GramPerSecond, 12.6 * quantity.Volt, 3.7 * quantity.BarDiff
	for _, i := range []Injector{
		{}, {DeadTime: mustDeadTime(t, madeUp)}, {DeadTime: mustDeadTime(t, madeUpTable), LowPulse: mustLowPulse(t, addedTimes)},
		{DeadTime: mustDeadTime(t, madeUpTable), LowPulse: mustLowPulse(t, flowFactors)},
	} {
		last := quantity.Time(0)
		for fuel := 0.5; fuel < 100; fuel += 0.5 {
			m := quantity.Of(fuel*1e-3, quantity.Gram)
			pulse := i.PulseAt(m, static, v, dp)
			if !(pulse > last) {
				t.Fatalf("pulse falls at %v", m)
			}
			last = pulse
			near(t, "fuel back", float64(i.FuelAt(pulse, static, v, dp)), float64(m), 1e-12)
		}
		if got := i.FuelAt(i.DeadTime.AtPressure(v, dp), static, v, dp); got != 0 {
			t.Errorf("a pulse of the dead time injects %v", got)
		}
		if got := i.PulseAt(1*quantity.Gram, 0, v, dp); !math.IsInf(float64(got), 1) {
			t.Errorf("pulse without flow = %v", got)
		}
	}
	// By hand: 8 mg at 10 g/s is 0.8 ms, 0.06 ms are added, and 1.35 ms at 12 V.
	i := Injector{DeadTime: mustDeadTime(t, madeUp), LowPulse: mustLowPulse(t, addedTimes)}
	near(t, "pulse in ms", i.Pulse(8e-3*quantity.Gram, static, 12*quantity.Volt).In(quantity.Millisecond), 0.8+0.06+1.35, 1e-12)
}

func TestInjectorAllocations(t *testing.T) {
	i := Injector{DeadTime: mustDeadTime(t, madeUpTable), LowPulse: mustLowPulse(t, flowFactors), Coil: mustCoil(t, "2 ohm, peak 4 A for 1 ms, hold 1 A")}
	l := FlowLine{Slope: 10 * quantity.GramPerSecond, Offset: 1 * quantity.Millisecond}
	var sum float64
	n := testing.AllocsPerRun(100, func() {
		pulse := i.PulseAt(12e-3*quantity.Gram, 10*quantity.GramPerSecond, 12.6*quantity.Volt, 3.7*quantity.BarDiff)
		sum += float64(i.FuelAt(pulse, 10*quantity.GramPerSecond, 12.6*quantity.Volt, 3.7*quantity.BarDiff))
		sum += float64(i.Coil.Average(12.6*quantity.Volt, pulse, 16*quantity.Millisecond))
		sum += float64(i.DeadTime.At(12.6*quantity.Volt)) + float64(l.Fuel(pulse))
		if i.DeadTime.CoversPressure(12.6*quantity.Volt, 3.7*quantity.BarDiff) && i.LowPulse.Covers(pulse) {
			sum++
		}
	})
	if n != 0 {
		t.Errorf("%v allocations, want none (%g)", n, sum)
	}
}
