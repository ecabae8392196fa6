package pump

import (
	"errors"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// Series is two arrangements one behind the other: a lift pump that feeds the inlet
// of the main one. The same flow goes through both and the pressures add up. It is
// a [Supply]; three in a row are a Series in a Series.
//
// What a line between the two loses is not counted. Where one of them delivers
// more with no pressure to overcome than the other can pass, the other sets the
// flow: neither is taken to suck or to hold back. [Series.Starved] tells when it is
// the lift pump that falls behind.
type Series struct {
	Lift, Main Supply
}

// Split returns how the differential pressure dp divides and the flow through both.
func (s Series) Split(dp quantity.PressureDiff, at Conditions) (lift, main quantity.PressureDiff, flow quantity.VolumeFlow) {
	total := max(0, dp)
	lifted, wanted := s.Lift.Flow(0, at), s.Main.Flow(total, at)
	if lifted <= wanted {
		return 0, total, lifted
	}
	pushed, passed := s.Lift.Flow(total, at), s.Main.Flow(0, at)
	if pushed >= passed {
		return total, 0, passed
	}
	// What the lift pump brings falls as its share rises, what the main one brings
	// rises: they meet once.
	x, err := root.Within(func(x float64) float64 {
		share := quantity.PressureDiff(x)
		return float64(s.Lift.Flow(share, at) - s.Main.Flow(total-share, at))
	}, 0, float64(lifted-wanted), float64(total), float64(pushed-passed), splitTolerance)
	if err != nil {
		return 0, total, 0 // dp is no number
	}
	lift = quantity.PressureDiff(x)
	main = total - lift
	return lift, main, min(s.Lift.Flow(lift, at), s.Main.Flow(main, at))
}

// splitTolerance is in pascals.
const splitTolerance = 1e-6

// Flow returns the flow through both against dp.
func (s Series) Flow(dp quantity.PressureDiff, at Conditions) quantity.VolumeFlow {
	_, _, flow := s.Split(dp, at)
	return flow
}

// Starved reports whether the main pump could pass more against dp than the lift
// pump brings it, so that it draws its inlet down.
func (s Series) Starved(dp quantity.PressureDiff, at Conditions) bool {
	return s.Lift.Flow(0, at) < s.Main.Flow(max(0, dp), at)
}

// Current returns the sum of both currents.
func (s Series) Current(dp quantity.PressureDiff, at Conditions) quantity.Current {
	lift, main, _ := s.Split(dp, at)
	return s.Lift.Current(lift, at) + s.Main.Current(main, at)
}

// Power returns the sum of both powers.
func (s Series) Power(dp quantity.PressureDiff, at Conditions) quantity.Power {
	lift, main, _ := s.Split(dp, at)
	return s.Lift.Power(lift, at) + s.Main.Power(main, at)
}

// Covers reports whether both cover their share of dp and the main one is not
// starved.
func (s Series) Covers(dp quantity.PressureDiff, at Conditions) bool {
	lift, main, _ := s.Split(dp, at)
	return s.Lift.Covers(lift, at) && s.Main.Covers(main, at) && !s.Starved(dp, at)
}

// Validate reports what makes no sense in either.
func (s Series) Validate() error {
	return errors.Join(part("lift pump", s.Lift), part("main pump", s.Main))
}
