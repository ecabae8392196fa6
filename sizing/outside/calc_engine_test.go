package outside

import (
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// engineCalcs are power, consumption, air and what injectors deliver.
var engineCalcs = map[string]calc{
	"power of a torque": func(in *inputs) float64 {
		return show(in, take[quantity.Torque](in, "torque").Power(take[quantity.AngularSpeed](in, "speed")))
	},
	"torque of a power": func(in *inputs) float64 {
		return show(in, take[quantity.CrankPower](in, "power").At(take[quantity.AngularSpeed](in, "speed")))
	},
	"crank power": func(in *inputs) float64 {
		return show(in, take[quantity.WheelPower](in, "wheel").Crank(take[quantity.Ratio](in, "loss")))
	},
	"fuel flow at a consumption": func(in *inputs) float64 {
		return show(in, take[quantity.SpecificConsumption](in, "consumption").Flow(take[quantity.CrankPower](in, "power")))
	},
	"consumption at an efficiency": func(in *inputs) float64 {
		return show(in, demand.EnergyBSFC(in.blend("liquid"), take[quantity.Ratio](in, "efficiency"), 1))
	},
	"density of dry air": func(in *inputs) float64 {
		// One cubic metre, filled once a second, takes in the density as a mass flow.
		chamber := demand.Breathing{Displacement: quantity.CubicMetre, Strokes: 2, VolumetricEfficiency: 1}
		m := chamber.AirFlow(60*quantity.RPM, take[quantity.Pressure](in, "pressure"), take[quantity.Temperature](in, "at"))
		return show(in, quantity.Density(m))
	},
	"volume of air drawn": func(in *inputs) float64 {
		engine := demand.Breathing{Displacement: take[quantity.Volume](in, "displacement"), Strokes: 4,
			VolumetricEfficiency: take[quantity.Ratio](in, "efficiency")}
		chamber := demand.Breathing{Displacement: quantity.CubicMetre, Strokes: 2, VolumetricEfficiency: 1}
		p, t := 1*quantity.Atmosphere, quantity.Celsius(15)
		density := quantity.Density(chamber.AirFlow(60*quantity.RPM, p, t))
		return show(in, engine.AirFlow(take[quantity.AngularSpeed](in, "speed"), p, t).Volume(density))
	},
	"static flow needed per injector": func(in *inputs) float64 {
		total := take[quantity.SpecificConsumption](in, "consumption").Flow(take[quantity.CrankPower](in, "power"))
		return show(in, injector.StaticFlowNeeded(total, int(in.number("count")), take[quantity.Ratio](in, "duty")))
	},
	"mass flow of an orifice": func(in *inputs) float64 {
		r := in.rating()
		return show(in, r.Flow(r.Density(), take[quantity.PressureDiff](in, "pressure")))
	},
	"volume flow of an orifice": func(in *inputs) float64 {
		r := in.rating()
		return show(in, r.Flow(r.Density(), take[quantity.PressureDiff](in, "pressure")).Volume(r.Density()))
	},
	"pressure across an orifice": func(in *inputs) float64 {
		r := in.rating()
		flow := take[quantity.VolumeFlow](in, "flow")
		return show(in, r.DifferentialFor(flow.Mass(r.Density()), r.Density()))
	},
	"volume of a mass flow": func(in *inputs) float64 {
		return show(in, take[quantity.MassFlow](in, "flow").Volume(take[quantity.Density](in, "density")))
	},
	// How many times the volume flow of the liquid the same orifice passes of water.
	"orifice factor of a liquid": func(in *inputs) float64 {
		r, err := injector.ParseRating("1 L/min at 1 bar")
		if err != nil {
			in.fail(err)
		}
		volume := func(rho quantity.Density) float64 { return float64(r.Flow(rho, r.Pressure()).Volume(rho)) }
		return plain(in, volume(take[quantity.Density](in, "water"))/volume(take[quantity.Density](in, "liquid")), "")
	},
}

func (in *inputs) rating() injector.Rating {
	r, err := injector.ParseRating(in.text("rated"))
	if err != nil {
		in.fail(err)
	}
	return r
}
