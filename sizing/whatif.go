package sizing

import (
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// AtPower returns b with its target at power p. The air moves with it: on a boosted
// engine by the boost, so that manifold pressure stays in proportion to power, on a
// naturally aspirated one by the volumetric efficiency.
func (b Build) AtPower(p quantity.CrankPower) Build {
	share := float64(p / b.CrankPower())
	b.setPower(p)
	if b.Induction.Kind.Boosted() {
		b.Induction.Boost = quantity.Pressure(share * float64(b.manifold())).Above(b.ambient().Pressure)
	} else {
		b.Engine.VolumetricEfficiency = quantity.Ratio(share * float64(b.volumetricEfficiency()))
	}
	return b
}

// AtBoost returns b at another boost. The target power moves with it, in
// proportion to manifold pressure.
func (b Build) AtBoost(boost quantity.PressureDiff) Build {
	share := float64(boost.Above(b.ambient().Pressure) / b.manifold())
	b.setPower(quantity.CrankPower(share * float64(b.CrankPower())))
	b.Induction.Boost = boost
	return b
}

// WithBlend returns b on another fuel, its target power and mixture unchanged. A
// measured BSFC belongs to the fuel it was measured on, so it is carried over as
// the same fuel energy per unit of work.
func (b Build) WithBlend(f fuel.Blend) Build {
	if b.Fuel.BSFC != 0 {
		b.Fuel.BSFC = quantity.SpecificConsumption(float64(b.Fuel.BSFC) * float64(b.Fuel.Blend.LHV()/f.LHV()))
	}
	b.Fuel.Blend = f
	return b
}

// WithEthanol returns b on gasoline with the given ethanol content by volume at
// 15 °C; see [Build.WithBlend]. The error is that of [fuel.Ethanol].
func (b Build) WithEthanol(content quantity.VolumeFraction) (Build, error) {
	f, err := fuel.Ethanol(content)
	if err != nil {
		return Build{}, err
	}
	return b.WithBlend(f), nil
}

// WithBasePressure returns b with its regulator set to another base pressure.
func (b Build) WithBasePressure(p quantity.PressureDiff) Build {
	b.Regulator.BasePressure = p
	return b
}

// setPower makes p the target, said as crank power.
func (b *Build) setPower(p quantity.CrankPower) {
	b.Target = Target{Power: p, Lambda: b.Target.Lambda, Allowance: b.Target.Allowance}
}

func (b *Build) volumetricEfficiency() quantity.Ratio {
	if b.Engine.VolumetricEfficiency != 0 {
		return b.Engine.VolumetricEfficiency
	}
	return defaultVolumetricEfficiency
}
