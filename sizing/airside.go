package sizing

import (
	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// ambient is the air around the engine: what the sheet says, and what it does not
// say from the standard atmosphere at its altitude.
func (b *Build) ambient() air.State {
	state, err := air.AtAltitude(b.Induction.Altitude)
	if err != nil { // a build that is not valid
		state = air.State{Pressure: quantity.Atmosphere, Temperature: quantity.Celsius(15)}
	}
	if b.Induction.Barometer != 0 {
		state.Pressure = b.Induction.Barometer
	}
	if b.Induction.AmbientTemperature != 0 {
		state.Temperature = b.Induction.AmbientTemperature
	}
	return state
}

// manifold is the absolute pressure in the manifold at the target.
func (b *Build) manifold() quantity.Pressure { return b.Induction.Boost.Above(b.ambient().Pressure) }

// charge follows the air to the manifold where the compressor is described.
func (b *Build) charge() air.Charge {
	i, ambient := b.Induction, b.ambient()
	coolant := i.CoolantTemperature
	if coolant == 0 {
		coolant = ambient.Temperature
	}
	c := air.Charging{
		InletLoss: i.InletLoss, Efficiency: i.CompressorEfficiency,
		Intercooler: air.Intercooler{Effectiveness: i.IntercoolerEffectiveness, Coolant: coolant, Loss: i.IntercoolerLoss},
	}
	return c.Charge(ambient, b.manifold())
}

// ChargeTemperature returns the temperature of the charge in the manifold at the
// target: what the build states, or else what compressor and intercooler make of
// the ambient air; without a compressor that of the ambient air.
func (b Build) ChargeTemperature() quantity.Temperature {
	switch {
	case b.Induction.ChargeTemperature != 0:
		return b.Induction.ChargeTemperature
	case b.Induction.CompressorEfficiency == 0:
		return b.ambient().Temperature // not boosted
	}
	return b.charge().Manifold.Temperature
}

// dryShare is the share of dry air in the pressure of the ambient air. Vapour stays
// in the charge through compressor and intercooler.
func (b *Build) dryShare() quantity.Ratio {
	if b.Induction.Humidity == 0 {
		return 1
	}
	ambient := b.ambient()
	w := air.Weather{Barometer: ambient.Pressure, Temperature: ambient.Temperature, Humidity: b.Induction.Humidity}
	return quantity.Ratio(w.Dry() / w.Barometer)
}

func (b *Build) breathing() demand.Breathing {
	return demand.Breathing{Displacement: b.Engine.Displacement, Strokes: b.Engine.Strokes, VolumetricEfficiency: b.Engine.VolumetricEfficiency}
}

// airFlow is the dry air drawn at the target.
func (b *Build) airFlow() quantity.MassFlow {
	flow := b.breathing().AirFlow(b.Engine.Speed, b.manifold(), b.ChargeTemperature())
	return quantity.MassFlow(float64(flow) * float64(b.dryShare()))
}

// statedPower is the target as power at the crank, as the sheet states it: corrected
// where it names a correction.
func (b *Build) statedPower() quantity.CrankPower {
	switch t := b.Target; {
	case t.WheelPower != 0:
		return t.WheelPower.Crank(t.DrivetrainLoss)
	case t.Torque != 0:
		return t.Torque.Power(b.Engine.Speed)
	case t.TrapSpeed != 0:
		return demand.EmpiricalStrip().PowerFromSpeed(t.VehicleMass, t.TrapSpeed)
	case t.ElapsedTime != 0:
		return demand.SteadyRun{Distance: demand.QuarterMile}.PowerFromTime(t.VehicleMass, t.ElapsedTime).Crank(t.DrivetrainLoss)
	default:
		return t.Power
	}
}

// dyno is the air of the pull from which a corrected target stems.
func (b *Build) dyno() air.Weather {
	return air.Weather{Barometer: b.Target.DynoBarometer, Temperature: b.Target.DynoTemperature, Humidity: b.Target.DynoHumidity}
}

// CrankPower returns the target as power really made at the crank: a corrected
// figure turned back, without what nitrous oxide adds.
func (b Build) CrankPower() quantity.CrankPower { return b.crankPower() }

func (b *Build) crankPower() quantity.CrankPower {
	stated := b.statedPower()
	if b.Target.Correction == air.None {
		return stated
	}
	w := b.dyno()
	observed, _ := b.Target.Correction.Observed(stated, w.Dry(), w.Temperature)
	return observed
}
