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

// additions finds the added demands; needed is the demand of the engine alone.
func (l *liquid) additions(needed quantity.MassFlow) Added {
	a := Added{Nitrous: l.oxide, NitrousPower: l.added, Circuit: l.nitrous}
	if l.water == nil {
		return a
	}
	a.Replaced = min(l.stands, needed)
	if l.credit != 0 {
		a.Credited = min(l.credit, needed)
		a.LeanTo = orZero(l.water.LambdaOnFailure(l.blend, needed, l.lambda))
	}
	return a
}
