package fuel

import (
	"math"
	"slices"

	"example.com/railbook/sizing/quantity"
)

// Blend is a mixture of constituents, or one of them alone. It is a value to be
// copied, some 200 bytes, and comparable: two blends are equal when their
// volume fractions at [Reference] are the same numbers. What does not depend on
// temperature is computed when the blend is made, and only the methods that
// return text, a slice or an error allocate memory.
//
// The zero Blend is no fuel: [Blend.IsZero] reports it, its numbers are zero, its
// text is "no fuel" and it does not marshal. Every other blend burns.
type Blend struct {
	table  *table
	volume [maxSpecies]float64 // fractions at Reference, by the index of the species

	indices [maxSpecies]uint8 // of the species there are, in order
	count   uint8             // how many they are

	rho15            float64 // density at Reference
	c, h, o, moles   float64 // mol of atoms and of molecules in 1 kg
	lhv, hhv, latent float64 // J/kg
	afr              float64 // mass of air per mass of fuel
}

// derive computes the rest from the table and the volume fractions.
func (b *Blend) derive() {
	for i, s := range b.table.species {
		if b.volume[i] > 0 {
			b.indices[b.count] = uint8(i)
			b.count++
			b.rho15 += b.volume[i] * s.rho15
		}
	}
	for _, i := range b.present() {
		s := b.table.species[i]
		w := b.mass(s)
		b.lhv += w * s.lhv
		b.hhv += w * s.hhv
		b.latent += w * s.latent
		n := w / s.molar
		b.moles += n
		b.c += n * s.atoms.C
		b.h += n * s.atoms.H
		b.o += n * s.atoms.O
	}
	b.afr = b.oxygenDemand() / airOxygen * airMolarMass
}

// present returns the indices of the species in b; there are none in the zero Blend.
func (b *Blend) present() []uint8 { return b.indices[:b.count] }

// mass returns the share of s by mass.
func (b *Blend) mass(s *species) float64 { return b.volume[s.index] * s.rho15 / b.rho15 }

// IsZero reports whether b is the zero Blend, which is no fuel.
func (b Blend) IsZero() bool { return b.table == nil }

// Density returns the density at t: 1/ρ(t) = Σ w/ρ(t) over the mass fractions w.
// Volumes are taken to add up; real blends of ethanol and gasoline differ from
// that by some tenths of a percent (from memory), and water in alcohol by more,
// which [Blend.Caveats] tells. See [Blend.TemperatureRange].
func (b Blend) Density(t quantity.Temperature) quantity.Density {
	if b.table == nil {
		return 0
	}
	var v float64 // of what fills a unit of volume at Reference
	for _, i := range b.present() {
		s := b.table.species[i]
		v += b.volume[i] * s.rho15 / s.density.at(float64(t))
	}
	return quantity.Density(b.rho15 / v)
}

// TemperatureRange returns the temperatures between which the densities of all
// constituents are tabulated. Beyond them the properties are extrapolated.
func (b Blend) TemperatureRange() (lowest, highest quantity.Temperature) {
	return b.common(func(s *species) (float64, float64) { return s.lowest, s.highest })
}

// common returns the temperatures that the ranges of all constituents share.
func (b *Blend) common(of func(*species) (lowest, highest float64)) (lowest, highest quantity.Temperature) {
	if b.table == nil {
		return 0, 0
	}
	least, most := 0.0, math.Inf(1)
	for _, i := range b.present() {
		lo, hi := of(b.table.species[i])
		least, most = max(least, lo), min(most, hi)
	}
	return quantity.Temperature(least), quantity.Temperature(most)
}

// LHV returns the lower heating value: of the liquid at 25 °C, with the water of
// combustion as vapour. It is the mass average of the constituents'.
func (b Blend) LHV() quantity.SpecificEnergy { return quantity.SpecificEnergy(b.lhv) }

// HHV returns the higher heating value: of the liquid at 25 °C, with the water of
// combustion as liquid. It is the mass average of the constituents'.
func (b Blend) HHV() quantity.SpecificEnergy { return quantity.SpecificEnergy(b.hhv) }

