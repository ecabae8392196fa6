package demand

import (
	"math"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// gasConstantAir is the specific gas constant of dry air in J/(kg K): the molar
// gas constant 8.314462618 J/(mol K) (exact, CODATA 2018) over the molar mass
// of 28.9644 g/mol of ISO 2533:1975.
const gasConstantAir = 8.314462618 / 28.9644e-3

// Efficiency returns the brake efficiency that the energy route takes for an
// induction kind where the user gives none: work at the crank over the heat
// that the mixture really releases, so that richness is not counted twice.
// Common practice, no source: the values put the energy route inside the BSFC
// bands at the usual full-load mixtures.
func Efficiency(kind Induction) quantity.Ratio {
	switch kind {
	case Supercharged:
		return 0.30
	case Turbocharged:
		return 0.29
	}
	return 0.33
}

// EnergyBSFC returns the consumption of an engine that turns the share
// efficiency of the released heat into work at the crank:
//
//	BSFC = 1 / (efficiency * completeness(lambda) * LHV)
//
// with the completeness of [fuel.Blend.Completeness] for rich mixtures.
func EnergyBSFC(b fuel.Blend, efficiency, lambda quantity.Ratio) quantity.SpecificConsumption {
	return quantity.SpecificConsumption(1 / (float64(efficiency) * float64(b.Completeness(lambda)) * float64(b.LHV())))
}

// Breathing says how an engine draws air.
type Breathing struct {
	Displacement         quantity.Volume
	Strokes              int            // 4: one filling in two revolutions; 2: one in each
	VolumetricEfficiency quantity.Ratio // of the density in the inlet manifold
}

// AirFlow returns the air mass flow by the speed-density relation
//
//	m = VE * V * n * p / (R T)
//
// with n fillings per second (half the revolutions for a four-stroke), p the
// absolute pressure and T the temperature in the inlet manifold. The relation is
// the definition of volumetric efficiency by manifold density (Heywood,
// Internal Combustion Engine Fundamentals, 1988, section 2.10, from memory).
// Fuel vapour in the manifold is not counted as displacing air.
func (b Breathing) AirFlow(speed quantity.AngularSpeed, manifold quantity.Pressure, charge quantity.Temperature) quantity.MassFlow {
	fillings := float64(speed) / (2 * math.Pi)
	if b.Strokes == 4 {
		fillings /= 2
	}
	density := float64(manifold) / (gasConstantAir * float64(charge))
	return quantity.MassFlow(float64(b.VolumetricEfficiency) * float64(b.Displacement) * fillings * density)
}

// FuelForAir returns the fuel that makes the mixture lambda with the given air.
func FuelForAir(b fuel.Blend, air quantity.MassFlow, lambda quantity.Ratio) quantity.MassFlow {
	return quantity.MassFlow(float64(air) / (float64(lambda) * float64(b.StoichiometricAFR())))
}

// Routes holds the fuel mass flow found by each route.
type Routes struct{ Power, Energy, Air quantity.MassFlow }

// By returns the flow of one route, and which route it is: r itself, or the one
// that asks for the most fuel where r is Highest.
func (r Routes) By(route Route) (quantity.MassFlow, Route) {
	switch route {
	case Power:
		return r.Power, Power
	case Energy:
		return r.Energy, Energy
	case Air:
		return r.Air, Air
	}
	best, which := r.Power, Power
	if r.Energy > best {
		best, which = r.Energy, Energy
	}
	if r.Air > best {
		best, which = r.Air, Air
	}
	return best, which
}

// Spread returns how far the highest route lies above the lowest, as a share of
// the lowest.
func (r Routes) Spread() quantity.Ratio {
	low := min(r.Power, r.Energy, r.Air)
	high := max(r.Power, r.Energy, r.Air)
	return quantity.Ratio(float64(high/low) - 1)
}
