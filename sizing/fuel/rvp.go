package fuel

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// GasolineSlope is the distillation slope of motor gasoline that AP-42 gives where
// none was measured.
const GasolineSlope quantity.Ratio = 3

// Limits of [GasolineVapourPressure]. AP-42 states none for the equation; its
// nomographs run from 1 to 20 psi and to 140 °F (from memory). The logarithm of the
// pressure is a straight line in 1/T, so that a hot rail lies a short way beyond.
const (
	leastReid, mostReid   = 1 * quantity.PSIA, 20 * quantity.PSIA
	leastSlope, mostSlope = quantity.Ratio(1), quantity.Ratio(5)
)

var coldestReid, hottestReid = quantity.Celsius(-30), quantity.Celsius(100)

// GasolineVapourPressure returns the true vapour pressure at t of a gasoline
// without alcohol, from its Reid vapour pressure rvp, which is measured at 100 °F:
//
//	ln p = A - B/T
//	A = 15.64 - 1.854 √S - (0.8742 - 0.3280 √S) ln RVP
//	B = 8742 - 1042 √S - (1049 - 179.4 √S) ln RVP
//
// with pressures in psi, T in degrees Rankine and S the slope: the rise in °F per
// percent evaporated at 10 % evaporated of the distillation curve (ASTM D86). A
// slope of zero stands for [GasolineSlope].
//
// It holds for a Reid vapour pressure of 1 to 20 psi, slopes of 1 to 5 and
// temperatures of -30 to 100 °C; the error names every value beyond, with a result
// of zero. The rounded table that AP-42 prints for 7, 10 and 13 psi from 40 to 100 °F is
// met within 2.5 %. At 100 °F the result lies above the Reid vapour pressure, which is
// measured with some of the light ends boiled off. The grades of the table of
// constituents have the results for the Reid vapour pressures that their notes state.
//
// Source: US EPA, AP-42, section 7.1, figures 7.1-14b and 7.1-15 (older edition), the
// equation for refined petroleum stocks; secondary, read in public code.
func GasolineVapourPressure(rvp quantity.Pressure, t quantity.Temperature, slope quantity.Ratio) (quantity.Pressure, error) {
	if slope == 0 {
		slope = GasolineSlope
	}
	err := errors.Join(
		check.Require(rvp >= leastReid && rvp <= mostReid, "Reid vapour pressure", rvp, "must lie from 1 to 20 psi"),
		check.Require(t >= coldestReid && t <= hottestReid, "temperature", t, "must lie from -30 to 100 °C"),
		check.Require(slope >= leastSlope && slope <= mostSlope, "distillation slope", slope, "must lie from 1 to 5 °F per percent"))
	if err != nil {
		return 0, err
	}
	const rankine = 9.0 / 5 // °R in a kelvin
	root, ln := math.Sqrt(float64(slope)), math.Log(rvp.In(quantity.PSIA))
	a := 15.64 - 1.854*root - (0.8742-0.3280*root)*ln
	b := 8742 - 1042*root - (1049-179.4*root)*ln
	return quantity.Of(math.Exp(a-b/(rankine*float64(t))), quantity.PSIA), nil
}