// LatentHeat returns the heat of vaporisation at 25 °C: the mass average of the
// constituents'. The heat of mixing is left out: measured E50 takes 650 to 700
// kJ/kg (NREL), this gives 643.
func (b Blend) LatentHeat() quantity.SpecificEnergy { return quantity.SpecificEnergy(b.latent) }

// EnergyDensity returns the lower heating value per volume of liquid at t.
func (b Blend) EnergyDensity(t quantity.Temperature) quantity.EnergyDensity {
	return quantity.EnergyDensity(b.lhv * float64(b.Density(t)))
}

// Viscosity returns the dynamic viscosity at t: ln η = Σ x ln η over the mole
// fractions x, the rule of Grunberg and Nissan with no interaction term (common
// practice). No measured blend was at hand to check it against; 20 % is a guess
// of its error, which the losses of turbulent flow hardly notice.
func (b Blend) Viscosity(t quantity.Temperature) quantity.Viscosity {
	if b.table == nil {
		return 0
	}
	var ln float64
	x := 1 / float64(t)
	for _, i := range b.present() {
		s := b.table.species[i]
		ln += b.volume[i] * s.rho15 / s.molar * s.lnVisc.at(x)
	}
	return quantity.Viscosity(math.Exp(ln / (b.rho15 * b.moles)))
}

// OxygenContent returns the mass of oxygen in a mass of fuel.
func (b Blend) OxygenContent() quantity.MassFraction { return quantity.MassFraction(b.o * weightO) }

// Elements returns the masses of the elements in a mass of fuel; they add up to
// one.
func (b Blend) Elements() (carbon, hydrogen, oxygen quantity.MassFraction) {
	return quantity.MassFraction(b.c * weightC), quantity.MassFraction(b.h * weightH), b.OxygenContent()
}

// EthanolContent returns the ethanol content by volume at [Reference]: what a
// content sensor is meant to read.
func (b Blend) EthanolContent() quantity.VolumeFraction {
	if b.table == nil || b.table.ethanol == nil {
		return 0
	}
	return quantity.VolumeFraction(b.volume[b.table.ethanol.index])
}

// GasolineContent returns the share of gasoline of any grade by volume at
// [Reference].
func (b Blend) GasolineContent() quantity.VolumeFraction {
	return quantity.VolumeFraction(b.share(func(f Family) bool { return f == Gasoline }))
}

// VolumeFraction returns the share of the named constituent by volume at
// [Reference]. It is 0 for one that is not in the blend, known or not.
func (b Blend) VolumeFraction(name string) quantity.VolumeFraction {
	if i, ok := b.index(name); ok {
		return quantity.VolumeFraction(b.volume[i])
	}
	return 0
}

// MassFraction returns the share of the named constituent by mass. It is 0 for
// one that is not in the blend, known or not.
func (b Blend) MassFraction(name string) quantity.MassFraction {
	if i, ok := b.index(name); ok {
		return quantity.MassFraction(b.mass(b.table.species[i]))
	}
	return 0
}

// Has reports whether the named constituent is in the blend.
func (b Blend) Has(name string) bool { return b.VolumeFraction(name) > 0 }

// index returns the place of a constituent, given by name or alias.
func (b Blend) index(name string) (int, bool) {
	if b.table == nil {
		return 0, false
	}
	s := b.table.names[fold(name)]
	if s == nil {
		return 0, false
	}
	return s.index, true
}

// Constituents returns the constituents, sorted by name.
func (b Blend) Constituents() []Constituent {
	var list []Constituent
	for _, i := range b.present() {
		list = append(list, Constituent{b.table.species[i]})
	}
	slices.SortFunc(list, func(p, q Constituent) int { return compareNames(p.Name(), q.Name()) })
	return list
}

// Parts returns the composition by mass, sorted by name.
func (b Blend) Parts() []MassPart {
	var parts []MassPart
	for _, c := range b.Constituents() {
		parts = append(parts, MassPart{c.Name(), quantity.MassFraction(b.mass(c.s))})
	}
	return parts
}
