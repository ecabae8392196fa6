package air

import (
	"errors"
	"math"
	"testing"

	"example.com/railbook/sizing/quantity"
)

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol*math.Abs(want) }

// within wants got at want within a relative tolerance.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !near(got, want, tol) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, tol)
	}
}

func atAltitude(t testing.TB, altitude quantity.Length) State {
	t.Helper()
	s, err := AtAltitude(altitude)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestStandardAtmosphereTable holds the atmosphere to a printed table of the US
// Standard Atmosphere 1976, "Atmosphere to 86 km by 2 km (SI units)" of Public
// Domain Aeronautical Software, by geometric altitude; read as transcribed in the
// tests of the fluids library. Tolerances are half the last printed digit; that of
// pressure and density is of five figures.
func TestStandardAtmosphereTable(t *testing.T) {
	for _, tt := range []struct{ z, kelvins, pascals, density float64 }{
		{-2000, 301.15, 127780, 1.4782},
		{0, 288.15, 101320, 1.225}, // printed as 1.0132E+5 from 101325: half a digit in the fifth figure
		{2000, 275.15, 79501, 1.0066},
		{4000, 262.17, 61660, 0.81935},
		{6000, 249.19, 47218, 0.66011},
		{8000, 236.22, 35652, 0.52579},
		{10000, 223.25, 26500, 0.41351},
	} {
		s := atAltitude(t, quantity.Of(tt.z, quantity.Metre))
		if math.Abs(float64(s.Temperature)-tt.kelvins) > 0.0051 {
			t.Errorf("%v m: %.4f K, want %.2f", tt.z, float64(s.Temperature), tt.kelvins)
		}
		within(t, "pressure", float64(s.Pressure), tt.pascals, 5e-5)
		within(t, "density", float64(s.Density()), tt.density, 5e-5)
	}
}

// TestStandardAtmosphereLibrary compares with ATMOSPHERE_1976 of the fluids
// library 1.0.22, geometric altitude. The library rounds the molar mass to 28.9644
// g/mol, which moves the pressure by less than 1e-6 and the density by 7e-7.
func TestStandardAtmosphereLibrary(t *testing.T) {
	for _, tt := range []struct{ z, kelvins, pascals, density float64 }{
		{0, 288.15, 101325, 1.224999156},
		{250, 286.5250639, 98357.65137, 1.195868242},
		{500, 284.9002556, 95461.28949, 1.167272512},
		{1000, 281.6510224, 89876.28519, 1.111658985},
		{1500, 278.4023002, 84559.67669, 1.058103853},
		{1609.344, 277.6919117, 83431.76907, 1.046660954}, // a mile
		{2000, 275.1540888, 79501.42464, 1.006553217},
		{3000, 268.6591984, 70121.16224, 0.9092539408},
		{5000, 255.6755432, 54048.28615, 0.7364284208},
		{11000, 216.7735127, 22699.96074, 0.3648015642},
	} {
		s := atAltitude(t, quantity.Of(tt.z, quantity.Metre))
		within(t, "temperature", float64(s.Temperature), tt.kelvins, 1e-9)
		within(t, "pressure", float64(s.Pressure), tt.pascals, 2e-6)
		within(t, "density", float64(s.Density()), tt.density, 2e-6)
	}
}

// TestTropopause holds the upper end to the printed 22632.1 Pa, 216.65 K and
// 0.363918 kg/m³ at 11000 geopotential metres (J. Denker, Altimetry, table of the
// standard atmosphere).
func TestTropopause(t *testing.T) {
	s := atAltitude(t, highest)
	within(t, "pressure", float64(s.Pressure), 22632.1, 3e-6)
	within(t, "temperature", float64(s.Temperature), 216.65, 1e-12)
	within(t, "density", float64(s.Density()), 0.363918, 2e-6)
	// Exactly 6.5 K per geopotential kilometre: 281.650 K at 1000 of them.
	z := quantity.Length(earthRadius * 1000 / (earthRadius - 1000))
	within(t, "temperature at 1000 geopotential metres", float64(atAltitude(t, z).Temperature), 281.650, 1e-12)
}

// TestStandardAtmosphereUS checks the table of the US standard atmosphere in feet,
// °F and psia of the Engineering ToolBox. Its heading says geopotential altitude;
// its figures are those of geometric altitude.
func TestStandardAtmosphereUS(t *testing.T) {
	for _, tt := range []struct{ feet, fahrenheit, psia float64 }{
		{-5000, 76.84, 17.554}, {0, 59, 14.696}, {5000, 41.17, 12.228}, {10000, 23.36, 10.108},
		{15000, 5.55, 8.297}, {20000, -12.26, 6.759}, {25000, -30.05, 5.461}, {30000, -47.83, 4.373}, {35000, -65.61, 3.468},
	} {
		s := atAltitude(t, quantity.Of(tt.feet, quantity.Foot))
		if got := s.Temperature.Fahrenheit(); math.Abs(got-tt.fahrenheit) > 0.0055 {
			t.Errorf("%v ft: %.3f °F, want %.2f", tt.feet, got, tt.fahrenheit)
		}
		if got := s.Pressure.In(quantity.PSIA); math.Abs(got-tt.psia) > 0.00051 {
			t.Errorf("%v ft: %.4f psia, want %.3f", tt.feet, got, tt.psia)
		}
	}
}

func TestPressureAltitudeInverts(t *testing.T) {
	for z := lowest; z <= highest; z += 37 * quantity.Metre {
		got, err := PressureAltitude(atAltitude(t, z).Pressure)
		if err != nil || math.Abs(float64(got-z)) > 1e-6 {
			t.Errorf("%v m comes back as %v, %v", float64(z), float64(got), err)
		}
	}
	for _, z := range []quantity.Length{lowest, 0, highest} {
		if got, err := PressureAltitude(atAltitude(t, z).Pressure); err != nil || math.Abs(float64(got-z)) > 1e-6 {
			t.Errorf("the end %v m comes back as %v, %v", float64(z), float64(got), err)
		}
	}
}

// TestAtmosphereIsHydrostatic checks the differential equation that defines the
// atmosphere, dp/dh = -ρ g at the gravity of the height, by central differences.
func TestAtmosphereIsHydrostatic(t *testing.T) {
	const step = 10.0
	for z := -4500.0; z <= 10500; z += 500 {
		up, down := atAltitude(t, quantity.Length(z+step)), atAltitude(t, quantity.Length(z-step))
		slope := float64(up.Pressure-down.Pressure) / (2 * step)
		g := gravity * math.Pow(earthRadius/(earthRadius+z), 2)
		within(t, "dp/dz", slope, -g*float64(atAltitude(t, quantity.Length(z)).Density()), 1e-6)
	}
}

// TestStationPressure: the standard sea-level pressure gives the standard
// atmosphere at any height, the reading at sea level is the pressure itself, and
// the place lies as far above its sea-level pressure in the table as it is high.
func TestStationPressure(t *testing.T) {
	for z := lowest; z <= highest; z += 500 * quantity.Metre {
		got, err := StationPressure(quantity.Atmosphere, z)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "standard day", float64(got), float64(atAltitude(t, z).Pressure), 1e-12)
	}
	for _, sea := range []quantity.Pressure{97 * quantity.Kilopascal, 101.325 * quantity.Kilopascal, 104 * quantity.Kilopascal} {
		if got, err := StationPressure(sea, 0); err != nil || !near(float64(got), float64(sea), 1e-14) {
			t.Errorf("at sea level %v reads %v, %v", sea, got, err)
		}
		got, err := StationPressure(sea, 1500*quantity.Metre)
		if err != nil {
			t.Fatal(err)
		}
		here, err := PressureAltitude(got)
		if err != nil {
			t.Fatal(err)
		}
		below, err := PressureAltitude(sea)
		if err != nil {
			t.Fatal(err)
		}
		rise := geopotential(float64(here)) - geopotential(float64(below))
		within(t, "rise", rise, geopotential(1500), 1e-9)
	}
}

