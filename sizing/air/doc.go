// Package air describes the air that an engine breathes: at altitude, with
// moisture in it, on its way through compressor and intercooler, and as the
// standards for engine power reduce it to their reference conditions.
//
// A [State] is air at a pressure and a temperature. [AtAltitude] gives that of
// the standard atmosphere; [Charging.Charge] follows ambient air to the manifold:
//
//	ambient, err := air.AtAltitude(1500 * quantity.Metre)
//	c := air.Charging{Efficiency: 0.72, Intercooler: air.Intercooler{Effectiveness: 0.70, Coolant: ambient.Temperature}}
//	charge := c.Charge(ambient, 220*quantity.Kilopascal)
//
// [Weather] takes the vapour out of a barometer reading, and a [Standard] turns a
// corrected dynamometer figure back into the power that was really made, which is
// what burnt the air and the fuel.
//
// Air is an ideal gas of constant heat capacity with the ratio of heats 1.4. At
// the pressure ratios of engines that is right within half a percent of the
// absolute temperature; see [Compressor].
package air
