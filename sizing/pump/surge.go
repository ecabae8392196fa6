package pump

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Surge is a surge tank: lift pumps fill it from the main tank and what they bring
// too much runs back there, and main pumps draw from it. It is open or vented, so
// that the pressures do not add up. It is a [Supply] whose pressure is that over
// the main pumps.
type Surge struct {
	Lift     Supply
	LiftRise quantity.PressureDiff // over the lift pumps: height, line and filter up to the surge tank
	Main     Supply
	Volume   quantity.Volume // of the surge tank
	Returned bool            // the regulator's return comes back to the surge tank, not to the main one
}

// Refill returns the flow that the lift pumps bring into the surge tank: what may
// be taken out of it for ever.
func (s Surge) Refill(at Conditions) quantity.VolumeFlow { return s.Lift.Flow(s.LiftRise, at) }

// Flow returns the flow that the main pumps deliver against dp for ever. Where the
// return comes back to the surge tank that is all that they can; the engine may
// then burn no more than [Surge.Refill], which the caller has to see to. Where it
// does not, the lift pumps have to bring all of it.
func (s Surge) Flow(dp quantity.PressureDiff, at Conditions) quantity.VolumeFlow {
	flow := s.Main.Flow(dp, at)
	if s.Returned {
		return flow
	}
	return min(flow, s.Refill(at))
}

// Lasts returns how long a full surge tank lasts while more is taken out of it than
// the lift pumps bring: +Inf where it is not more. What is taken out is what the
// engine burns where the return comes back here, and otherwise all that the main
// pumps deliver. A lift pump that draws air counts as one without power.
func (s Surge) Lasts(taken quantity.VolumeFlow, at Conditions) quantity.Time {
	short := float64(taken - s.Refill(at))
	if short <= 0 {
		return quantity.Time(math.Inf(1))
	}
	return quantity.Time(float64(s.Volume) / short)
}

// Current returns the sum of the currents of lift and main pumps.
func (s Surge) Current(dp quantity.PressureDiff, at Conditions) quantity.Current {
	return s.Lift.Current(s.LiftRise, at) + s.Main.Current(dp, at)
}

// Power returns the sum of the powers of lift and main pumps.
func (s Surge) Power(dp quantity.PressureDiff, at Conditions) quantity.Power {
	return s.Lift.Power(s.LiftRise, at) + s.Main.Power(dp, at)
}

// Covers reports whether lift and main pumps are measured where they work.
func (s Surge) Covers(dp quantity.PressureDiff, at Conditions) bool {
	return s.Lift.Covers(s.LiftRise, at) && s.Main.Covers(dp, at)
}

// Validate reports everything that makes no sense, each error named after its
// field.
func (s Surge) Validate() error {
	return errors.Join(part("lift pump", s.Lift),
		check.Require(s.LiftRise >= 0 && finite(s.LiftRise), "lift rise", s.LiftRise, "must not be negative"),
		part("main pump", s.Main),
		check.Require(s.Volume >= 0 && finite(s.Volume), "surge volume", s.Volume, "must not be negative"))
}
