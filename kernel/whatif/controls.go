package whatif

import (
	"fmt"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// The sliders, by the names that [Settings] give them.
const (
	Boost             = "boost"
	Power             = "power"
	Ethanol           = "ethanol"
	Methanol          = "methanol"
	BasePressure      = "base-pressure"
	FuelTemperature   = "fuel-temperature"
	ChargeTemperature = "charge-temperature"
)

// Power goes from lowPower to highPower times the sheet's, boost as far as that takes it;
// base pressure and temperatures by what is common on an engine. Beyond, the sheet is that
// of another build.
const (
	lowPower, highPower       = 0.6, 1.5
	lowPressure, highPressure = 0.6, 1.6
	eitherWay                 = 40 * quantity.KelvinDiff
)

// Limits of what a build may have, as it is checked by package sizing: a stop beyond
// would have no answer.
const (
	leastBoost, mostBoost         = 0.1 * quantity.PSI, 100 * quantity.PSI
	leastPower, mostPower         = 1 * quantity.Horsepower, 5000 * quantity.Horsepower
	leastBase, mostBase           = 10 * quantity.PSI, 150 * quantity.PSI
	leastBreathing, mostBreathing = 0.2, 1.6
)

// controls makes the sliders of an assessed build.
func controls(a *sizing.Assessment) ([]slider, error) {
	b, sys := a.Build, a.Build.Job.Units
	low, high, least, most := powerRange(a)
	share := fmt.Sprintf("%s to %s of the sheet's", quantity.Ratio(low).Percent(0), quantity.Ratio(high).Percent(0))
	either := quantity.Format(eitherWay, sys) + " either way"
	var list []slider
	var failed error
	add := func(s slider, field, about string) {
		s.Range += about
		if field != "" {
			f, err := sizing.FieldNamed(field)
			if err != nil {
				failed = err
				return
			}
			s.move = f.Set
		}
		list = append(list, s)
	}
	if b.Induction.Kind.Boosted() {
		at := func(share float64) quantity.PressureDiff {
			return quantity.Pressure(share * float64(a.Manifold)).Above(b.Induction.Barometer)
		}
		s := newSlider(Boost, "Boost", sys, span[quantity.PressureDiff]{b.Induction.Boost, at(low), at(high), leastBoost, mostBoost})
		s.now = func(b sizing.Build) float64 { return float64(b.Induction.Boost) }
		add(s, "boost", " over ambient, for "+share+" power.")
	}
	power := newSlider(Power, "Target power", sys, span[quantity.CrankPower]{
		a.Power, quantity.Of(low, a.Power), quantity.Of(high, a.Power), quantity.Of(least, a.Power), quantity.Of(most, a.Power),
	})
	power.now = func(b sizing.Build) float64 { return float64(b.CrankPower()) }
	add(power, "power", " at the crank, "+share+".")
	for _, s := range alcohols(b.Fuel.Blend, sys) {
		add(s, "", " by volume; "+restOf(b.Fuel.Blend)+".")
	}
	base := b.Regulator.BasePressure
	add(newSlider(BasePressure, "Base pressure", sys, span[quantity.PressureDiff]{
		base, quantity.Of(lowPressure, base), quantity.Of(highPressure, base), leastBase, mostBase,
	}), "base pressure", ", 0.6 to 1.6 times the sheet's.")
	add(newSlider(FuelTemperature, "Fuel temperature", sys, around(b.Fuel.Temperature, quantity.Celsius(-40), quantity.Celsius(100))),
		"fuel temperature", " at the rail, "+either+".")
	charge := newSlider(ChargeTemperature, "Charge temperature", sys, around(b.ChargeTemperature(), quantity.Celsius(-40), quantity.Celsius(180)))
	charge.now = func(b sizing.Build) float64 { return float64(b.ChargeTemperature()) }
	about := " in the manifold, " + either + "."
	if b.Induction.CompressorEfficiency != 0 {
		about += " Computed, and so moves with boost, until it is set."
		charge.Computed = true
	}
	add(charge, "charge temperature", about)
	return list, failed
}

// powerRange returns the shares of the target between which power goes, and those beyond
// which the build has no answer as boost, or breathing where there is none, cannot follow.
func powerRange(a *sizing.Assessment) (low, high, least, most float64) {
	least, most = float64(leastPower/a.Power), float64(mostPower/a.Power)
	if b := a.Build; b.Induction.Kind.Boosted() {
		at := func(boost quantity.PressureDiff) float64 {
			return float64(boost.Above(b.Induction.Barometer) / a.Manifold)
		}
		least, most = max(least, at(leastBoost)), min(most, at(mostBoost))
	} else {
		breathing := float64(b.Engine.VolumetricEfficiency)
		least, most = max(least, leastBreathing/breathing), min(most, mostBreathing/breathing)
	}
	return max(lowPower, least), min(highPower, most), least, most
}

// around is the span of a temperature.
func around(home, least, most quantity.Temperature) span[quantity.Temperature] {
	return span[quantity.Temperature]{home, home.Plus(-eitherWay), home.Plus(eitherWay), least, most}
}
