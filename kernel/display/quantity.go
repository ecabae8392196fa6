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
	for _, try := range printers {
		if text, ok := try(v); ok {
			return text, true
		}
	}
	return "", false
}

var printers = []func(any) (string, bool){
	printer[quantity.Acceleration], printer[quantity.AngularSpeed], printer[quantity.Area], printer[quantity.CrankPower],
	printer[quantity.Current], printer[quantity.Density], printer[quantity.EnergyDensity], printer[quantity.Length],
	printer[quantity.Mass], printer[quantity.MassFlow], printer[quantity.MassFraction], printer[quantity.MolarMass],
	printer[quantity.Power], printer[quantity.Pressure], printer[quantity.PressureDiff], printer[quantity.Ratio], printer[quantity.Resistance],
	printer[quantity.SpecificConsumption], printer[quantity.SpecificEnergy], printer[quantity.SpecificHeat], printer[quantity.Temperature],
	printer[quantity.TemperatureDiff], printer[quantity.Time], printer[quantity.Torque], printer[quantity.Velocity],
	printer[quantity.Viscosity], printer[quantity.Voltage], printer[quantity.Volume], printer[quantity.VolumeFlow],
	printer[quantity.VolumeFraction], printer[quantity.WheelPower],
}

func printer[Q quantity.Quantity](v any) (string, bool) {
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
