package demand

import (
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// FuelEfficiency returns work at the crank over the heating value of the fuel that
// went in, for an engine that turns the share efficiency of the released heat into
// work:
//
//	η_fuel = η · C(λ)
//
// with the completeness of [fuel.Blend.Completeness]. It is the efficiency that
// BSFC shows: [EnergyBSFC] is 1/(η_fuel LHV).
//
// The whole dependence on lambda lies in the completeness: chemical equilibrium of
// the exhaust, for lambda from 0.6 to 1. Two effects are left out because no
// relation for them could be read. Lean of stoichiometric, efficiency rises a few
// percent by the better ratio of heats and then falls as combustion slows: here it
// is constant above 1. And rich engines lose less than equilibrium says: against
// its best, at lambda 1.12, one published fit has 0.87 at 0.875, where this has
// 0.83 (Blair, Design and Simulation of Two-Stroke Engines, 1996, pages 303 to
// 305, as quoted in a secondary account). The energy route thus asks for more
// fuel in rich mixtures, not less. It does not show the peak of power near lambda
// 0.88.
func FuelEfficiency(b fuel.Blend, efficiency, lambda quantity.Ratio) quantity.Ratio {
	return quantity.Ratio(float64(efficiency) * float64(b.Completeness(lambda)))
}
