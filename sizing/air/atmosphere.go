package air

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/quantity"
)

// Constants of the standard atmosphere, ISO 2533:1975 and US Standard Atmosphere
// 1976, which agree below 32 km. They were read in a public list of the latter's
// constants; the last two digits of the molar mass, as in ISO 2533, are from memory.
const (
	seaLevelPressure    = 101325.0  // Pa
	seaLevelTemperature = 288.15    // K
	lapse               = 6.5e-3    // K per geopotential metre
	gravity             = 9.80665   // m/s²
	earthRadius         = 6356766.0 // m

	gasConstant = 8314.32 / 28.964420 // 287.05287 J/(kg K): molar gas constant over molar mass of air, both of the standard

	barometric = gravity / (gasConstant * lapse) // 5.25588, exponent of the temperature ratio
)

// The standard atmosphere is given here from lowest to the tropopause, which lies
// at 11000 geopotential metres.
const (
	lowest  = -5000 * quantity.Metre
	highest = earthRadius * 11000 / (earthRadius - 11000) * quantity.Metre
)

// State is air at rest at an absolute pressure and a temperature.
type State struct {
	Pressure    quantity.Pressure
	Temperature quantity.Temperature
}

// Density returns the density of dry air in the state: p/(R T) with the gas
// constant of ISO 2533, 287.05287 J/(kg K).
func (s State) Density() quantity.Density {
	return quantity.Density(float64(s.Pressure) / (gasConstant * float64(s.Temperature)))
}

// AtAltitude returns the state of the standard atmosphere at a height above mean
// sea level:
//
//	H = r z / (r + z),  T = 288.15 K - 6.5 K/km · H,  p = 101325 Pa · (T/288.15 K)^5.25588
//
// with the geopotential altitude H of the geometric altitude z and r = 6356766 m.
// It is a yearly mean of middle latitudes: weather moves the pressure by some
// percent and the temperature by tens of kelvins.
//
// The altitude must lie between -5000 m and the tropopause at 11019 m; otherwise
// the state is zero and the error wraps a [*quantity.ParseError]. Source: ISO
// 2533:1975 and US Standard Atmosphere 1976, equations from memory.
func AtAltitude(altitude quantity.Length) (State, error) {
	if !(altitude >= lowest && altitude <= highest) {
		return State{}, altitudeError(altitude)
	}
	theta := 1 - lapse*geopotential(float64(altitude))/seaLevelTemperature
	return State{
		Pressure:    quantity.Pressure(seaLevelPressure * math.Pow(theta, barometric)),
		Temperature: quantity.Temperature(seaLevelTemperature * theta),
	}, nil
}

// PressureAltitude returns the height at which the standard atmosphere has the
// pressure p: the inverse of [AtAltitude], with the same limits and error.
func PressureAltitude(p quantity.Pressure) (quantity.Length, error) {
	h := seaLevelTemperature / lapse * (1 - math.Pow(float64(p)/seaLevelPressure, 1/barometric))
	// Roundoff at the very ends must not refuse what AtAltitude gives there.
	const slack = 1e-6 * quantity.Metre
	altitude := quantity.Length(earthRadius * h / (earthRadius - h))
	if !(p > 0 && altitude >= lowest-slack && altitude <= highest+slack) {
		return 0, &quantity.ParseError{
			Text: quantity.Format(p, quantity.SI), Reason: "is not found in the troposphere of the standard atmosphere",
			Accepted: "an absolute pressure from 22.633 kPa to 177.76 kPa", Err: quantity.ErrRange,
		}
	}
	return altitude, nil
}

// StationPressure returns the absolute pressure at a place whose barometer
// reading is stated as reduced to sea level, as weather services and airfields
// state it (the altimeter setting):
//
//	p^(1/5.25588) = p_sea^(1/5.25588) - (101325 Pa)^(1/5.25588) · 6.5 K/km · H / 288.15 K
//
// The reduced pressure says nothing of the air an engine draws: at 1500 m it
// reads some 17 kPa too much. The altitude has the limits and the error of
// [AtAltitude]; a sea-level pressure that is not positive, or leaves nothing at
// that height, gives an error too. Source: definition of the altimeter setting by
// the standard atmosphere (ICAO, from memory).
func StationPressure(seaLevel quantity.Pressure, altitude quantity.Length) (quantity.Pressure, error) {
	if !(altitude >= lowest && altitude <= highest) {
		return 0, altitudeError(altitude)
	}
	ratio := math.Pow(float64(seaLevel)/seaLevelPressure, 1/barometric) - lapse*geopotential(float64(altitude))/seaLevelTemperature
	p := quantity.Pressure(seaLevelPressure * math.Pow(ratio, barometric))
	if !(seaLevel > 0 && p > 0) || math.IsInf(float64(p), 0) {
		return 0, fmt.Errorf("sea-level pressure: %w", &quantity.ParseError{
			Text: quantity.Format(seaLevel, quantity.SI), Reason: "leaves no pressure at that altitude",
			Accepted: quantity.Accepted[quantity.Pressure](), Err: quantity.ErrRange,
		})
	}
	return p, nil
}

// geopotential returns the geopotential altitude of a geometric one, in metres.
func geopotential(z float64) float64 { return earthRadius * z / (earthRadius + z) }

func altitudeError(altitude quantity.Length) error {
	return fmt.Errorf("altitude: %w", &quantity.ParseError{
		Text:   quantity.FormatIn(altitude, quantity.Metre),
		Reason: "lies outside the troposphere of the standard atmosphere", Accepted: "an altitude from -5000 m to 11019 m",
		Err: quantity.ErrRange,
	})
}
