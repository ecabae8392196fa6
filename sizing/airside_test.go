package sizing_test

import (
	"math"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/quantity"
)

// TestAltitude wants the standard atmosphere where the sheet gives no barometer:
// 84.556 kPa at 1500 m (US Standard Atmosphere 1976, table, from memory).
func TestAltitude(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Induction.Barometer, b.Induction.Altitude = 0, 1500*quantity.Metre
	a := assess(t, b)
	if got := a.Build.Induction.Barometer.In(quantity.Kilopascal); math.Abs(got-84.556) > 0.005 {
		t.Errorf("barometer %.3f kPa, want 84.556", got)
	}
	if want := b.Induction.Boost.Above(a.Build.Induction.Barometer); a.Manifold != want {
		t.Errorf("manifold %v, want %v", a.Manifold, want)
	}
}

// TestHumidity: vapour takes its share of the pressure from the dry air, at 30 °C
// and 60 % 0.6 of the 4.246 kPa of saturation (steam tables).
func TestHumidity(t *testing.T) {
	b := open(t, "turbo.toml")
	dry := assess(t, b).Demand.Air
	b.Induction.AmbientTemperature, b.Induction.Humidity = quantity.Celsius(30), 0.6
	wet := assess(t, b).Demand.Air
	if got, want := float64(wet/dry), 1-0.6*4.246/100.5; math.Abs(got-want) > 1e-4 {
		t.Errorf("dry share %.5f, want %.5f", got, want)
	}
}

// TestComputedCharge follows the charge temperature by hand: compressor, then
// intercooler, from 25 °C.
func TestComputedCharge(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Induction.ChargeTemperature = 0
	b.Induction.AmbientTemperature = quantity.Celsius(25)
	b.Induction.CompressorEfficiency, b.Induction.IntercoolerEffectiveness = 0.72, 0.7
	ratio := float64(b.Induction.Boost.Above(b.Induction.Barometer) / b.Induction.Barometer)
	hot := 298.15 * (1 + (math.Pow(ratio, 0.4/1.4)-1)/0.72)
	want := hot - 0.7*(hot-298.15)
	if got := float64(b.ChargeTemperature()); !near(got, want, 1e-12) {
		t.Errorf("charge at %.3f K, want %.3f", got, want)
	}
	a := assess(t, b)
	// More boost heats the charge, so air rises by less than pressure.
	up := assess(t, a.Build.AtBoost(30*quantity.PSI))
	if got, pressure := float64(up.Demand.Air/a.Demand.Air), float64(up.Manifold/a.Manifold); got >= pressure || got <= 1 {
		t.Errorf("air rises by %.4f, manifold pressure by %.4f", got, pressure)
	}
}

// TestCorrectedTarget turns a figure corrected by ISO 1585 back: the factor at
// 95 kPa dry and 303 K is 1.061279 (independent arithmetic on the formula, from
// memory).
func TestCorrectedTarget(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Target.Correction, b.Target.DynoBarometer, b.Target.DynoTemperature = air.ISO1585, 95*quantity.Kilopascal, 303*quantity.Kelvin
	if got, want := b.CrankPower().In(quantity.Horsepower), 640/1.061279; math.Abs(got-want) > 0.001 {
		t.Errorf("%.3f hp really made, want %.3f", got, want)
	}
	a := assess(t, b)
	if w := warning(a, sizing.CorrectedPower); w == nil {
		t.Error("no word on the correction")
	}
	if back := a.Build.AtPower(a.Power); back.Target.Correction != air.None || !near(float64(back.CrankPower()), float64(a.Power), 1e-14) {
		t.Error("a power that was computed is corrected again")
	}
}

// TestStripTarget: 3200 lb at 110 mph is 373.92 hp by Huntington's constant of 225
// (Nahin, In Praise of Simple Physics, page 33; independent arithmetic on it).
func TestStripTarget(t *testing.T) {
	b := open(t, "turbo.toml")
	b.Target.Power = 0
	b.Target.VehicleMass, b.Target.TrapSpeed = 3200*quantity.Pound, 110*quantity.MilePerHour
	if got := b.CrankPower().In(quantity.Horsepower); math.Abs(got-373.92) > 0.005 {
		t.Errorf("%.3f hp, want 373.92", got)
	}
	assess(t, b)
	b.Target.TrapSpeed, b.Target.ElapsedTime, b.Target.DrivetrainLoss = 0, 12*quantity.Second, 0.15
	// Constant power over x = 402.336 m: P = 9 m x²/(8 t³) at the wheels.
	want := 9 * 3200 * 0.45359237 * 402.336 * 402.336 / (8 * 12 * 12 * 12) / 0.85
	if got := float64(b.CrankPower()); !near(got, want, 1e-12) {
		t.Errorf("by the time %v W, want %v", got, want)
	}
}
