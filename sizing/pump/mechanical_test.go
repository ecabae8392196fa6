package pump

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestMechanicalEsposito is examples 5-8 and 5-9 of A. Esposito, Fluid Power with
// Applications, as the Scilab textbook companions have them: displacement, actual
// flow, speed, pressure and torque given; overall efficiency 81.6 % and 83.5 %,
// theoretical torque 793 in·lb and 112 N·m printed. The first rounds the theoretical
// flow of 21.645 gpm to 21.6 on the way.
func TestMechanicalEsposito(t *testing.T) {
	for _, tt := range []struct {
		name                  string
		displacement          quantity.Volume
		flow                  quantity.VolumeFlow
		speed                 quantity.AngularSpeed
		pressure              quantity.PressureDiff
		torque                float64 // N m
		overall, theoretical  float64
		withinEta, withinTorq float64
	}{
		{"5-8", 5 * quantity.CubicInch, 20 * quantity.GallonPerMinute, 1000 * quantity.RPM, 1000 * quantity.PSI, 900 * 0.112984829, 0.816, 793 * 0.112984829, 2e-3, 4e-3},
		{"5-9", 100 * quantity.CubicCentimetre, 0.0015 * quantity.CubicMetrePerSecond, 1000 * quantity.RPM, 70 * quantity.BarDiff, 120, 0.835, 112, 1e-3, 6e-3},
	} {
		theory := Mechanical{Displacement: tt.displacement, Drive: 1}
		at := Conditions{Speed: tt.speed}
		m := theory
		m.Efficiency = quantity.Ratio(tt.flow / theory.Flow(tt.pressure, at))
		m.TestSpeed, m.TestPressure = tt.speed, tt.pressure
		near(t, tt.name+" flow", float64(m.Flow(tt.pressure, at)), float64(tt.flow), 1e-13)
		omega := float64(tt.speed)
		near(t, tt.name+" theoretical torque", float64(theory.Power(tt.pressure, at))/omega, tt.theoretical, tt.withinTorq)
		m.Friction = quantity.Ratio(1 - float64(theory.Power(tt.pressure, at))/(tt.torque*omega))
		near(t, tt.name+" power", float64(m.Power(tt.pressure, at)), tt.torque*omega, 1e-13)
		overall := float64(tt.pressure) * float64(m.Flow(tt.pressure, at)) / float64(m.Power(tt.pressure, at))
		near(t, tt.name+" overall efficiency", overall, tt.overall, tt.withinEta)
	}
}

// TestMechanicalVolume: 5 in³ a turn at 1000 rpm is 5000/231 gpm, by the definition
// of the gallon.
func TestMechanicalVolume(t *testing.T) {
	m := Mechanical{Displacement: 5 * quantity.CubicInch, Drive: 0.5}
	near(t, "flow", m.Flow(0, Conditions{Speed: 2000 * quantity.RPM}).In(quantity.GallonPerMinute), 5000.0/231, 1e-14)
	near(t, "shaft speed", m.ShaftSpeed(2000*quantity.RPM).In(quantity.RPM), 1000, 1e-14)
}

// made up: a pump of half engine speed.
var gear = Mechanical{
	Part: "made up", Displacement: 9 * quantity.CubicCentimetre, Drive: 0.5, Efficiency: 0.9,
	TestSpeed: 2000 * quantity.RPM, TestPressure: 500 * quantity.KilopascalDiff, Friction: 0.1, Derate: 0.05,
	Relief: 900 * quantity.KilopascalDiff, GreatestSpeed: 4500 * quantity.RPM,
}

func TestMechanicalEfficiency(t *testing.T) {
	if err := gear.Validate(); err != nil {
		t.Fatal(err)
	}
	at := func(crank float64) Conditions { return Conditions{Speed: quantity.Of(crank, quantity.RPM)} }
	near(t, "in the test", float64(gear.VolumetricEfficiency(500*quantity.KilopascalDiff, at(4000))), 0.9, 1e-14)
	near(t, "half the pressure", float64(gear.VolumetricEfficiency(250*quantity.KilopascalDiff, at(4000))), 0.95, 1e-14)
	near(t, "twice the speed", float64(gear.VolumetricEfficiency(500*quantity.KilopascalDiff, at(8000))), 0.95, 1e-14)
	near(t, "no pressure", float64(gear.VolumetricEfficiency(0, at(4000))), 1, 0)
	if got := gear.VolumetricEfficiency(500*quantity.KilopascalDiff, at(300)); got != 0 {
		t.Errorf("cranking: %v, want all of it to leak", got)
	}
	if got := gear.VolumetricEfficiency(0, at(0)); got != 0 {
		t.Errorf("at standstill: %v", got)
	}
	// By hand: 9 cm³ × 2000/min × 0.9 × 0.95 is 15.39 L/min.
	near(t, "flow", gear.Flow(500*quantity.KilopascalDiff, at(4000)).In(quantity.LitrePerMinute), 9*2000*0.9*0.95/1000, 1e-13)
}

