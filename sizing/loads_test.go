package sizing_test

import (
	"math"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// TestInjectorVoltage: the wiring of surge.toml keeps R n I of the supply, with the mean
// current U/12 Ω for 85 % of the time of five injectors: U = 13.9/(1 + 5 · 0.85 R/12).
func TestInjectorVoltage(t *testing.T) {
	a := assess(t, open(t, "surge.toml"))
	r := copper(awg(14), 2*7*0.3048, 70)*1.10 + 0.012
	if got, want := float64(a.Injection.Voltage), 13.9/(1+5*0.85*r/12); math.Abs(got-want) > 1e-6 {
		t.Errorf("%v at the injectors, want %.6f V", a.Injection.Voltage, want)
	}
	plain := open(t, "speed.toml") // without wiring
	if got := assess(t, plain).Injection.Voltage; got != 13.8*quantity.Volt {
		t.Errorf("%v at injectors without wiring", got)
	}
}

// TestInjectorCurrent: a saturated coil draws U/R while it is switched on, a
// peak-and-hold drive 4 A for 0.9 ms and then 1 A; of all injectors, over the interval.
func TestInjectorCurrent(t *testing.T) {
	surge, speed := assess(t, open(t, "surge.toml")), assess(t, open(t, "speed.toml"))
	for _, tt := range []struct {
		name string
		a    *sizing.Assessment
		want float64
	}{
		{"saturated", surge, 5 * float64(surge.Injection.Voltage) / 12 * float64(surge.Injection.Pulse) / (120.0 / 7100)},
		{"peak and hold", speed, 4 * (4*0.9e-3 + 1*(float64(speed.Injection.Pulse)-0.9e-3)) / (120.0 / 6500)},
	} {
		if got := float64(tt.a.Loads.Injectors); !near(got, tt.want, 1e-9) {
			t.Errorf("%s: %v A, want %v", tt.name, got, tt.want)
		}
		sum := tt.a.Loads.Injectors
		for _, l := range tt.a.Loads.Pumps {
			sum += l.Current
		}
		if !near(float64(tt.a.Loads.Total), float64(sum), 1e-12) {
			t.Errorf("%s: %v in all, the parts draw %v", tt.name, tt.a.Loads.Total, sum)
		}
	}
	if got := assess(t, open(t, "turbo.toml")).Loads.Injectors; got != 0 {
		t.Errorf("coils that are not described draw %v", got)
	}
}

// TestPumpPower: electric pumps take up what is at their terminals.
func TestPumpPower(t *testing.T) {
	for _, l := range assess(t, open(t, "surge.toml")).Loads.Pumps {
		if want := float64(l.Voltage) * float64(l.Current); !near(float64(l.Power), want, 1e-12) {
			t.Errorf("%v W, want %v", l.Power, want)
		}
	}
}

// TestDeadTimeByPressure: between 300 and 400 kPa the dead time lies in proportion. At
// 13.5 V, where both columns have a point, it is 0.96 and 1.08 ms.
func TestDeadTimeByPressure(t *testing.T) {
	b := open(t, "surge.toml")
	b.Injectors.Wiring, b.Electrical.Voltage = nil, 13.5*quantity.Volt
	b.Regulator.BasePressure = 340 * quantity.KilopascalDiff
	in := assess(t, b).Injection
	dp := in.Differential.In(quantity.KilopascalDiff)
	if want := 0.96e-3 + 0.12e-3*(dp-300)/100; dp < 335 || dp > 395 || !near(float64(in.DeadTime), want, 1e-9) {
		t.Errorf("%v at %v kPa, want %v s", in.DeadTime, dp, want)
	}
	// Beyond the last pressure that of the last is used, and said to be.
	b.Regulator.BasePressure = 450 * quantity.KilopascalDiff
	a := assess(t, b)
	if !near(float64(a.Injection.DeadTime), 1.08e-3, 1e-12) || warning(a, sizing.OutsideData) == nil {
		t.Errorf("%v beyond the last pressure, warned %v", a.Injection.DeadTime, warning(a, sizing.OutsideData) != nil)
	}
}

// TestLowPulse: the idle pulse is fuel over the flow of the strongest injector, what is
// added to a pulse so short, and the dead time. The correction of surge.toml falls in a
// straight line from 0.09 ms at 0.5 ms to 0.04 ms at 1.0 ms.
func TestLowPulse(t *testing.T) {
	b := open(t, "surge.toml")
	b.Injectors.Wiring, b.Electrical.Voltage = nil, 13.5*quantity.Volt
	b.Injectors.Spread = 0.03
	b.Engine.IdleSpeed, b.Engine.IdlePressure = 900*quantity.RPM, 45*quantity.Kilopascal
	a := assess(t, b)
	air := 0.6 * 2480e-6 * 900 / 120 * 45e3 / (8.314462618 / 0.0289644 * 320.15)
	perPulse := air / float64(a.Demand.AFR) / 5 * 120 / 900
	dp := float64(a.Idle.Rail) - 45e3
	static := 1700e-6 / 60 * float64(b.Injectors.Flow.Density()) * math.Sqrt(float64(a.Demand.Density)/float64(b.Injectors.Flow.Density())*dp/300e3)
	net := perPulse / (1.03 * static)
	if net < 0.5e-3 || net > 1.0e-3 {
		t.Fatalf("the net pulse of %v s lies outside the two rows", net)
	}
	added := 0.09e-3 - 0.05e-3*(net-0.5e-3)/0.5e-3
	dead := 0.96e-3 + 0.12e-3*min(1, max(0, (dp-300e3)/100e3))
	if want := net + added + dead; !near(float64(a.Idle.Pulse), want, 1e-9) {
		t.Errorf("pulse %v, want %v s", a.Idle.Pulse, want)
	}
	// At the target nothing is added: the pulse is too long.
	with := a.Injection
	b.Injectors.LowPulse = injector.LowPulse{}
	without := assess(t, b)
	if without.Injection.Pulse != with.Pulse || without.Idle.Pulse >= a.Idle.Pulse {
		t.Errorf("without a correction %v and %v, with it %v and %v", without.Injection.Pulse, without.Idle.Pulse, with.Pulse, a.Idle.Pulse)
	}
}

// TestWiringDrop: wiring that keeps more than 4 % of the supply is warned of, and no less.
func TestWiringDrop(t *testing.T) {
	b := open(t, "speed.toml")
	w := *b.Pumps[0].Wiring
	b.Pumps = []sizing.Pump{b.Pumps[0]}
	b.Pumps[0].Wiring = &w
	for _, length := range []float64{1, 4, 8, 12, 20} {
		w.Length = quantity.Of(length, quantity.Metre)
		a := assess(t, b)
		drop := a.Loads.Pumps[0].Drop
		if got, want := warning(a, sizing.Wired) != nil, drop > 0.04*13.8*quantity.Volt; got != want {
			t.Errorf("%v lost: warned %v", drop, got)
		}
	}
}
