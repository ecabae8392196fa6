package air

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// SaturationPressure returns the pressure of saturated water vapour over liquid
// water:
//
//	ln(p/Pa) = -5800.2206/T + 1.3914993 - 0.048640239 T + 4.1764768e-5 T²
//	           - 1.4452093e-8 T³ + 6.5459673 ln T,  T in kelvins
//
// It is fitted from 0 °C to 200 °C, where it holds within 0.03 % of the tables.
// Colder, where it stands for supercooled water, it is extrapolated; the vapour
// is then less than one percent of the air. It is 0 where t is not positive.
// Source: Hyland and Wexler 1983, in the form of the ASHRAE Handbook
// Fundamentals, chapter 1 (coefficients read in two copies of that form).
func SaturationPressure(t quantity.Temperature) quantity.Pressure {
	if !(t > 0) {
		return 0
	}
	k := float64(t)
	ln := -5800.2206/k + 1.3914993 + k*(-4.8640239e-2+k*(4.1764768e-5-k*1.4452093e-8)) + 6.5459673*math.Log(k)
	return quantity.Pressure(math.Exp(ln))
}

// Weather is the air of a place as instruments show it.
type Weather struct {
	Barometer   quantity.Pressure    // absolute, at the place itself: not reduced to sea level, see StationPressure
	Temperature quantity.Temperature // of the air that the engine draws
	Humidity    quantity.Ratio       // relative: vapour pressure over saturation pressure, from 0 to 1
}

// Vapour returns the partial pressure of water vapour.
func (w Weather) Vapour() quantity.Pressure {
	return quantity.Pressure(float64(w.Humidity) * float64(SaturationPressure(w.Temperature)))
}

// Dry returns the partial pressure of the dry air: barometer less vapour. It is
// what the power standards take, and what carries oxygen: the density of dry air
// at this pressure is the air that burns fuel. It is 0 where vapour leaves none.
func (w Weather) Dry() quantity.Pressure { return max(0, w.Barometer-w.Vapour()) }

// Density returns the density of the moist air, dry air and vapour together:
//
//	(p_dry M_dry + p_vapour M_water) / (R T)
//
// as ideal gases, with molar masses of 28.9644 and 18.015 g/mol. Their ratio is
// 0.622, so that moist air is lighter than dry.
func (w Weather) Density() quantity.Density {
	const ratio = 18.015 / 28.9644
	dry, vapour := float64(w.Dry()), float64(w.Vapour())
	return quantity.Density((dry + ratio*vapour) / (gasConstant * float64(w.Temperature)))
}

// Validate reports every field that makes no sense, each error named after its
// field: a pressure or temperature that is not positive, a humidity outside 0 to
// 1, and vapour that leaves no dry air.
func (w Weather) Validate() error {
	return errors.Join(
		check.Require(w.Barometer > 0 && !math.IsInf(float64(w.Barometer), 0), "barometer", w.Barometer, "must be positive"),
		check.Require(w.Temperature > 0 && !math.IsInf(float64(w.Temperature), 0), "temperature", w.Temperature, "must be positive"),
		check.Require(w.Humidity >= 0 && w.Humidity <= 1, "humidity", w.Humidity, "must lie from 0 to 1"),
		check.Require(!(w.Barometer > 0 && w.Humidity >= 0 && w.Humidity <= 1) || w.Vapour() < w.Barometer, "temperature", w.Temperature, "leaves no dry air at that humidity"))
}
