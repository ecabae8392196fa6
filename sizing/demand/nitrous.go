package demand

import (
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// Standard atomic weights in g/mol: IUPAC, abridged (from memory; N2O makes 44.013,
// NIST has 44.0128).
const (
	weightC = 12.011
	weightH = 1.008
	weightN = 14.007
	weightO = 15.999

	nitrousOxygen = weightO / (2*weightN + weightO) // mass fraction of oxygen in N2O, 0.3635
)

// nitrousHeat is the heat that nitrous oxide sets free when it falls apart into
// nitrogen and oxygen at 25 °C, in J/kg: its enthalpy of formation of 82.574
// kJ/mol (Active Thermochemical Tables 1.112) over its molar mass.
const nitrousHeat = 82.574e3 / (2*weightN + weightO) * 1e3

// NitrousRatio returns the mass of nitrous oxide whose oxygen burns a unit mass of
// the fuel completely: the oxygen that carbon and hydrogen need, less that of the
// fuel, over the 36.35 % of oxygen in N2O. It is the counterpart of
// [fuel.Blend.StoichiometricAFR]: 9.3 for gasoline, 5.7 for ethanol, and 0 for no
// fuel.
func NitrousRatio(b fuel.Blend) quantity.Ratio {
	c, h, o := b.Elements()
	oxygen := float64(c)*2*weightO/weightC + float64(h)*weightO/(2*weightH) - float64(o)
	return quantity.Ratio(oxygen / nitrousOxygen)
}

// FuelForNitrous returns the fuel that makes the mixture lambda with a flow of
// nitrous oxide taken by itself: flow over lambda times [NitrousRatio]. It comes
// on top of the fuel for the engine's air, whose mixture is then unchanged.
//
// The air that the gas displaces in the manifold is not taken off, so that the
// error is on the side of too much fuel. The result is 0 where lambda is not positive or there is no fuel.
func FuelForNitrous(b fuel.Blend, nitrous quantity.MassFlow, lambda quantity.Ratio) quantity.MassFlow {
	need := float64(lambda) * float64(NitrousRatio(b))
	if !(need > 0) {
		return 0
	}
	return quantity.MassFlow(float64(nitrous) / need)
}

// NitrousForPower returns the flow of nitrous oxide that adds the power p at the
// crank, its fuel burning at lambda, for an engine that turns the share efficiency
// of the released heat into work:
//
//	P = η · (ṁ_fuel · C(λ) · LHV + ṁ_N2O · 1.876 MJ/kg),  ṁ_N2O = λ · r · ṁ_fuel
//
// with the completeness C of [fuel.Blend.Completeness], r of [NitrousRatio] and
// the heat of decomposition of the oxide, which makes up three tenths of the
// whole. The heat that evaporates the liquid oxide is left out. The
// efficiency is that of [EnergyBSFC]; that it holds for the added charge too is
// an assumption, for which no source was found. Where the flow of the jet is
// known, use that: it is the measured quantity. The result is 0 where efficiency
// or lambda is not positive or there is no fuel.
func NitrousForPower(b fuel.Blend, p quantity.CrankPower, efficiency, lambda quantity.Ratio) quantity.MassFlow {
	work := nitrousWork(b, efficiency, lambda)
	if !(work > 0) {
		return 0
	}
	return quantity.MassFlow(float64(p) / work)
}

// PowerFromNitrous returns the power at the crank that a flow of nitrous oxide and
// its fuel add: the inverse of [NitrousForPower].
func PowerFromNitrous(b fuel.Blend, nitrous quantity.MassFlow, efficiency, lambda quantity.Ratio) quantity.CrankPower {
	return quantity.CrankPower(float64(nitrous) * nitrousWork(b, efficiency, lambda))
}

// nitrousWork is the work at the crank for a unit mass of nitrous oxide and its
// fuel, in J/kg.
func nitrousWork(b fuel.Blend, efficiency, lambda quantity.Ratio) float64 {
	need := float64(lambda) * float64(NitrousRatio(b))
	if !(need > 0 && efficiency > 0) {
		return 0
	}
	return float64(efficiency) * (float64(b.Completeness(lambda))*float64(b.LHV())/need + nitrousHeat)
}

// FuelCircuit says where the added fuel of a nitrous system comes from. The zero
// value is the injectors, which loads the most parts.
type FuelCircuit uint8

const (
	ThroughInjectors FuelCircuit = iota // the engine's own injectors open longer
	FromRail                            // a nozzle fed from the rail: pumps and feed line carry it, the injectors do not
	Separate                            // a tank, pump and line of its own
)

var fuelCircuits = choice.New("a source of the added fuel", "injectors", "rail", "separate")

// CircuitDemand is an added fuel flow, by the parts that carry it.
type CircuitDemand struct {
	Injectors quantity.MassFlow // through the engine's injectors
	Pumps     quantity.MassFlow // through its pumps and feed line
	Separate  quantity.MassFlow // through a system of its own
}

// Split returns which parts carry an added fuel flow.
func (c FuelCircuit) Split(added quantity.MassFlow) CircuitDemand {
	switch c {
	case FromRail:
		return CircuitDemand{Pumps: added}
	case Separate:
		return CircuitDemand{Separate: added}
	}
	return CircuitDemand{Injectors: added, Pumps: added}
}

// String returns "injectors", "rail" or "separate".
func (c FuelCircuit) String() string { return fuelCircuits.Name(int(c)) }

// MarshalText returns String.
func (c FuelCircuit) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads the words of String in any case.
func (c *FuelCircuit) UnmarshalText(text []byte) error {
	i, err := fuelCircuits.Index(string(text))
	if err == nil {
		*c = FuelCircuit(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (FuelCircuit) Accepts() string { return fuelCircuits.Accepts() }
