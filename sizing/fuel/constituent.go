package fuel

import (
	"math"
	"slices"

	"example.com/railbook/sizing/quantity"
)

// Reference is the temperature at which volume percentages are understood:
// 15 °C, the base temperature of European fuel standards such as EN 228.
const Reference quantity.Temperature = 288.15 * quantity.Kelvin

// Constituent is one liquid of the table: a pure compound, or a grade of gasoline
// as one species of mean composition. It is comparable. The zero value is no
// liquid: its texts are empty and its numbers are zero.
type Constituent struct{ s *species }

// species is a constituent in the loaded table. Numbers are in SI units.
type species struct {
	index   int
	name    string
	aliases []string
	formula string
	family  Family
	polar   bool // of the family
	class   string
	values  []Value

	atoms    Atoms
	molar    float64    // kg/mol
	density  polynomial // kg/m³ against K
	lnVisc   polynomial // ln(Pa s) against 1/K
	lnVapour polynomial // ln Pa against 1/K
	rho15    float64    // density at Reference

	lowest, highest             float64 // K: where the density was tabulated
	lowestVapour, highestVapour float64 // K: where the vapour pressure was

	lhv, hhv, latent          float64 // J/kg
	boiling, flash            float64 // K, 0 if not stated
	lower, upper              float64 // volume fractions in air
	statedMolar               float64 // kg/mol, 0 if not stated
	statedC, statedH, statedO float64 // mass fractions, 0 if not stated
}

var nothing species

func (c Constituent) get() *species {
	if c.s == nil {
		return &nothing
	}
	return c.s
}

// Name returns the canonical name, such as "n-heptane".
func (c Constituent) Name() string { return c.get().name }

// String returns the name.
func (c Constituent) String() string { return c.Name() }

// Aliases returns other names that [Lookup] takes.
func (c Constituent) Aliases() []string { return slices.Clone(c.get().aliases) }

// Formula returns the molecular formula, such as "C2H6O".
func (c Constituent) Formula() string { return c.get().formula }

// Atoms returns the atoms of one molecule.
func (c Constituent) Atoms() Atoms { return c.get().atoms }

// MolarMass returns the molar mass, from the atoms.
func (c Constituent) MolarMass() quantity.MolarMass { return quantity.MolarMass(c.get().molar) }

// Density returns the density of the liquid at t, at the pressure of its vapour;
// a megapascal more raises it by about 0.1 % (from memory). It is a parabola in t
// fitted to the table within 0.1 % over [Constituent.TemperatureRange], and goes
// on beyond it: at 80 °C ethanol is 0.3 % above the VDI Heat Atlas.
func (c Constituent) Density(t quantity.Temperature) quantity.Density {
	return quantity.Density(c.get().density.at(float64(t)))
}

// TemperatureRange returns the temperatures between which the density is
// tabulated.
func (c Constituent) TemperatureRange() (lowest, highest quantity.Temperature) {
	return quantity.Temperature(c.get().lowest), quantity.Temperature(c.get().highest)
}

// LHV returns the lower heating value: of the liquid at 25 °C, with the water of
// combustion as vapour. That of water itself is negative.
func (c Constituent) LHV() quantity.SpecificEnergy { return quantity.SpecificEnergy(c.get().lhv) }

// HHV returns the higher heating value: of the liquid at 25 °C, with the water of
// combustion as liquid.
func (c Constituent) HHV() quantity.SpecificEnergy { return quantity.SpecificEnergy(c.get().hhv) }

// LatentHeat returns the heat of vaporisation at 25 °C.
func (c Constituent) LatentHeat() quantity.SpecificEnergy {
	return quantity.SpecificEnergy(c.get().latent)
}

// Viscosity returns the dynamic viscosity at t. Its logarithm is a cubic in 1/t
// fitted to the table within 0.2 %. That of every gasoline rests on the same two
// published ranges and is good to 10 % between -20 and 20 °C, and an Andrade line
// beyond.
func (c Constituent) Viscosity(t quantity.Temperature) quantity.Viscosity {
	if c.s == nil {
		return 0
	}
	return quantity.Viscosity(math.Exp(c.s.lnVisc.at(1 / float64(t))))
}

// VapourPressure returns the vapour pressure of the liquid alone at t. Its
// logarithm is a cubic in 1/t fitted to the table within 0.1 % over
// [Constituent.VapourPressureRange]. That of a gasoline is the true vapour pressure
// at its Reid vapour pressure; see [GasolineVapourPressure].
func (c Constituent) VapourPressure(t quantity.Temperature) quantity.Pressure {
	if c.s == nil {
		return 0
	}
	return quantity.Pressure(math.Exp(c.s.lnVapour.at(1 / float64(t))))
}

// VapourPressureRange returns the temperatures between which the vapour pressure is
// tabulated.
func (c Constituent) VapourPressureRange() (lowest, highest quantity.Temperature) {
	return quantity.Temperature(c.get().lowestVapour), quantity.Temperature(c.get().highestVapour)
}

// NormalBoilingPoint returns the boiling point at 101.325 kPa as published; ok is
// false for a gasoline, which boils over a range.
func (c Constituent) NormalBoilingPoint() (t quantity.Temperature, ok bool) {
	return quantity.Temperature(c.get().boiling), c.get().boiling > 0
}

// FlashPoint returns the closed-cup flash point; ok is false for a liquid that
// has none.
func (c Constituent) FlashPoint() (t quantity.Temperature, ok bool) {
	return quantity.Temperature(c.get().flash), c.get().flash > 0
}

// FlammableRange returns the least and the greatest share of vapour in air, by
// volume, that burns; ok is false for a liquid that does not. Where sources
// differ the wider range is kept.
func (c Constituent) FlammableRange() (lower, upper quantity.VolumeFraction, ok bool) {
	s := c.get()
	return quantity.VolumeFraction(s.lower), quantity.VolumeFraction(s.upper), s.upper > 0
}

// FireClass returns the class of NFPA 30, such as "IB", or "" for none.
func (c Constituent) FireClass() string { return c.get().class }

// Values returns every value of the constituent as published, with its source: its
// own in the order of the table, then those taken from another constituent, whose
// notes say so.
func (c Constituent) Values() []Value { return slices.Clone(c.get().values) }
