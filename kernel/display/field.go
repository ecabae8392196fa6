package display

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// field is something of a build that [With] changes. Fields that package sweep
// sweeps have the same name there and mean the same.
type field struct {
	name string
	set  func(b sizing.Build, text string) (sizing.Build, error)
	// number tells where an assessed build stands on an axis counted in the
	// unit. It is nil for fields that cannot be swept, and not ok where no value
	// of the axis stands for the build as it is.
	number func(b sizing.Build, unit string) (v float64, ok bool)
}

// of makes a field of a quantity. Where get gives no quantity, no value of the
// field stands for the build.
func of[Q quantity.Quantity](name string, set func(sizing.Build, Q) (sizing.Build, error), get func(sizing.Build) (Q, bool)) field {
	return field{
		name: name,
		set: func(b sizing.Build, text string) (sizing.Build, error) {
			q, err := quantity.Parse[Q](text)
			if err != nil {
				return b, err
			}
			return set(b, q)
		},
		number: func(b sizing.Build, unit string) (float64, bool) {
			_, number, _, err := quantity.Scale[Q](unit)
			q, ok := get(b)
			if err != nil || !ok {
				return 0, false
			}
			return number(q), true
		},
	}
}

// fromText makes a field of something that reads itself from text.
func fromText[T any](name string, parse func(text string) (T, error), set func(*sizing.Build, T)) field {
	return field{name: name, set: func(b sizing.Build, text string) (sizing.Build, error) {
		v, err := parse(text)
		if err == nil {
			set(&b, v)
		}
		return b, err
	}}
}

// plain wraps a change that cannot fail, always that of a value.
func plain[Q quantity.Quantity](change func(sizing.Build, Q) sizing.Build) func(sizing.Build, Q) (sizing.Build, error) {
	return func(b sizing.Build, q Q) (sizing.Build, error) { return change(b, q), nil }
}

var fields = []field{
	of("boost", plain(sizing.Build.AtBoost),
		func(b sizing.Build) (quantity.PressureDiff, bool) { return b.Induction.Boost, true }),
	of("power", plain(sizing.Build.AtPower),
		func(b sizing.Build) (quantity.CrankPower, bool) { return b.CrankPower(), true }),
	of("ethanol", sizing.Build.WithEthanol,
		func(b sizing.Build) (quantity.VolumeFraction, bool) {
			other := func(c fuel.Constituent) bool { return c.Name() != "gasoline" && c.Name() != "ethanol" }
			return b.Fuel.Blend.EthanolContent(), !slices.ContainsFunc(b.Fuel.Blend.Constituents(), other)
		}),
	of("base pressure", plain(sizing.Build.WithBasePressure),
		func(b sizing.Build) (quantity.PressureDiff, bool) { return b.Regulator.BasePressure, true }),
	of("lambda", plain(func(b sizing.Build, v quantity.Ratio) sizing.Build { b.Target.Lambda = v; return b }),
		func(b sizing.Build) (quantity.Ratio, bool) { return b.Target.Lambda, true }),
	of("charge temperature", plain(func(b sizing.Build, v quantity.Temperature) sizing.Build { b.Induction.ChargeTemperature = v; return b }),
		func(b sizing.Build) (quantity.Temperature, bool) { return b.Induction.ChargeTemperature, true }),
	of("fuel temperature", plain(func(b sizing.Build, v quantity.Temperature) sizing.Build { b.Fuel.Temperature = v; return b }),
		func(b sizing.Build) (quantity.Temperature, bool) { return b.Fuel.Temperature, true }),
	of("voltage", plain(func(b sizing.Build, v quantity.Voltage) sizing.Build {
		b.Electrical.Voltage, b.Electrical.PumpVoltage = v, v
		return b
	}),
		func(b sizing.Build) (quantity.Voltage, bool) {
			return b.Electrical.Voltage, b.Electrical.Voltage == b.Electrical.PumpVoltage
		}),
	of("barometer", plain(func(b sizing.Build, v quantity.Pressure) sizing.Build { b.Induction.Barometer = v; return b }),
		func(b sizing.Build) (quantity.Pressure, bool) { return b.Induction.Barometer, true }),
	of("line bore", plain(func(b sizing.Build, v quantity.Length) sizing.Build { b.FeedLine.Bore = v; return b }),
		func(b sizing.Build) (quantity.Length, bool) { return b.FeedLine.Bore, b.FeedLine.Bore != 0 }),
	fromText("blend", fuel.Parse, func(b *sizing.Build, f fuel.Blend) { *b = b.WithBlend(f) }),
	fromText("injector flow", func(text string) (r injector.Rating, err error) {
		err = r.UnmarshalText([]byte(text))
		return r, err
	}, func(b *sizing.Build, r injector.Rating) { b.Injectors.Flow = r }),
}

// findField returns the field of a name, spelled with spaces or underscores.
func findField(name string) (field, error) {
	name = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(name, "_", " ")), " "))
	var known []string
	for _, f := range fields {
		if f.name == name {
			return f, nil
		}
		known = append(known, f.name)
	}
	return field{}, fmt.Errorf("unknown field %q; want one of %s", name, strings.Join(known, ", "))
}
