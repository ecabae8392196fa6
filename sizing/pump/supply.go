package pump

import "example.com/railbook/sizing/quantity"

// Conditions are what an arrangement of pumps is driven with.
type Conditions struct {
	Voltage quantity.Voltage      // of the electric supply, before the wiring
	Speed   quantity.AngularSpeed // of the crankshaft
}

// Supply is anything that brings fuel from the tank against a pressure: [Electric]
// pumps, an engine-driven [Mechanical] one, several in [Parallel] or in [Series],
// or a [Surge] tank with the pumps before and behind it.
//
// Pressure is the difference of outlet over inlet of the whole arrangement, and
// Flow never rises with it and has no break, so that a bracketing solver can
// balance any arrangement against lines, regulator and injectors. No method
// allocates but Validate.
type Supply interface {
	// Flow returns the flow delivered against dp.
	Flow(dp quantity.PressureDiff, at Conditions) quantity.VolumeFlow
	// Current returns the current drawn from the electric supply, zero where it is
	// not known.
	Current(dp quantity.PressureDiff, at Conditions) quantity.Current
	// Power returns what the pumps take up at their terminals or shafts, zero where
	// it is not known. It ends as heat in the fuel.
	Power(dp quantity.PressureDiff, at Conditions) quantity.Power
	// Covers reports whether Flow at dp lies within what was measured of every part.
	Covers(dp quantity.PressureDiff, at Conditions) bool
	// Validate reports everything that makes no sense.
	Validate() error
}
