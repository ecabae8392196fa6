package demand

import (
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// Band is a range of brake specific fuel consumption at full load.
type Band struct{ Low, High quantity.SpecificConsumption }

// At returns the consumption at a place in the band.
func (b Band) At(p BandPoint) quantity.SpecificConsumption {
	switch p {
	case Low:
		return b.Low
	case Middle:
		return (b.Low + b.High) / 2
	}
	return b.High
}

// labelled holds the bands for the fuels that the trade names, in lb/(hp h).
// Common practice, no source: no peer-reviewed range for full-load consumption
// of boosted engines was found.
var labelled = [...]struct{ gasoline, e85, methanol [2]float64 }{
	NaturallyAspirated: {gasoline: [2]float64{0.45, 0.50}, e85: [2]float64{0.63, 0.70}, methanol: [2]float64{0.90, 1.00}},
	Supercharged:       {gasoline: [2]float64{0.55, 0.60}, e85: [2]float64{0.77, 0.84}, methanol: [2]float64{1.10, 1.20}},
	Turbocharged:       {gasoline: [2]float64{0.60, 0.65}, e85: [2]float64{0.84, 0.91}, methanol: [2]float64{1.20, 1.30}},
}

// energyBands holds the same bands as fuel energy per unit of work, which is
// dimensionless, for the three families of fuel that a blend is made of.
type energyBand struct{ gasoline, ethanol, methanol [2]float64 }

var energyBands = func() (bands [len(labelled)]energyBand) {
	gasoline, e85, methanol := mustParse("gasoline"), mustParse("E85"), mustParse("methanol")
	energy := func(lbPerHpH float64, b fuel.Blend) float64 {
		return float64(quantity.Of(lbPerHpH, quantity.PoundPerHorsepowerHour)) * float64(b.LHV())
	}
	share := energyShares(e85).ethanol
	for k, row := range labelled {
		for end := range 2 {
			g := energy(row.gasoline[end], gasoline)
			bands[k].gasoline[end] = g
			bands[k].methanol[end] = energy(row.methanol[end], methanol)
			// What pure ethanol must need for E85 to lie on its label.
			bands[k].ethanol[end] = (energy(row.e85[end], e85) - (1-share)*g) / share
		}
	}
	return bands
}()

func mustParse(name string) fuel.Blend {
	b, err := fuel.Parse(name)
	if err != nil {
		panic("demand: " + err.Error())
	}
	return b
}

// shares are parts of a blend's lower heating value.
type shares struct{ ethanol, methanol, rest float64 }

func energyShares(b fuel.Blend) shares {
	total := float64(b.LHV())
	part := func(name string, lhv quantity.SpecificEnergy) float64 {
		return float64(b.MassFraction(name)) * float64(lhv) / total
	}
	s := shares{ethanol: part("ethanol", ethanolLHV), methanol: part("methanol", methanolLHV)}
	s.rest = 1 - s.ethanol - s.methanol
	return s
}

var (
	ethanolLHV  = mustParse("ethanol").LHV()
	methanolLHV = mustParse("methanol").LHV()
)

// BSFC returns the band of brake specific fuel consumption at full load for an
// induction kind and a fuel. Gasoline, E85 and methanol lie on the figures of
// common practice (no source). A blend between them is interpolated on energy,
// not on its label: its fuel energy per unit of work is the mean of its
// constituents' weighted by their share of the heating value, and its
// consumption is that over its own lower heating value. The mixture is taken as
// equally rich throughout; the bands belong to the rich mixtures of full load.
func BSFC(kind Induction, b fuel.Blend) Band {
	s, e := energyShares(b), energyBands[kind]
	at := func(end int) quantity.SpecificConsumption {
		work := s.rest*e.gasoline[end] + s.ethanol*e.ethanol[end] + s.methanol*e.methanol[end]
		return quantity.SpecificConsumption(work / float64(b.LHV()))
	}
	return Band{Low: at(0), High: at(1)}
}
