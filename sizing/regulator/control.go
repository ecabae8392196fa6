package regulator

import (
	"errors"
	"fmt"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Control is a returnless system that holds the rail pressure by the speed of the
// pump: a sensor at the rail, a target, and a pump that brings no more than the
// engine burns. Nothing is returned and nothing is lost between it and the rail, so
// the feed line's loss comes on top of what the pump has to bring, and the pump
// runs at part load, as Electric.Hold of package pump finds it.
type Control struct {
	Target     quantity.PressureDiff // of the rail, over what Reference says
	Reference  Kind                  // ManifoldReferenced or Fixed
	RisingRate quantity.Ratio        // of rail pressure to boost; zero stands for 1; manifold-referenced only
	LeastSpeed quantity.Ratio        // of the pump's full voltage, below which it is not slowed
	Relief     quantity.PressureDiff // over ambient, at which a valve lets out what the pump brings too much; zero: none
}

// Setpoint returns the absolute rail pressure that is held as long as the pump
// brings what the engine burns: as [Regulator.Setpoint] has it of a regulator at the
// rail.
func (c Control) Setpoint(manifold, ambient quantity.Pressure) quantity.Pressure {
	return c.regulator().Setpoint(manifold, ambient)
}

// Differential returns the set point less the manifold pressure.
func (c Control) Differential(manifold, ambient quantity.Pressure) quantity.PressureDiff {
	return c.Setpoint(manifold, ambient).Above(manifold)
}

func (c Control) regulator() Regulator {
	return Regulator{Kind: c.Reference, BasePressure: c.Target, RisingRate: c.RisingRate}
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (c Control) Validate() error {
	var kind error
	if !c.Reference.AtRail() {
		kind = fmt.Errorf("reference: %w", &quantity.ParseError{
			Text: c.Reference.String(), Reason: "is not what a rail pressure can be held over",
			Accepted: `"manifold-referenced" or "fixed"`, Err: quantity.ErrRange,
		})
	}
	rate := check.Require(c.RisingRate >= 0 && finite(c.RisingRate), "rising rate", c.RisingRate, "must not be negative")
	if rate == nil && kind == nil {
		rate = check.Require(c.RisingRate == 0 || c.Reference == ManifoldReferenced, "rising rate", c.RisingRate, "only a manifold-referenced target has one")
	}
	return errors.Join(kind,
		check.Require(c.Target > 0 && finite(c.Target), "target", c.Target, "must be greater than zero"),
		rate,
		check.Require(c.LeastSpeed >= 0 && c.LeastSpeed < 1, "least speed", c.LeastSpeed, "must lie from 0 to less than 1"),
		check.Require(c.Relief == 0 || c.Relief >= c.Target && finite(c.Relief), "relief", c.Relief, "must not lie below the target"))
}
