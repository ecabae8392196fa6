package air

import (
	"math"
	"strings"
	"testing"

	"example.com/railbook/sizing/quantity"
)

// TestSaturationPressure holds the formula to printed tables.
func TestSaturationPressure(t *testing.T) {
	const ashrae = "ASHRAE Handbook Fundamentals 2017, chapter 1, table 3, as quoted in the tests of PsychroLib"
	const steam = "steam table of Ohio University (NIST properties), three figures"
	const nist = "Engineering ToolBox, water saturation pressure"
	for _, tt := range []struct {
		celsius, pascals, tol float64
		source                string
	}{
		{5, 872.6, 3e-4, ashrae}, {25, 3169.7, 3e-4, ashrae}, {50, 12351.3, 3e-4, ashrae}, {100, 101418.0, 3e-4, ashrae}, {150, 476101.4, 3e-4, ashrae},
		{15, 1710, 3.1e-3, steam}, {30, 4250, 1.3e-3, steam}, {45, 9600, 1.5e-3, steam}, {60, 19950, 5e-4, steam}, {80, 47410, 5e-4, steam},
		{0.01, 611.65, 1e-4, nist}, {2, 705.99, 1e-4, nist},
	} {
		if got := float64(SaturationPressure(quantity.Celsius(tt.celsius))); !near(got, tt.pascals, tt.tol) {
			t.Errorf("%v °C: %.2f Pa, want %v within %g (%s)", tt.celsius, got, tt.pascals, tt.tol, tt.source)
		}
	}
}

// TestSaturationPressureAgainstAnother compares with an independent correlation,
// that of the WMO Guide to Meteorological Instruments (2008), 6.112 hPa
// exp(17.62 t/(243.12 + t)) for -45 °C to 60 °C, supercooled water included. They
// differ by up to 0.3 %, which at 25 °C is the WMO formula's error.
func TestSaturationPressureAgainstAnother(t *testing.T) {
	last := 0.0
	for c := -20.0; c <= 60; c++ {
		got := float64(SaturationPressure(quantity.Celsius(c)))
		within(t, "against the WMO formula", got, 611.2*math.Exp(17.62*c/(243.12+c)), 3.2e-3)
		if got <= last {
			t.Errorf("at %v °C the pressure does not rise", c)
		}
		last = got
	}
	for _, none := range []quantity.Temperature{0, -1, quantity.Temperature(math.NaN())} {
		if p := SaturationPressure(none); p != 0 {
			t.Errorf("at %v K: %v", float64(none), p)
		}
	}
}

// TestDryPressure takes the vapour out of a barometer reading by hand: 60 % of
// 3169.7 Pa (ASHRAE) at 25 °C is 1901.8 Pa. The reference of ISO 1585 is such a
// day: 100 kPa with a vapour pressure of 1 kPa (Delegated Regulation (EU)
// 134/2014, annex X, appendix 2.2, note to 3.2.2).
func TestDryPressure(t *testing.T) {
	w := Weather{Barometer: 101.325 * quantity.Kilopascal, Temperature: quantity.Celsius(25), Humidity: 0.60}
	within(t, "vapour", float64(w.Vapour()), 1901.8, 3e-4)
	within(t, "dry", float64(w.Dry()), 101325-1901.8, 1e-5)

	reference := Weather{Barometer: 100 * quantity.Kilopascal, Temperature: quantity.Celsius(25), Humidity: quantity.Ratio(1000 / 3169.7)}
	within(t, "reference of ISO 1585", float64(reference.Dry()), float64(ISO1585.Reference().Pressure), 5e-6)

	within(t, "dry air", float64(Weather{Barometer: w.Barometer, Temperature: w.Temperature}.Dry()), 101325, 1e-15)
	if p := (Weather{Barometer: 50 * quantity.Kilopascal, Temperature: quantity.Celsius(95), Humidity: 1}).Dry(); p != 0 {
		t.Errorf("air of nothing but vapour has a dry pressure of %v", p)
	}
}

// TestMoistDensity checks a printed table of the density of moist air with a dew
// point of 10 °C in grams per litre, of the form that the CRC Handbook has (read on
// a public page). It was computed from 1.2929 g/L at 273.13 K and is printed to
// 0.001.
func TestMoistDensity(t *testing.T) {
	vapour := float64(SaturationPressure(quantity.Celsius(10)))
	for _, tt := range []struct{ mmHg, celsius, density float64 }{
		{760, 10, 1.241}, {760, 20, 1.199}, {760, 40, 1.122}, {760, 60, 1.055},
		{700, 20, 1.104}, {650, 40, 0.959}, {800, 10, 1.307},
	} {
		temperature := quantity.Celsius(tt.celsius)
		w := Weather{
			Barometer:   quantity.Of(tt.mmHg, quantity.Torr),
			Temperature: temperature,
			Humidity:    quantity.Ratio(vapour / float64(SaturationPressure(temperature))),
		}
		if got := float64(w.Density()); math.Abs(got-tt.density) > 0.001 {
			t.Errorf("%v mmHg, %v °C: %.4f kg/m³, want %.3f", tt.mmHg, tt.celsius, got, tt.density)
		}
	}
	dry := Weather{Barometer: quantity.Atmosphere, Temperature: quantity.Celsius(30)}
	moist := dry
	moist.Humidity = 1
	if moist.Density() >= dry.Density() {
		t.Error("moist air is not lighter than dry")
	}
	within(t, "dry air", float64(dry.Density()), float64(State{dry.Barometer, dry.Temperature}.Density()), 1e-15)
}

func TestWeatherValidate(t *testing.T) {
	good := Weather{Barometer: 98 * quantity.Kilopascal, Temperature: quantity.Celsius(28), Humidity: 0.45}
	if err := good.Validate(); err != nil {
		t.Errorf("good weather: %v", err)
	}
	for _, tt := range []struct {
		spoil func(*Weather)
		says  string
	}{
		{func(w *Weather) { w.Barometer = 0 }, "barometer"},
		{func(w *Weather) { w.Barometer = quantity.Pressure(math.NaN()) }, "barometer"},
		{func(w *Weather) { w.Temperature = 0 }, "temperature"},
		{func(w *Weather) { w.Humidity = 45 }, "humidity"},
		{func(w *Weather) { w.Humidity = -0.1 }, "humidity"},
		{func(w *Weather) { w.Temperature, w.Humidity = quantity.Celsius(110), 1 }, "leaves no dry air"},
	} {
		w := good
		tt.spoil(&w)
		if err := w.Validate(); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%+v: error %v, want one on %s", w, err, tt.says)
		}
	}
}
