package main

import "example.com/railbook/sizing/quantity"

// Every quantity and its units; a test holds the list against the package.
var _ = []bool{
	register(map[string]quantity.Length{
		"Metre": quantity.Metre, "Kilometre": quantity.Kilometre, "Centimetre": quantity.Centimetre,
		"Millimetre": quantity.Millimetre, "Micrometre": quantity.Micrometre, "Inch": quantity.Inch,
		"Foot": quantity.Foot,
	}),
	register(map[string]quantity.Area{
		"SquareMetre": quantity.SquareMetre, "SquareCentimetre": quantity.SquareCentimetre,
		"SquareMillimetre": quantity.SquareMillimetre, "SquareInch": quantity.SquareInch,
	}),
	register(map[string]quantity.Volume{
		"CubicMetre": quantity.CubicMetre, "Litre": quantity.Litre, "CubicCentimetre": quantity.CubicCentimetre,
		"CubicInch": quantity.CubicInch, "CubicFoot": quantity.CubicFoot, "Gallon": quantity.Gallon,
		"GallonUK": quantity.GallonUK,
	}),
	register(map[string]quantity.Mass{
		"Kilogram": quantity.Kilogram, "Gram": quantity.Gram, "Tonne": quantity.Tonne, "Pound": quantity.Pound,
		"Ounce": quantity.Ounce,
	}),
	register(map[string]quantity.MolarMass{
		"KilogramPerMole": quantity.KilogramPerMole, "GramPerMole": quantity.GramPerMole,
	}),
	register(map[string]quantity.Time{
		"Second": quantity.Second, "Millisecond": quantity.Millisecond, "Microsecond": quantity.Microsecond,
		"Minute": quantity.Minute, "Hour": quantity.Hour,
	}),
	register(map[string]quantity.Voltage{
		"Volt": quantity.Volt, "Millivolt": quantity.Millivolt,
	}),
	register(map[string]quantity.Current{
		"Ampere": quantity.Ampere, "Milliampere": quantity.Milliampere,
	}),
	register(map[string]quantity.Resistance{
		"Ohm": quantity.Ohm, "Milliohm": quantity.Milliohm,
	}),
	register(map[string]quantity.MassFlow{
		"KilogramPerSecond": quantity.KilogramPerSecond, "GramPerSecond": quantity.GramPerSecond,
		"GramPerMinute": quantity.GramPerMinute, "KilogramPerHour": quantity.KilogramPerHour,
		"PoundPerHour": quantity.PoundPerHour, "PoundPerMinute": quantity.PoundPerMinute,
	}),
	register(map[string]quantity.VolumeFlow{
		"CubicMetrePerSecond": quantity.CubicMetrePerSecond, "LitrePerHour": quantity.LitrePerHour,
		"LitrePerMinute": quantity.LitrePerMinute, "CCPerMinute": quantity.CCPerMinute,
		"CCPerSecond": quantity.CCPerSecond, "GallonPerHour": quantity.GallonPerHour,
		"GallonPerMinute": quantity.GallonPerMinute, "GallonUKPerHour": quantity.GallonUKPerHour,
		"CubicMetrePerHour": quantity.CubicMetrePerHour,
	}),
	register(map[string]quantity.Density{
		"KilogramPerCubicMetre": quantity.KilogramPerCubicMetre, "KilogramPerLitre": quantity.KilogramPerLitre,
		"PoundPerGallon": quantity.PoundPerGallon, "PoundPerCubicFoot": quantity.PoundPerCubicFoot,
	}),
	register(map[string]quantity.Viscosity{
		"PascalSecond": quantity.PascalSecond, "MillipascalSecond": quantity.MillipascalSecond,
		"Centipoise": quantity.Centipoise,
	}),
	register(map[string]quantity.Power{
		"WattPower": quantity.WattPower, "KilowattPower": quantity.KilowattPower,
		"BtuPerHour": quantity.BtuPerHour,
	}),
	register(map[string]quantity.SpecificHeat{
		"JoulePerKilogramKelvin":     quantity.JoulePerKilogramKelvin,
		"KilojoulePerKilogramKelvin": quantity.KilojoulePerKilogramKelvin,
		"BtuPerPoundFahrenheit":      quantity.BtuPerPoundFahrenheit,
	}),
	register(map[string]quantity.AngularSpeed{
		"RadianPerSecond": quantity.RadianPerSecond, "RPM": quantity.RPM,
	}),
	register(map[string]quantity.Velocity{
		"MetrePerSecond": quantity.MetrePerSecond, "KilometrePerHour": quantity.KilometrePerHour,
		"FootPerSecond": quantity.FootPerSecond, "MilePerHour": quantity.MilePerHour,
	}),
	register(map[string]quantity.Acceleration{
		"MetrePerSecondSquared": quantity.MetrePerSecondSquared, "StandardGravity": quantity.StandardGravity,
	}),
	register(map[string]quantity.CrankPower{
		"Watt": quantity.Watt, "Kilowatt": quantity.Kilowatt, "Horsepower": quantity.Horsepower,
		"MetricHorsepower": quantity.MetricHorsepower,
	}),
	register(map[string]quantity.WheelPower{
		"WattAtWheel": quantity.WattAtWheel, "KilowattAtWheel": quantity.KilowattAtWheel,
		"HorsepowerAtWheel":       quantity.HorsepowerAtWheel,
		"MetricHorsepowerAtWheel": quantity.MetricHorsepowerAtWheel,
	}),
	register(map[string]quantity.Torque{
		"NewtonMetre": quantity.NewtonMetre, "PoundFoot": quantity.PoundFoot,
	}),
	register(map[string]quantity.SpecificConsumption{
		"KilogramPerJoule": quantity.KilogramPerJoule, "GramPerKilowattHour": quantity.GramPerKilowattHour,
		"KilogramPerKilowattHour": quantity.KilogramPerKilowattHour,
		"PoundPerHorsepowerHour":  quantity.PoundPerHorsepowerHour,
	}),
	register(map[string]quantity.SpecificEnergy{
		"JoulePerKilogram": quantity.JoulePerKilogram, "KilojoulePerKilogram": quantity.KilojoulePerKilogram,
		"MegajoulePerKilogram": quantity.MegajoulePerKilogram, "BtuPerPound": quantity.BtuPerPound,
	}),
	register(map[string]quantity.EnergyDensity{
		"JoulePerCubicMetre": quantity.JoulePerCubicMetre, "MegajoulePerLitre": quantity.MegajoulePerLitre,
		"BtuPerGallon": quantity.BtuPerGallon,
	}),
	register(map[string]quantity.Pressure{
		"Pascal": quantity.Pascal, "Kilopascal": quantity.Kilopascal, "Megapascal": quantity.Megapascal,
		"Millibar": quantity.Millibar, "Bar": quantity.Bar, "PSIA": quantity.PSIA,
		"InchMercury": quantity.InchMercury, "Torr": quantity.Torr, "Atmosphere": quantity.Atmosphere,
	}),
	register(map[string]quantity.PressureDiff{
		"PascalDiff": quantity.PascalDiff, "KilopascalDiff": quantity.KilopascalDiff,
		"MegapascalDiff": quantity.MegapascalDiff, "MillibarDiff": quantity.MillibarDiff,
		"BarDiff": quantity.BarDiff, "PSI": quantity.PSI, "InchMercuryDiff": quantity.InchMercuryDiff,
		"TorrDiff": quantity.TorrDiff, "InchWaterDiff": quantity.InchWaterDiff,
		"AtmosphereDiff": quantity.AtmosphereDiff,
	}),
	register(map[string]quantity.Temperature{
		"Kelvin": quantity.Kelvin,
	}),
	register(map[string]quantity.TemperatureDiff{
		"KelvinDiff": quantity.KelvinDiff, "FahrenheitDiff": quantity.FahrenheitDiff,
	}),
	register(map[string]quantity.Ratio{}),
	register(map[string]quantity.VolumeFraction{}),
	register(map[string]quantity.MassFraction{}),
}
