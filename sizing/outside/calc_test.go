package outside

import (
	"fmt"
	"maps"

	"example.com/railbook/sizing/quantity"
)

// calc computes the answer of a row through the public packages, in the unit that
// the row asks for.
type calc func(in *inputs) float64

// calcs holds every calc under the words that a row calls it by.
var calcs = func() map[string]calc {
	all := map[string]calc{}
	for _, group := range []map[string]calc{unitCalcs, propertyCalcs, heatCalcs, lineCalcs, engineCalcs, airCalcs, wireCalcs} {
		for name := range group {
			if all[name] != nil {
				panic("two calcs are called " + name)
			}
		}
		maps.Copy(all, group)
	}
	return all
}()

var unitCalcs = map[string]calc{
	"unit conversion": func(in *inputs) float64 {
		kind := in.text("kind")
		convert := converters[kind]
		if convert == nil {
			in.fail(fmt.Errorf("%q is no kind of quantity", kind))
			return 0
		}
		return convert(in)
	},
}

// converters reads the input "of" as each kind of quantity.
var converters = map[string]calc{
	"pressure":             convert[quantity.Pressure],
	"pressure difference":  convert[quantity.PressureDiff],
	"temperature":          convert[quantity.Temperature],
	"length":               convert[quantity.Length],
	"area":                 convert[quantity.Area],
	"volume":               convert[quantity.Volume],
	"mass":                 convert[quantity.Mass],
	"time":                 convert[quantity.Time],
	"speed of rotation":    convert[quantity.AngularSpeed],
	"velocity":             convert[quantity.Velocity],
	"acceleration":         convert[quantity.Acceleration],
	"mass flow":            convert[quantity.MassFlow],
	"volume flow":          convert[quantity.VolumeFlow],
	"density":              convert[quantity.Density],
	"viscosity":            convert[quantity.Viscosity],
	"power":                convert[quantity.CrankPower],
	"torque":               convert[quantity.Torque],
	"specific consumption": convert[quantity.SpecificConsumption],
	"energy per mass":      convert[quantity.SpecificEnergy],
	"energy per volume":    convert[quantity.EnergyDensity],
}

func convert[Q quantity.Quantity](in *inputs) float64 { return show(in, take[Q](in, "of")) }
