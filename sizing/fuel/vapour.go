package fuel

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// Constants of the three-suffix Margules equation between alcohols with water and
// all else. They were fitted here so that 10 % of ethanol raises the vapour
// pressure of gasoline by 1 psi at 100 °F (NREL memo of McCormick and Yanowitz, 26
// March 2012) and 81.5 % brings it to 43.3 kPa (the middles of what 40 CFR 1065.725
// allows, 80 to 83 % and 41.5 to 45.1 kPa).
const (
	margulesPolar = 2.52 // ln of the activity coefficient of a trace of alcohol in hydrocarbon
	margulesOther = 1.80 // and of a trace of hydrocarbon in alcohol
)

// VapourPressure returns the absolute pressure at t below which the liquid boils.
// It is positive, finite and rises with t at least from -40 to 150 °C, and is
// backed by data over [Blend.VapourPressureRange].
//
// Gasoline has the Reid vapour pressure of its grade: 9 psi unless another is
// named. "winter gasoline" has 15 psi, so a fuel system for it needs more room.
// Alcohols and water are ideal among themselves, and so is all else, ethers
// counted; the two groups meet by the three-suffix Margules equation, with
// constants for ethanol in gasoline that do not change with temperature. The
// pressure of such blends is not an average: a little ethanol raises it. The check
// values, all at 100 °F, are met within 5 %. Methanol, and water beside alcohol, are
// outside what the constants were fitted to; [Blend.Caveats] says so. Water without
// alcohol is a layer of its own, and the pressures of the layers add up.
func (b Blend) VapourPressure(t quantity.Temperature) quantity.Pressure {
	if b.table == nil {
		return 0
	}
	// Moles and ideal partial pressures of the two groups, in a unit of volume.
	var polar, other, pPolar, pOther float64
	alcohol := false
	x := 1 / float64(t)
	for _, i := range b.present() {
		s := b.table.species[i]
		n := b.volume[i] * s.rho15 / s.molar
		p := n * math.Exp(s.lnVapour.at(x))
		if s.polar {
			polar += n
			pPolar += p
			alcohol = alcohol || s.family == Alcohol
		} else {
			other += n
			pOther += p
		}
	}
	all := polar + other
	switch {
	case polar == 0 || other == 0:
		return quantity.Pressure((pPolar + pOther) / all)
	case !alcohol:
		return quantity.Pressure(pPolar/polar + pOther/other)
	}
	polar, other = polar/all, other/all
	const rise = margulesOther - margulesPolar
	gammaPolar := math.Exp(other * other * (margulesPolar + 2*rise*polar))
	gammaOther := math.Exp(polar * polar * (margulesOther - 2*rise*other))
	return quantity.Pressure((gammaPolar*pPolar + gammaOther*pOther) / all)
}

// VapourPressureRange returns the temperatures between which the vapour pressures
// of all constituents are tabulated. Beyond them [Blend.VapourPressure] is
// extrapolated.
func (b Blend) VapourPressureRange() (lowest, highest quantity.Temperature) {
	return b.common(func(s *species) (float64, float64) { return s.lowestVapour, s.highestVapour })
}

// BoilingMargin returns by how much the absolute pressure p lies above the vapour
// pressure at t. Where it is not above zero the liquid boils. It does not allocate.
func (b Blend) BoilingMargin(t quantity.Temperature, p quantity.Pressure) quantity.PressureDiff {
	return p.Above(b.VapourPressure(t))
}

// BoilingPoint returns the temperature at which the liquid begins to boil at the
// absolute pressure p. The error wraps [quantity.ErrRange] if that lies beyond
// [Blend.VapourPressureRange], or [ErrComposition] if b is no fuel; the result is
// then zero.
func (b Blend) BoilingPoint(p quantity.Pressure) (quantity.Temperature, error) {
	if b.IsZero() {
		return 0, fmt.Errorf("%w: no fuel does not boil", ErrComposition)
	}
	lowest, highest := b.VapourPressureRange()
	switch {
	case !(p > 0):
		return 0, fmt.Errorf("fuel: boiling at %v: %w: the pressure is not above zero", p, quantity.ErrRange)
	case p < b.VapourPressure(lowest):
		return 0, fmt.Errorf("fuel: %v boils below %v at %v: %w", b, lowest, p, quantity.ErrRange)
	case p > b.VapourPressure(highest):
		return 0, fmt.Errorf("fuel: %v boils above %v at %v: %w", b, highest, p, quantity.ErrRange)
	}
	// The logarithm is nearly a straight line in 1/T.
	x, err := root.Find(func(x float64) float64 {
		return math.Log(float64(b.VapourPressure(quantity.Temperature(1/x)) / p))
	}, 1/float64(highest), 1/float64(lowest), 1e-12)
	if err != nil {
		return 0, fmt.Errorf("fuel: boiling point of %v at %v: %w", b, p, err)
	}
	return quantity.Temperature(1 / x), nil
}
