package plumbing

import (
	"errors"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Suction is the way of the fuel from the tank to a pump's inlet. The velocity in its
// lines should stay within [SuctionVelocityLow] and [SuctionVelocityHigh].
type Suction struct {
	Run Run // pickup, pre-filter and line; the pickup's inlet loss is a loss coefficient of its line
	// Head is the height of the fuel's surface over the inlet of the run, negative
	// below it. Zero, with the fuel down to the pickup, is the prudent choice.
	Head quantity.Length
}

// Inlet returns the absolute pressure at the pump's inlet:
//
//	p = p_tank + ρ g h - losses - ρ g rise - ρ a ahead
//
// with tank the absolute pressure over the fuel, ambient where the tank is vented. It
// is the total pressure, of the fuel brought to rest: in the line it is less by
// ρV²/2, which is 0.8 kPa at 1.5 m/s. It falls as the flow rises.
func (s Suction) Inlet(tank quantity.Pressure, f Stream) quantity.Pressure {
	return s.Run.Downstream(tank.Plus(s.static(f.Density)), f)
}

// static is what the height of the fuel in the tank gives.
func (s Suction) static(rho quantity.Density) quantity.PressureDiff {
	return quantity.PressureDiff(float64(rho) * float64(quantity.StandardGravity) * float64(s.Head))
}

// Margin returns the pressure at the pump's inlet less the vapour pressure of the fuel
// there. A pump needs more than nothing; where it is negative the fuel boils in the
// line.
func (s Suction) Margin(tank, vapour quantity.Pressure, f Stream) quantity.PressureDiff {
	return s.Inlet(tank, f).Above(vapour)
}

// NPSH returns the net positive suction head available: the margin over the vapour
// pressure as a height of the fuel,
//
//	NPSH = (p_tank - p_v)/(ρ g) + h - h_loss
//
// (Crane, Flow of Fluids, Technical Paper 410, from memory; the terms as example 7.32
// has them). Compare it with what the pump's maker says the pump requires.
func (s Suction) NPSH(tank, vapour quantity.Pressure, f Stream) quantity.Length {
	return quantity.Length(float64(s.Margin(tank, vapour, f)) / (float64(f.Density) * float64(quantity.StandardGravity)))
}

// Capacity returns the flow up to which the wanted margin over the vapour pressure is
// kept: the inverse of [Suction.Margin] in f.Flow, which is not looked at. The error
// is that of [Run.Capacity]; it is [ErrNoFlow] where the fuel standing still has less,
// and names a pressure that is not finite.
func (s Suction) Capacity(tank, vapour quantity.Pressure, wanted quantity.PressureDiff, f Stream) (quantity.VolumeFlow, error) {
	err := errors.Join(
		check.Require(tank >= 0 && finite(tank), "tank pressure", tank, "must be finite and not negative"),
		check.Require(vapour >= 0 && finite(vapour), "vapour pressure", vapour, "must be finite and not negative"),
		check.Require(finite(wanted), "wanted margin", wanted, "must be finite"),
		check.Require(finite(s.Head), "head", s.Head, "must be finite"))
	if err != nil {
		return 0, err
	}
	return s.Run.Capacity(tank.Plus(s.static(f.Density)).Above(vapour)-wanted, f)
}

// Validate reports everything that makes no sense.
func (s Suction) Validate() error {
	return errors.Join(s.Run.Validate(), check.Require(finite(s.Head), "head", s.Head, "must be finite"))
}
