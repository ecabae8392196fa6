package air

import (
	"testing"

	"example.com/railbook/sizing/quantity"
)

var charging = Charging{InletLoss: 2 * quantity.KilopascalDiff, Efficiency: 0.7, Intercooler: Intercooler{Effectiveness: 0.7, Coolant: 303 * quantity.Kelvin}}

// compute uses every function that a sweep calls for each point.
func compute() float64 {
	ambient, _ := AtAltitude(1200 * quantity.Metre)
	altitude, _ := PressureAltitude(ambient.Pressure)
	station, _ := StationPressure(100*quantity.Kilopascal, altitude)
	w := Weather{Barometer: station, Temperature: ambient.Temperature, Humidity: 0.5}
	observed, _ := ISO1585.Observed(500*quantity.Kilowatt, w.Dry(), w.Temperature)
	charge := charging.Charge(ambient, 220*quantity.Kilopascal)
	return float64(observed) + float64(charge.Power(quantity.KilogramPerSecond)) + float64(w.Density())
}

func TestNothingAllocates(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() { compute() }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkAtAltitude(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		AtAltitude(1500 * quantity.Metre)
	}
}

func BenchmarkObserved(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		w := Weather{Barometer: 98 * quantity.Kilopascal, Temperature: quantity.Celsius(30), Humidity: 0.4}
		ISO1585.Observed(500*quantity.Kilowatt, w.Dry(), w.Temperature)
	}
}

func BenchmarkCharge(b *testing.B) {
	b.ReportAllocs()
	ambient := State{100 * quantity.Kilopascal, quantity.Celsius(25)}
	for b.Loop() {
		charging.Charge(ambient, 220*quantity.Kilopascal)
	}
}
