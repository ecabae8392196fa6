package fuel

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// Dry air (from memory; the oxygen content of ISO 2533 rounds to the same).
const (
	airOxygen    = 0.20946    // mole fraction of O2
	airMolarMass = 28.9647e-3 // kg/mol
	airHeat      = 1005.0     // J/(kg K), at constant pressure near 300 K
)

// Heats of combustion at 25 °C to carbon dioxide and water vapour, in J/mol, from
// the enthalpies of formation of Active Thermochemical Tables 1.112: CO2 -393.474,
// CO -110.525, H2O(g) -241.822 kJ/mol.
const (
	heatCO = (393.474 - 110.525) * 1e3
	heatH2 = 241.822e3
	heatC  = 393.474e3
)

// waterGas is [H2O][CO]/([CO2][H2]) in the exhaust of a rich engine, where the
// water-gas reaction has frozen: 3.5 (J. B. Heywood, Internal Combustion Engine
// Fundamentals, 1988, chapter 4.9; from memory).
const waterGas = 3.5

// oxygenDemand returns the O2 that burns 1 kg of b completely, in moles:
// C + H/4 - O/2.
func (b *Blend) oxygenDemand() float64 { return b.c + b.h/4 - b.o/2 }

// StoichiometricAFR returns the mass of dry air that burns a unit mass of fuel
// completely: (C + H/4 - O/2) / 0.20946 × 28.9647 g/mol, with the atoms C, H, O
// in moles per mass of fuel. The ratio of a blend is the mass average of its
// constituents', not the volume average.
//
// The composition of the air matters in the third figure: textbooks that give it
// 3.76 moles of nitrogen to one of oxygen get 0.28 % less. The 14.7 often quoted
// for gasoline needs a hydrogen to carbon ratio near 1.95; at 1.87 it is 14.6.
func (b Blend) StoichiometricAFR() quantity.Ratio { return quantity.Ratio(b.afr) }

// CO2PerEnergy returns the carbon dioxide of complete combustion per lower
// heating value, in grams per megajoule.
func (b Blend) CO2PerEnergy() float64 {
	if b.table == nil {
		return 0
	}
	return (b.c * (weightC + 2*weightO) * 1e3) / (b.lhv * 1e-6)
}

// ChargeCooling returns by how much the air of a mixture at lambda cools when all
// the fuel evaporates into it: the latent heat over λ × stoichiometric ratio ×
// 1005 J/(kg K). All the heat is taken to come from the air, so that it is an
// upper bound; with port injection much of it comes from hot walls. It is 0 where
// lambda is not positive.
func (b Blend) ChargeCooling(lambda quantity.Ratio) quantity.TemperatureDiff {
	air := float64(lambda) * b.afr
	if !(air > 0) {
		return 0
	}
	return quantity.TemperatureDiff(b.latent / (air * airHeat))
}

// Completeness returns the share of the lower heating value that is released at
// lambda: 1 from stoichiometric upwards, less where there is too little oxygen to
// burn all carbon and hydrogen. The products are CO2, CO, H2O and H2 by the atom
// balance and the water-gas ratio 3.5; what CO and H2 would still give is lost.
//
// It is meant for lambda from 0.6 to 1, where engines run. Below
// [Blend.SootLimit] carbon is left over; it is then counted as soot. The result
// rises with lambda, is continuous, and is 0 where lambda is not positive.
func (b Blend) Completeness(lambda quantity.Ratio) quantity.Ratio {
	switch {
	case b.table == nil || !(lambda > 0):
		return 0
	case lambda >= 1:
		return 1
	}
	co, h2, soot := b.unburnt(float64(lambda))
	return quantity.Ratio(max(0, 1-(co*heatCO+h2*heatH2+soot*heatC)/b.lhv))
}

// unburnt returns the CO, H2 and carbon that 1 kg of fuel leaves at lambda below
// one, in moles.
func (b *Blend) unburnt(lambda float64) (co, h2, soot float64) {
	// Oxygen atoms left once all carbon is CO: they make CO2 and H2O.
	o := b.o + 2*lambda*b.oxygenDemand() - b.c
	if o < 0 {
		return b.c + o, b.h / 2, -o
	}
	// With n of CO2, the H2O is o-n, the CO c-n and the H2 h/2-o+n, and the
	// water-gas ratio k makes (k-1) n² + p n - o c = 0. The root is written so
	// that it does not cancel.
	const k = waterGas
	p := k*(b.h/2-o) + o + b.c
	n := 2 * o * b.c / (p + math.Sqrt(p*p+4*(k-1)*o*b.c))
	return b.c - n, b.h/2 - o + n, 0
}

// SootLimit returns the lambda below which there is too little oxygen to make
// carbon monoxide of all carbon, fuel oxygen counted. It is 0 for methanol, which
// brings enough of its own.
func (b Blend) SootLimit() quantity.Ratio {
	if b.table == nil {
		return 0
	}
	return quantity.Ratio(max(0, (b.c-b.o)/(2*b.oxygenDemand())))
}
