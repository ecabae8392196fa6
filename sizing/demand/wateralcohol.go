package demand

import (
	"errors"
	"math"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// WaterMethanol is an injection of water with methanol into the charge.
//
// Its methanol is fuel where it burns, and takes part of the air that the main
// fuel would have had; its water is not. What may not be made of the credit is
// told by [Caution].
type WaterMethanol struct {
	Flow     quantity.MassFlow     // of the mixture
	Methanol quantity.MassFraction // in the mixture
	Burnt    quantity.Ratio        // share of the methanol that burns in the cylinders, from 0 to 1
}

// WaterMethanolByVolume returns an injection of a volume flow at temperature t of
// a mixture whose methanol was measured by volume at the same temperature before
// mixing. All of the methanol is taken to burn.
//
// Volumes are taken to add up. Water and methanol shrink on mixing (40 % methanol
// by mass has 934.5 kg/m³ at 20 °C, against 904.0 here: Perry's Chemical
// Engineers' Handbook, read in a secondary account), so that the flow comes out some
// three percent small, and with it the credit. The error wraps
// [fuel.ErrComposition] where the fraction is not from 0 to 1.
func WaterMethanolByVolume(flow quantity.VolumeFlow, methanol quantity.VolumeFraction, t quantity.Temperature) (WaterMethanol, error) {
	if methanol == 0 { // water alone is no fuel, and so no Blend
		water, err := fuel.Lookup("water")
		if err != nil {
			return WaterMethanol{}, err
		}
		return WaterMethanol{Flow: flow.Mass(water.Density(t)), Burnt: 1}, nil
	}
	b, err := fuel.ByVolume(t, fuel.VolumePart{Name: "methanol", Fraction: methanol}, fuel.VolumePart{Name: "water", Fraction: 1 - methanol})
	if err != nil {
		return WaterMethanol{}, err
	}
	return WaterMethanol{Flow: flow.Mass(b.Density(t)), Methanol: b.MassFraction("methanol"), Burnt: 1}, nil
}

// Fuel returns the methanol that burns.
func (w WaterMethanol) Fuel() quantity.MassFlow {
	return quantity.MassFlow(float64(w.Flow) * float64(w.Methanol) * float64(w.Burnt))
}

// methanolAFR is the air that burns a unit mass of methanol.
var methanolAFR = mustParse("methanol").StoichiometricAFR()

// Replaced returns the flow of the main fuel that the methanol stands in for at
// equal lambda, which is the flow that the same air would have burnt:
//
//	ṁ = ṁ_methanol · AFR_methanol / AFR_main
//
// whatever lambda is. It is 0 for no fuel.
func (w WaterMethanol) Replaced(main fuel.Blend) quantity.MassFlow {
	if main.IsZero() {
		return 0
	}
	return quantity.MassFlow(float64(w.Fuel()) * float64(methanolAFR) / float64(main.StoichiometricAFR()))
}

// HeatEquivalent returns the flow of the main fuel that carries as much heat as
// the methanol by the lower heating values. With gasoline it exceeds
// [WaterMethanol.Replaced] by a few percent: per air, methanol gives a little more heat. It
// is 0 for no fuel.
func (w WaterMethanol) HeatEquivalent(main fuel.Blend) quantity.MassFlow {
	if main.IsZero() {
		return 0
	}
	return quantity.MassFlow(float64(w.Fuel()) * float64(methanolLHV) / float64(main.LHV()))
}

// LambdaOnFailure returns the mixture that is left when the injection stops, for
// an engine that needs the flow alone of main fuel without it, at lambda, and
// whose main fuel was taken back by [WaterMethanol.Replaced]. It is +Inf where
// nothing is left. Above the lambda at which the engine survives, the main fuel
// must not be taken back.
func (w WaterMethanol) LambdaOnFailure(main fuel.Blend, alone quantity.MassFlow, lambda quantity.Ratio) quantity.Ratio {
	left := float64(alone) - float64(w.Replaced(main))
	if !(left > 0) {
		return quantity.Ratio(math.Inf(1))
	}
	return quantity.Ratio(float64(lambda) * float64(alone) / left)
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (w WaterMethanol) Validate() error {
	return errors.Join(
		check.Require(w.Flow >= 0 && !math.IsInf(float64(w.Flow), 0), "water-methanol flow", w.Flow, "must not be negative"),
		check.Require(w.Methanol >= 0 && w.Methanol <= 1, "methanol", w.Methanol, "must lie from 0 to 1"),
		check.Require(w.Burnt >= 0 && w.Burnt <= 1, "share of the methanol that burns", w.Burnt, "must lie from 0 to 1"))
}

// Caution is what a credit for water-methanol must not be used for. All of them
// belong wherever the credit is shown.
type Caution uint8

const (
	SizeWithoutIt    Caution = iota // parts carry the whole demand without the injection
	WaterIsNoFuel                   // only the methanol counts
	KnockUncounted                  // resistance to knock is not credited
	RestoreOnFailure                // the main fuel has to come back with a failure

	cautions = iota
)

var cautionTexts = [cautions]string{
	"size injectors, pumps and lines for the whole demand without the injection: an empty tank, a blocked nozzle or a stopped pump takes it away at full load",
	"count no water as fuel: it cools the charge and burns nothing",
	"count no resistance to knock: what the mixture allows in boost and timing ends with its flow",
	"main fuel that was taken back must return, or boost be cut, when the flow fails",
}

// Cautions returns all cautions.
func (WaterMethanol) Cautions() (list [cautions]Caution) {
	for i := range list {
		list[i] = Caution(i)
	}
	return list
}

// String returns the caution as a sentence without its full stop.
func (c Caution) String() string {
	if c >= cautions {
		return "?"
	}
	return cautionTexts[c]
}

// MarshalText returns String.
func (c Caution) MarshalText() ([]byte, error) { return []byte(c.String()), nil }