func TestAtmosphereRefuses(t *testing.T) {
	nan := math.NaN()
	for name, err := range map[string]error{
		"above":            second(AtAltitude(11020 * quantity.Metre)),
		"below":            second(AtAltitude(-5001 * quantity.Metre)),
		"NaN":              second(AtAltitude(quantity.Length(nan))),
		"pressure above":   second(PressureAltitude(180 * quantity.Kilopascal)),
		"pressure below":   second(PressureAltitude(22 * quantity.Kilopascal)),
		"no pressure":      second(PressureAltitude(0)),
		"negative":         second(PressureAltitude(-5 * quantity.Kilopascal)),
		"NaN pressure":     second(PressureAltitude(quantity.Pressure(nan))),
		"station above":    second(StationPressure(quantity.Atmosphere, 12000*quantity.Metre)),
		"station, no sea":  second(StationPressure(0, 100*quantity.Metre)),
		"station, vacuum":  second(StationPressure(50*quantity.Pascal, 11000*quantity.Metre)),
		"station, no end":  second(StationPressure(quantity.Pressure(math.Inf(1)), 0)),
		"station, NaN":     second(StationPressure(quantity.Pressure(nan), 0)),
		"station, NaN top": second(StationPressure(quantity.Atmosphere, quantity.Length(nan))),
	} {
		var pe *quantity.ParseError
		if !errors.As(err, &pe) || !errors.Is(err, quantity.ErrRange) || pe.Accepted == "" {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }
