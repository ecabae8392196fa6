package regulator

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// SetpointAt returns the absolute pressure where the regulator sits while it
// returns the flow returned: that of [Regulator.Setpoint] up to the set flow, and
// above it more by [Regulator.Slope]:
//
//	p = p_set + slope (returned - set flow)
//
// It rises with returned without a break, so that a bracketing solver can balance
// it against pumps that bring less as it rises. Whether the regulator is in control
// at that flow, [Regulator.Controls] tells.
func (r Regulator) SetpointAt(manifold, ambient quantity.Pressure, returned quantity.VolumeFlow) quantity.Pressure {
	return r.setpointAt(manifold, ambient, returned)
}

func (r *Regulator) setpointAt(manifold, ambient quantity.Pressure, returned quantity.VolumeFlow) quantity.Pressure {
	return r.Setpoint(manifold, ambient).Plus(r.Slope.Over(returned - r.setFlow()))
}

// setFlow is the return flow above which the pressure rises.
func (r *Regulator) setFlow() quantity.VolumeFlow {
	if r.SetFlow == 0 {
		return r.MaxReturn
	}
	return r.SetFlow
}

// Hold returns the absolute pressure where the regulator sits while it returns the
// flow returned against the pressure back behind it: that of
// [Regulator.SetpointAt], or, where the return line and the wide-open valve need
// more, what they need:
//
//	p >= p_back + OpenDrop (returned/MaxReturn)²
//
// So a return that is too tight takes the rail out of the regulator's hands. It
// rises with returned and with back without a break.
func (r Regulator) Hold(manifold, ambient, back quantity.Pressure, returned quantity.VolumeFlow) quantity.Pressure {
	return max(r.setpointAt(manifold, ambient, returned), back.Plus(r.openLoss(returned)))
}

// openLoss is what the wide-open valve loses.
func (r *Regulator) openLoss(returned quantity.VolumeFlow) quantity.PressureDiff {
	if r.OpenDrop == 0 || r.MaxReturn == 0 {
		return 0
	}
	part := float64(returned / r.MaxReturn)
	return quantity.PressureDiff(float64(r.OpenDrop) * part * math.Abs(part))
}

// Controls reports whether the regulator holds its set point at a return flow:
// within [Regulator.LeastReturn] and [Regulator.MaxReturn].
func (r Regulator) Controls(returned quantity.VolumeFlow) bool {
	return returned >= r.LeastReturn && r.CanReturn(returned)
}
