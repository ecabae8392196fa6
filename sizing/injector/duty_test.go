package injector

import (
	"fmt"
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// fuelFor is power times specific consumption, in the units of the trade.
func fuelFor(horsepower, poundsPerHorsepowerHour float64) quantity.MassFlow {
	return quantity.Of(horsepower*poundsPerHorsepowerHour, quantity.PoundPerHour)
}

func TestStaticFlowNeeded(t *testing.T) {
	tests := []struct {
		name   string // and source
		fuel   quantity.MassFlow
		count  int
		duty   quantity.Ratio
		want   float64 // lb/h
		within float64
	}{
		{"850 hp at 0.85 lb/(hp h), six at 0.85: common practice, no source", fuelFor(850, 0.85), 6, 0.85, 141.7, 0.05 / 141.7},
		{"500 hp at 0.50 lb/(hp h), eight at 80 %: identity", fuelFor(500, 0.5), 8, 0.8, 39.0625, 1e-15},
	}
	for _, tt := range tests {
		got := StaticFlowNeeded(tt.fuel, tt.count, tt.duty)
		near(t, tt.name, got.In(quantity.PoundPerHour), tt.want, tt.within)
	}
	// The same identity by volume, computed apart: 396.386 cc/min at 745 kg/m³ and
	// 410.149 at 720.
	each := StaticFlowNeeded(fuelFor(500, 0.5), 8, 0.8)
	for rho, cc := range map[quantity.Density]float64{
		745 * quantity.KilogramPerCubicMetre: 396.386,
		720 * quantity.KilogramPerCubicMetre: 410.149,
	} {
		near(t, "by volume at "+rho.String(), each.Volume(rho).In(quantity.CCPerMinute), cc, 2e-6)
	}
	for _, bad := range []struct {
		count int
		duty  quantity.Ratio
	}{{0, 0.85}, {-1, 0.85}, {6, 0}, {6, -1}, {6, quantity.Ratio(math.NaN())}} {
		if got := StaticFlowNeeded(fuelFor(500, 0.5), bad.count, bad.duty); !math.IsInf(float64(got), 1) {
			t.Errorf("%d injectors at duty %v need %v, want +Inf", bad.count, bad.duty, got)
		}
	}
}

// TestDeadTimeCounted works an example by hand: at 6000 rpm a cycle takes 20 ms, so
// of 85 %, 17 ms, a dead time of 1 ms leaves 16 ms or 80 %.
func TestDeadTimeCounted(t *testing.T) {
	period, dead := Cycle(6000*quantity.RPM, 4), 1*quantity.Millisecond
	near(t, "cycle", float64(period), 0.02, 1e-14)
	got := StaticFlowNeededOpen(fuelFor(500, 0.5), 8, 0.85, period, dead)
	near(t, "needed", got.In(quantity.PoundPerHour), 39.0625, 1e-14)
	near(t, "delivered", Delivered(got, 8, 0.85, period, dead).In(quantity.PoundPerHour), 250, 1e-14)
	if none := StaticFlowNeededOpen(fuelFor(500, 0.5), 8, 0.85, period, 0); none != StaticFlowNeeded(fuelFor(500, 0.5), 8, 0.85) {
		t.Errorf("without dead time %v is needed", none)
	}
	if got := StaticFlowNeededOpen(fuelFor(500, 0.5), 8, 0.85, period, 17*quantity.Millisecond); !math.IsInf(float64(got), 1) {
		t.Errorf("with no time left %v is needed, want +Inf", got)
	}
	if got := Delivered(got, 8, 0.85, period, 18*quantity.Millisecond); got != 0 {
		t.Errorf("with no time left %v is delivered", got)
	}
	if got := Delivered(1*quantity.GramPerSecond, -1, 0.85, period, dead); got != 0 {
		t.Errorf("less than no injector delivers %v", got)
	}
}

func TestInterval(t *testing.T) {
	tests := []struct {
		rpm                 float64
		strokes, injections int
		want                float64 // ms; 120,000/rpm and parts of it
	}{
		{6000, 4, 1, 20}, {6000, 4, 2, 10}, {6000, 2, 1, 10}, {600, 4, 1, 200}, {9000, 2, 1, 60.0 / 9},
	}
	for _, tt := range tests {
		speed := quantity.Of(tt.rpm, quantity.RPM)
		got := Interval(speed, tt.strokes, tt.injections).In(quantity.Millisecond)
		near(t, fmt.Sprintf("%+v", tt), got, tt.want, 1e-14)
	}
	for _, bad := range [][3]int{{0, 4, 1}, {-600, 4, 1}, {600, 0, 1}, {600, 4, 0}} {
		if got := Interval(quantity.Of(float64(bad[0]), quantity.RPM), bad[1], bad[2]); !math.IsInf(float64(got), 1) {
			t.Errorf("%v: %v, want +Inf", bad, got)
		}
	}
}

// TestDuty closes the circle: an injector of the static flow needed, given the fuel
// of one cycle, is open for just the largest duty.
func TestDuty(t *testing.T) {
	i := Injector{DeadTime: mustDeadTime(t, madeUp)}
	const volts, count = 13.2 * quantity.Volt, 8
	dead := i.DeadTime.At(volts)
	for _, rpm := range []float64{3000, 6500, 9000} {
		period := Cycle(quantity.Of(rpm, quantity.RPM), 4)
		demand := fuelFor(900, 0.7)
		static := StaticFlowNeededOpen(demand, count, DefaultMaxDuty, period, dead)
		each := quantity.Mass(float64(demand) / count * float64(period))
		duty := Duty(i.Pulse(each, static, volts), period)
		near(t, fmt.Sprintf("duty at %g rpm", rpm), float64(duty), 0.85, 1e-13)
	}
	inf := quantity.Time(math.Inf(1))
	for _, bad := range [][2]quantity.Time{{inf, 1 * quantity.Second}, {inf, inf}, {1 * quantity.Second, 0}, {0, 0}} {
		if got := Duty(bad[0], bad[1]); !math.IsInf(float64(got), 1) {
			t.Errorf("Duty(%v, %v) = %v, want +Inf", bad[0], bad[1], got)
		}
	}
	if got := Duty(1*quantity.Second, inf); got != 0 {
		t.Errorf("duty at standstill = %v", got)
	}
}
