package display

import "example.com/railbook/sizing/quantity"

// format prints a quantity to three figures, or to the point: no more than a
// reader can use in a comparison.
func format[Q quantity.Quantity](q Q, sys quantity.System) string {
	text := quantity.Digits(quantity.Number(q, sys), 3)
	if unit := quantity.UnitSymbol[Q](sys); unit != "" {
		text += " " + unit
	}
	return text
}

// bothSystems prints a quantity in metric units and those of the United States
// trade, unless they are the same, and tells whether v is a quantity.
func bothSystems(v any) (text string, ok bool) {
	for _, k := range kinds {
		if text, ok := k.both(v); ok {
			return text, true
		}
	}
	return "", false
}

// kind is what can be done with one kind of quantity, told by its type.
type kind struct {
	both func(v any) (text string, ok bool)
	in   func(v any, unit string) (text string, ok bool, err error) // see inUnit
}

func kindOf[Q quantity.Quantity]() kind { return kind{both[Q], inUnit[Q]} }

var kinds = []kind{
	kindOf[quantity.Acceleration](), kindOf[quantity.AngularSpeed](), kindOf[quantity.Area](), kindOf[quantity.CrankPower](),
	kindOf[quantity.Current](), kindOf[quantity.Density](), kindOf[quantity.EnergyDensity](), kindOf[quantity.Length](),
	kindOf[quantity.Mass](), kindOf[quantity.MassFlow](), kindOf[quantity.MassFraction](), kindOf[quantity.MolarMass](),
	kindOf[quantity.Power](), kindOf[quantity.Pressure](), kindOf[quantity.PressureDiff](), kindOf[quantity.Ratio](), kindOf[quantity.Resistance](),
	kindOf[quantity.SpecificConsumption](), kindOf[quantity.SpecificEnergy](), kindOf[quantity.SpecificHeat](), kindOf[quantity.Temperature](),
	kindOf[quantity.TemperatureDiff](), kindOf[quantity.Time](), kindOf[quantity.Torque](), kindOf[quantity.Velocity](),
	kindOf[quantity.Viscosity](), kindOf[quantity.Voltage](), kindOf[quantity.Volume](), kindOf[quantity.VolumeFlow](),
	kindOf[quantity.VolumeFraction](), kindOf[quantity.WheelPower](),
}

// both prints a quantity in both systems, and tells whether v is a Q.
func both[Q quantity.Quantity](v any) (string, bool) {
	q, ok := v.(Q)
	if !ok {
		return "", false
	}
	si, us := quantity.Format(q, quantity.SI), quantity.Format(q, quantity.US)
	if si == us {
		return si, true
	}
	return si + " = " + us, true
}
