package sizing

import (
	"cmp"
	"fmt"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// MostPower returns the most crank power that all parts still carry with the
// margins asked for, as [Build.AtPower] moves the build. Parts that do not depend
// on power take no part in it. It is zero where there is none.
func MostPower(b Build) (quantity.CrankPower, error) {
	a, err := Assess(b)
	if err != nil {
		return 0, err
	}
	return a.Keeps(), nil
}

// Keeps returns the crank power up to which every part keeps the margin asked for;
// zero where there is none.
func (a *Assessment) Keeps() quantity.CrankPower {
	var least quantity.CrankPower
	for i, found := 0, false; i < len(a.Parts); i++ {
		if p := a.Parts[i]; p.Limited && (!found || p.Keeps < least) {
			least, found = p.Keeps, true
		}
	}
	return least
}

// MostBoost returns the boost of [MostPower]. The error says so for an engine that
// is not boosted.
func MostBoost(b Build) (quantity.PressureDiff, error) {
	if !b.Induction.Kind.Boosted() {
		return 0, fmt.Errorf("a %s engine has no boost to find", b.Induction.Kind)
	}
	p, err := MostPower(b)
	if err != nil {
		return 0, err
	}
	return b.AtPower(p).Induction.Boost, nil
}

// MostEthanol returns the greatest ethanol content by volume, in gasoline, at which
// all parts carry the target with the margins asked for, to within a thousandth of
// a percent. ok is false where they do not even on gasoline alone.
//
// Ethanol raises the demand, and its density and viscosity move what parts carry
// by less, so margins fall as content rises.
func MostEthanol(b Build) (content quantity.VolumeFraction, ok bool, err error) {
	spare := func(content float64) (float64, error) {
		c, err := b.WithEthanol(quantity.VolumeFraction(content))
		if err != nil {
			return 0, err
		}
		a, err := Assess(c)
		if err != nil {
			return 0, err
		}
		return float64(a.Keeps()/a.Power) - 1, nil
	}
	atNone, err := spare(0)
	if err != nil {
		return 0, false, err
	}
	if atNone < 0 {
		return 0, false, nil
	}
	atAll, err := spare(1)
	if err != nil {
		return 0, false, err
	}
	if atAll >= 0 {
		return 1, true, nil
	}
	var failed error
	found, err := root.Find(func(x float64) float64 {
		s, err := spare(x)
		if err != nil {
			failed = err
		}
		return s
	}, 0, 1, 1e-5)
	if err := cmp.Or(failed, err); err != nil {
		return 0, false, err
	}
	return quantity.VolumeFraction(found), true, nil
}
