package plumbing

import (
	"errors"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
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
	Pump         quantity.Power    // taken up by pumps that the fuel runs through
	Feed         quantity.Power    // picked up on the way to the regulator, engine bay and rail included
	Return       quantity.Power    // picked up on the way back
	SpecificHeat quantity.SpecificHeat
}

// Warmed returns the rise in temperature that the heat gives to the mass flow, and
// +Inf for heat without flow.
func Warmed(heat quantity.Power, flow quantity.MassFlow, c quantity.SpecificHeat) quantity.TemperatureDiff {
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
func (l Loop) ToTank() quantity.Power {
	if l.back() == 0 {
		return 0
	}
	return quantity.Power(float64(l.Lap()) * float64(l.back()) * float64(l.SpecificHeat))
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

func requirePower(field string, p quantity.Power) error {
	return check.Require(p >= 0 && finite(p), field, p, "must not be negative")
}

func requireHeat(c quantity.SpecificHeat) error {
	return check.Require(c > 0 && finite(c), "specific heat", c, "must be greater than zero")
}
