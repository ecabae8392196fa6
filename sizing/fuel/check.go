package fuel

import (
	"math"
	"slices"
	"sort"

	"example.com/railbook/sizing/quantity"
)

// heatOfCondensation is the heat that a mole of water vapour gives up at 25 °C:
// the difference of the enthalpies of formation, Active Thermochemical Tables
// 1.112.
const heatOfCondensation = (285.825 - 241.822) * 1e3 // J/mol

// finish completes the draft from its base, fits its series and checks that its
// values agree with one another.
func (d *draft) finish() error {
	if d.base != nil {
		d.inherit()
	}
	for _, property := range []string{"formula", "family"} {
		if _, ok := d.seen[property]; !ok {
			return d.first.fail("property", "%s has no %s", d.name, property)
		}
	}
	for _, property := range sortedKeys(scalars) {
		if _, ok := d.seen[property]; scalars[property].required && !ok {
			return d.first.fail("property", "%s has no %s", d.name, property)
		}
	}
	for _, property := range sortedKeys(tabulated) {
		if err := d.fit(property, tabulated[property]); err != nil {
			return err
		}
	}
	d.polar = d.family.polar()
	density, vapour := d.series["density"], d.series["vapour pressure"]
	d.lowest, d.highest = density[0].t, density[len(density)-1].t
	d.lowestVapour, d.highestVapour = vapour[0].t, vapour[len(vapour)-1].t
	d.rho15 = d.density.at(float64(Reference))
	if !(d.lowest <= float64(Reference) && float64(Reference) <= d.highest) {
		return density[0].row.fail("at", "the density of %s does not reach %v", d.name, Reference)
	}
	for _, check := range []func() error{d.checkComposition, d.checkHeat, d.checkBoiling, d.checkFire} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

// fit sorts and fits one series, after checking that it runs one way.
func (d *draft) fit(property string, kind series) error {
	readings := d.series[property]
	if len(readings) < 2 {
		return d.first.fail("property", "%s has %d values of %s; at least 2 are needed", d.name, len(readings), property)
	}
	sort.SliceStable(readings, func(i, j int) bool { return readings[i].t < readings[j].t })
	for i, p := range readings[1:] {
		if p.t == readings[i].t {
			return p.row.fail("at", "the %s of %s is given twice at %s", property, d.name, p.row.text["at"])
		}
	}
	curve, off, err := kind.fit(readings)
	if err != nil {
		return readings[0].row.fail("at", "%s of %s: %v", property, d.name, err)
	}
	if off > kind.tolerance {
		p, off := kind.misfit(readings)
		return p.row.fail("value", "the %s of %s at %s lies %s %% off the curve through the others", property, d.name,
			p.row.text["at"], quantity.Digits(100*off, 2))
	}
	for i, p := range readings[1:] {
		if last := readings[i]; p.v == last.v || p.v > last.v != kind.rises {
			return p.row.fail("value", "the %s of %s goes the wrong way from %s to %s: %s to %s", property, d.name,
				last.row.text["at"], p.row.text["at"], last.row.text["value"], p.row.text["value"])
		}
	}
	*kind.curve(d.species) = curve
	return nil
}

// fit returns the curve through the readings and how far the worst of them lies
// off it, as a part of its value.
func (kind series) fit(readings []reading) (curve polynomial, off float64, err error) {
	points := make([]point, len(readings))
	for i, p := range readings {
		points[i] = point{kind.x(p.t), kind.y(p.v)}
	}
	if curve, err = fit(kind.x(float64(Reference)), points, kind.degree); err != nil {
		return polynomial{}, 0, err
	}
	for _, p := range readings {
		off = max(off, kind.off(curve, p))
	}
	return curve, off, nil
}

// off returns how far a reading lies off the curve, as a part of its value.
func (kind series) off(curve polynomial, p reading) float64 {
	return math.Abs(kind.back(curve.at(kind.x(p.t)))/p.v - 1)
}

// misfit returns the reading without which the rest fit best, and how far it lies
// off their curve.
func (kind series) misfit(readings []reading) (worst reading, off float64) {
	least := math.Inf(1)
	for i, p := range readings {
		curve, rest, err := kind.fit(slices.Delete(slices.Clone(readings), i, i+1))
		if err == nil && rest < least {
			least, worst, off = rest, p, kind.off(curve, p)
		}
	}
	return worst, off
}

// checkComposition holds the stated molar mass and mass fractions against the
// formula.
func (d *draft) checkComposition() error {
	if !d.family.fits(d.atoms) {
		return d.seen["family"].fail("value", "%s is no %s", d.formula, d.family)
	}
	if r, ok := d.seen["molar mass"]; ok && math.Abs(d.statedMolar/d.molar-1) > 0.005 {
		return r.fail("value", "the molar mass of %s is %.5g g/mol by its formula", d.name, 1e3*d.molar)
	}
	stated := []struct {
		property         string
		share, byFormula float64
	}{
		{"carbon", d.statedC, d.atoms.C * weightC / d.molar},
		{"hydrogen", d.statedH, d.atoms.H * weightH / d.molar},
		{"oxygen", d.statedO, d.atoms.O * weightO / d.molar},
	}
	var sum float64
	var last row
	for _, x := range stated {
		r, ok := d.seen[x.property]
		if !ok {
			continue
		}
		if math.Abs(x.share-x.byFormula) > 0.002 {
			return r.fail("value", "%s holds %.4g %% of %s by its formula", d.name, 100*x.byFormula, x.property)
		}
		sum += x.share
		last = r
	}
	if sum > 0 && math.Abs(sum-1) > 0.002 {
		return last.fail("value", "carbon, hydrogen and oxygen of %s add up to %.4g %%", d.name, 100*sum)
	}
	return nil
}

// checkHeat holds the difference of the heating values against the water that
// the hydrogen makes. Gasoline is a mixture of uncertain composition, hence the
// width of 5 %.
func (d *draft) checkHeat() error {
	r := d.seen["higher heating value"]
	if d.hhv <= d.lhv {
		return r.fail("value", "the higher heating value of %s is not above the lower", d.name)
	}
	water := d.atoms.H / 2 / d.molar * heatOfCondensation
	if math.Abs((d.hhv-d.lhv)/water-1) > 0.05 {
		return r.fail("value", "the heating values of %s differ by %.3g MJ/kg; its hydrogen makes water worth %.3g MJ/kg",
			d.name, (d.hhv-d.lhv)*1e-6, water*1e-6)
	}
	return nil
}

// checkBoiling holds the boiling point against the curve of the vapour pressure.
func (d *draft) checkBoiling() error {
	if d.boiling == 0 {
		return nil
	}
	p := quantity.Pressure(math.Exp(d.lnVapour.at(1 / d.boiling)))
	if math.Abs(float64(p/quantity.Atmosphere)-1) > 0.02 {
		return d.seen["boiling point"].fail("value", "%s has a vapour pressure of %v there, not 101.3 kPa", d.name, p)
	}
	return nil
}

// checkFire holds the fire data together: all of them or none.
func (d *draft) checkFire() error {
	properties := []string{"flash point", "lower flammable limit", "upper flammable limit", "fire class"}
	given := slices.DeleteFunc(slices.Clone(properties), func(p string) bool { _, ok := d.seen[p]; return !ok })
	if len(given) != 0 && len(given) != len(properties) {
		return d.seen[given[0]].fail("property", "of %q, %s has only %q", properties, d.name, given)
	}
	if len(given) > 0 && d.lower >= d.upper {
		return d.seen["lower flammable limit"].fail("value", "the lower flammable limit of %s is not below the upper", d.name)
	}
	return nil
}

// sortedKeys returns the keys of m in order, so that the first error is always
// the same one.
func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
