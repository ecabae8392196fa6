package fuel

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/quantity"
)

// ErrComposition marks shares that make no fuel: one below zero or above one, a
// constituent given twice, a sum other than one, or a mixture that does not burn.
var ErrComposition = errors.New("no such blend")

// VolumePart is the share of a constituent in a volume.
type VolumePart struct {
	Name     string // as [Lookup] takes it
	Fraction quantity.VolumeFraction
}

// MassPart is the share of a constituent in a mass.
type MassPart struct {
	Name     string // as [Lookup] takes it
	Fraction quantity.MassFraction
}

// Shares may miss a sum of one by sumTolerance, as rounded ones do, and are then
// scaled to it. They are left as they are within roundoff, so that a blend that is
// written and read again keeps its bits.
const (
	sumTolerance = 1e-6
	roundoff     = 1e-14
)

// Ethanol returns gasoline with the given ethanol content by volume at
// [Reference]. The error wraps [ErrComposition] if content is not from 0 to 1.
func Ethanol(content quantity.VolumeFraction) (Blend, error) {
	return inGasoline("ethanol", float64(content))
}

// inGasoline returns gasoline with the given content of another constituent.
func inGasoline(name string, content float64) (Blend, error) {
	if !(content >= 0 && content <= 1) {
		return Blend{}, fmt.Errorf("%w: %s content %s %% is not from 0 to 100 %%", ErrComposition, name, quantity.Digits(100*content, 4))
	}
	return ByVolume(Reference,
		VolumePart{name, quantity.VolumeFraction(content)},
		VolumePart{"gasoline", quantity.VolumeFraction(1 - content)})
}

// ByVolume returns the blend of the given shares of volume, each measured at
// temperature t before mixing. They must add up to one within 1e-6. The error
// wraps [ErrUnknown] or [ErrComposition].
func ByVolume(t quantity.Temperature, parts ...VolumePart) (Blend, error) {
	shares := make([]share, len(parts))
	for i, p := range parts {
		shares[i] = share{p.Name, float64(p.Fraction)}
	}
	return compose(shares, func(s *species) float64 {
		if t == Reference {
			return 1
		}
		return s.density.at(float64(t)) / s.rho15
	})
}

// ByMass returns the blend of the given shares of mass. They must add up to one
// within 1e-6. The error wraps [ErrUnknown] or [ErrComposition].
func ByMass(parts ...MassPart) (Blend, error) {
	shares := make([]share, len(parts))
	for i, p := range parts {
		shares[i] = share{p.Name, float64(p.Fraction)}
	}
	return compose(shares, func(s *species) float64 { return 1 / s.rho15 })
}

// share is how much of a constituent there is, by volume or by mass.
type share struct {
	name     string
	fraction float64
}

// compose makes a blend of shares; fills is the volume at Reference that a unit
// of share takes up.
func compose(shares []share, fills func(*species) float64) (Blend, error) {
	t, err := loaded()
	if err != nil {
		return Blend{}, err
	}
	b := Blend{table: t}
	var seen [maxSpecies]bool
	var sum, volume float64
	for _, p := range shares {
		s, err := t.find(p.name)
		if err != nil {
			return Blend{}, err
		}
		if !(p.fraction >= 0 && p.fraction <= 1) {
			return Blend{}, fmt.Errorf("%w: the share of %s is %v, not from 0 to 1", ErrComposition, s.name, p.fraction)
		}
		if seen[s.index] {
			return Blend{}, fmt.Errorf("%w: %s is given twice", ErrComposition, s.name)
		}
		seen[s.index] = true
		sum += p.fraction
		v := p.fraction * fills(s)
		b.volume[s.index] = v
		volume += v
	}
	if !(math.Abs(sum-1) <= sumTolerance) {
		return Blend{}, fmt.Errorf("%w: the shares add up to %v, not to 1", ErrComposition, sum)
	}
	if !(volume > 0) || math.IsInf(volume, 0) {
		return Blend{}, fmt.Errorf("%w: the temperature of the volumes is beyond the density data", ErrComposition)
	}
	b.settle(volume)
	if !(b.lhv > 0) {
		return Blend{}, fmt.Errorf("%w: %v does not burn", ErrComposition, b)
	}
	return b, nil
}

// settle scales the volumes, which add up to sum, to fractions and derives the
// rest from them.
func (b *Blend) settle(sum float64) {
	if math.Abs(sum-1) > roundoff {
		for i := range b.volume {
			b.volume[i] /= sum
		}
	}
	b.derive()
}