func TestMechanicalMonotone(t *testing.T) {
	for crank := 0.0; crank < 9000; crank += 500 {
		at := Conditions{Speed: quantity.Of(crank, quantity.RPM)}
		last := gear.Flow(-100*quantity.KilopascalDiff, at)
		for dp := -100 * quantity.KilopascalDiff; dp < 1200*quantity.KilopascalDiff; dp += 500 * quantity.PascalDiff {
			q := gear.Flow(dp, at)
			if !(q <= last && last-q < 15*quantity.LitrePerHour && q >= 0) {
				t.Fatalf("at %g rpm flow goes from %v to %v at %v", crank, last, q, dp)
			}
			last = q
		}
		if last != 0 {
			t.Errorf("flow %v far above relief", last)
		}
	}
	last := quantity.VolumeFlow(0)
	for crank := 0.0; crank < 9000; crank += 10 {
		q := gear.Flow(500*quantity.KilopascalDiff, Conditions{Speed: quantity.Of(crank, quantity.RPM)})
		if !(q >= last && q-last < 4*quantity.LitrePerHour) {
			t.Fatalf("flow goes from %v to %v at %g rpm", last, q, crank)
		}
		last = q
	}
}

func TestMechanicalCovers(t *testing.T) {
	for _, tt := range []struct {
		kPa, crank float64
		want       bool
	}{{500, 4000, true}, {501, 4000, false}, {0, 0, true}, {-1, 4000, false}, {300, 9001, false}, {300, 9000, true}, {math.NaN(), 4000, false}} {
		if got := gear.Covers(quantity.Of(tt.kPa, quantity.KilopascalDiff), Conditions{Speed: quantity.Of(tt.crank, quantity.RPM)}); got != tt.want {
			t.Errorf("covers %g kPa at %g rpm: %v", tt.kPa, tt.crank, got)
		}
	}
	free := Mechanical{Displacement: gear.Displacement, Drive: 1, Relief: 900 * quantity.KilopascalDiff}
	if !free.Covers(900*quantity.KilopascalDiff, Conditions{}) || free.Covers(901*quantity.KilopascalDiff, Conditions{}) {
		t.Error("relief is not the limit of a pump without a test")
	}
	if gear.Current(0, Conditions{}) != 0 || gear.Power(-1*quantity.BarDiff, Conditions{Speed: 1000 * quantity.RPM}) != 0*quantity.WattPower {
		t.Error("current or power out of nothing")
	}
}

func TestMechanicalValidate(t *testing.T) {
	bad := Mechanical{Efficiency: 1.1, Friction: 1, Derate: -1, Relief: -1 * quantity.PascalDiff, GreatestSpeed: quantity.AngularSpeed(math.NaN())}
	err := bad.Validate()
	want := []string{
		`displacement: "0 L": must be greater than zero`, `drive ratio: "0": must be greater`, `volumetric efficiency: "1.1": must lie above 0`,
		`test speed: "0 rpm": must be greater than zero beside`, "test pressure: ", `friction: "1": `, `derate: "-1": `, "relief: ", "greatest speed: ",
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != len(want) || !errors.Is(err, quantity.ErrRange) {
		t.Fatalf("error %q, want %d lines", err, len(want))
	}
	for i, line := range lines {
		if !strings.HasPrefix(line, want[i]) {
			t.Errorf("line %d is %q, want it to start %q", i+1, line, want[i])
		}
	}
	if err := (Mechanical{Displacement: 1 * quantity.CubicCentimetre, Drive: 1}).Validate(); err != nil {
		t.Errorf("the least: %v", err)
	}
}
