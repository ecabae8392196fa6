package outside

import (
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// airMolarMass is that of dry air in g/mol, ISO 2533.
const airMolarMass = 28.9644

// heatCalcs are what the fuel needs and gives in burning and boiling.
var heatCalcs = map[string]calc{
	"air-fuel ratio": func(in *inputs) float64 { return show(in, in.blend("liquid").StoichiometricAFR()) },
	"fuel vapour in the stoichiometric mixture": func(in *inputs) float64 {
		c := in.text("liquid")
		moles := float64(in.parseBlend(c).StoichiometricAFR()) * molarMass(in, c) / airMolarMass // of air
		return show(in, quantity.VolumeFraction(1/(1+moles)))
	},
	"lower heating value":  func(in *inputs) float64 { return show(in, in.liquid().LHV()) },
	"higher heating value": func(in *inputs) float64 { return show(in, in.liquid().HHV()) },
	"lower heating value per volume": func(in *inputs) float64 {
		return show(in, in.blend("liquid").EnergyDensity(take[quantity.Temperature](in, "at")))
	},
	"higher heating value per volume": func(in *inputs) float64 {
		l, at := in.liquid(), take[quantity.Temperature](in, "at")
		return show(in, quantity.EnergyDensity(float64(l.HHV())*float64(l.Density(at))))
	},
	"heat of combustion per mole": func(in *inputs) float64 {
		name := in.text("liquid")
		return plain(in, float64(in.parseBlend(name).HHV())*molarMass(in, name)*1e-6, "kJ/mol")
	},
	"heat of combustion of the vapour per mole": func(in *inputs) float64 {
		name := in.text("liquid")
		b := in.parseBlend(name)
		return plain(in, float64(b.HHV()+b.LatentHeat())*molarMass(in, name)*1e-6, "kJ/mol")
	},
	"energy per volume over that of gasoline": func(in *inputs) float64 {
		b, at := in.blend("liquid"), take[quantity.Temperature](in, "at")
		return show(in, quantity.Ratio(b.EnergyDensity(at)/in.parseBlend("gasoline").EnergyDensity(at)))
	},
	"carbon dioxide per lower heating value": func(in *inputs) float64 {
		return plain(in, in.blend("liquid").CO2PerEnergy(), "g/MJ")
	},
	"carbon dioxide per higher heating value": func(in *inputs) float64 {
		b := in.blend("liquid")
		return plain(in, b.CO2PerEnergy()*float64(b.LHV()/b.HHV()), "g/MJ")
	},
	"carbon dioxide per volume": func(in *inputs) float64 {
		b := in.blend("liquid")
		e := b.EnergyDensity(take[quantity.Temperature](in, "at"))
		const kilogramPerJoule = 1e-9 // in a g/MJ
		return plain(in, b.CO2PerEnergy()*kilogramPerJoule*float64(e)*float64(quantity.Gallon), "kg/gal")
	},
	"latent heat": func(in *inputs) float64 { return show(in, in.liquid().LatentHeat()) },
	"latent heat per volume": func(in *inputs) float64 {
		l, at := in.liquid(), take[quantity.Temperature](in, "at")
		return show(in, quantity.EnergyDensity(float64(l.LatentHeat())*float64(l.Density(at))))
	},
	"latent heat per mole": func(in *inputs) float64 {
		c := in.constituent()
		return plain(in, float64(c.LatentHeat())*float64(c.MolarMass())*1e-3, "kJ/mol")
	},
	"latent heat per mass of stoichiometric air": func(in *inputs) float64 {
		b := in.blend("liquid")
		const cp = 1005.0 // J/(kg K) of air, which the cooling was divided by
		return show(in, quantity.SpecificEnergy(float64(b.ChargeCooling(1))*cp))
	},
}

// molarMass returns the molar mass of a constituent in g/mol.
func molarMass(in *inputs, name string) float64 {
	c, err := fuel.Lookup(name)
	if err != nil {
		in.fail(err)
	}
	return c.MolarMass().In(quantity.GramPerMole)
}
