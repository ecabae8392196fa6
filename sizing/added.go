package sizing

import (
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Added is fuel that comes on top of the engine's own, or is credited against it.
// It does not move with power: a jet or a nozzle flows what it flows.
type Added struct {
	Nitrous      quantity.MassFlow    `json:"nitrous"`       // of the oxide
	NitrousPower quantity.CrankPower  `json:"nitrous_power"` // that it adds
	Circuit      demand.CircuitDemand `json:"circuit"`       // fuel for it, by the parts that carry it
	Replaced     quantity.MassFlow    `json:"replaced"`      // main fuel that injected methanol stands in for
	Credited     quantity.MassFlow    `json:"credited"`      // the part of it that was taken off the demand
	LeanTo       quantity.Ratio       `json:"lean_to"`       // lambda if that injection stops; zero without a credit
}

// added finds the added demands of a build whose defaults are filled in; needed
// is the demand of the engine alone.
func (b Build) added(needed quantity.MassFlow) Added {
	var a Added
	f := b.Fuel.Blend
	if n := b.Nitrous; n.Flow != 0 || n.Power != 0 {
		a.Nitrous, a.NitrousPower = n.Flow, n.Power
		if n.Flow != 0 {
			a.NitrousPower = demand.PowerFromNitrous(f, n.Flow, b.Engine.BrakeEfficiency, n.Lambda)
		} else {
			a.Nitrous = demand.NitrousForPower(f, n.Power, b.Engine.BrakeEfficiency, n.Lambda)
		}
		a.Circuit = n.Fuel.Split(demand.FuelForNitrous(f, a.Nitrous, n.Lambda))
	}
	if b.WaterMethanol.Flow != 0 {
		w, err := demand.WaterMethanolByVolume(b.WaterMethanol.Flow, b.WaterMethanol.Methanol, b.WaterMethanol.Temperature)
		if err != nil { // a build that is not valid
			return a
		}
		a.Replaced = min(w.Replaced(f), needed)
		if b.WaterMethanol.Credit == Taken {
			a.Credited = a.Replaced
			a.LeanTo = orZero(w.LambdaOnFailure(f, needed, b.Target.Lambda))
		}
	}
	return a
}
