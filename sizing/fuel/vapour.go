package fuel

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// Constants of the three-suffix Margules equation between the liquids that hold
// oxygen and those that do not. They were fitted here so that 10 % of ethanol
// raises the vapour pressure of gasoline by 1 psi at 100 °F (NREL memo of
// McCormick and Yanowitz, 26 March 2012) and 81.5 % brings it to 43.3 kPa (the
// middles of what 40 CFR 1065.725 allows, 80 to 83 % and 41.5 to 45.1 kPa).
const (
	margulesPolar = 2.52 // ln of the activity coefficient of a trace of alcohol in hydrocarbon
	margulesOther = 1.80 // and of a trace of hydrocarbon in alcohol
)

// VapourPressure returns the vapour pressure at t, with the fuel as delivered by
// a pump: gasoline of 9 psi Reid vapour pressure. Winter gasoline has up to 15
// psi, so a fuel system for it needs more room than this shows.
//
// Constituents that hold oxygen and those that do not are ideal among themselves
// and meet by the three-suffix Margules equation, with constants for ethanol in
// gasoline that do not change with temperature. The pressure of such blends is
// not an average: a little ethanol raises it. The check values are met within
// 5 %; methanol and water are outside what the constants were fitted to.
func (b Blend) VapourPressure(t quantity.Temperature) quantity.Pressure {
	if b.table == nil {
		return 0
	}
	// Mole fractions and ideal partial pressures of the two groups.
	var polar, other, pPolar, pOther float64
	x := 1 / float64(t)
	for i, s := range b.table.species {
		if b.mass[i] == 0 {
			continue
		}
		n := b.mass[i] / s.molar / b.moles
		p := n * math.Exp(s.lnVapour.at(x))
		if s.atoms.O > 0 {
			polar += n
			pPolar += p
		} else {
			other += n
			pOther += p
		}
	}
	const rise = margulesOther - margulesPolar
	gammaPolar := math.Exp(other * other * (margulesPolar + 2*rise*polar))
	gammaOther := math.Exp(polar * polar * (margulesOther - 2*rise*other))
	return quantity.Pressure(gammaPolar*pPolar + gammaOther*pOther)
}
