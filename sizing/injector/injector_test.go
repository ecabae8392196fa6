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
