package plumbing

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// Loop is the fuel's way round from the tank through pump, rail and return, and the
// heat that it picks up. Each rise follows from ΔT = heat/(ṁ c).
//
// All that the pump takes up is counted as heat at the pump. The part of it that is
// pressure turns to heat in line, regulator and injectors, so that the rail is
// colder by Δp/(ρ c) than this says: 0.3 K at 500 kPa.
type Loop struct {
	Flow         quantity.MassFlow // out of the tank, through the pump
	Burnt        quantity.MassFlow // of it, through the injectors
	Pump         wiring.Power      // taken up by pumps that the fuel runs through
	Feed         wiring.Power      // picked up on the way to the regulator, engine bay and rail included
	Return       wiring.Power      // picked up on the way back
	SpecificHeat SpecificHeat
}

// Warmed returns the rise in temperature that the heat gives to the mass flow, and
// +Inf for heat without flow.
func Warmed(heat wiring.Power, flow quantity.MassFlow, c SpecificHeat) quantity.TemperatureDiff {
	if heat == 0 {
		return 0
	}
	return quantity.TemperatureDiff(float64(heat) / (float64(flow) * float64(c)))
}

// AtRail returns the rise from the tank to the rail.
func (l Loop) AtRail() quantity.TemperatureDiff {
	return Warmed(l.Pump+l.Feed, l.Flow, l.SpecificHeat)
}

// Lap returns the rise of the fuel that comes back to the tank, once round. Where all
// of the flow is burnt it is that at the rail.
func (l Loop) Lap() quantity.TemperatureDiff {
	back := l.back()
	if back == 0 {
		return l.AtRail()
	}
	return l.AtRail() + Warmed(l.Return, back, l.SpecificHeat)
}

func (l Loop) back() quantity.MassFlow { return max(0, l.Flow-l.Burnt) }

// ToTank returns the heat that the returned fuel brings into the tank, over what it
// took out. The rest of what was picked up leaves through the injectors.
func (l Loop) ToTank() wiring.Power {
	if l.back() == 0 {
		return 0
	}
	return wiring.Power(float64(l.Lap()) * float64(l.back()) * float64(l.SpecificHeat))
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (l Loop) Validate() error {
	return errors.Join(
		check.Require(l.Flow > 0 && finite(l.Flow), "flow", l.Flow, "must be greater than zero"),
		check.Require(l.Burnt >= 0 && l.Burnt <= l.Flow, "flow burnt", l.Burnt, "must not be negative nor exceed the flow"),
		requirePower("pump power", l.Pump), requirePower("heat of the feed", l.Feed), requirePower("heat of the return", l.Return),
		requireHeat(l.SpecificHeat))
}

func requirePower(field string, p wiring.Power) error {
	if p >= 0 && !math.IsInf(float64(p), 1) {
		return nil
	}
	return fmt.Errorf("%s: %w", field, &quantity.ParseError{
		Text: p.String(), Reason: "must not be negative", Accepted: p.Accepts(), Err: quantity.ErrRange,
	})
}

func requireHeat(c SpecificHeat) error {
	if c > 0 && !math.IsInf(float64(c), 1) {
		return nil
	}
	return fmt.Errorf("specific heat: %w", &quantity.ParseError{
		Text: c.String(), Reason: "must be greater than zero", Accepted: "a specific heat such as 2.1 kJ/(kg·K)", Err: quantity.ErrRange,
	})
}
