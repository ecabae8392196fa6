package cell

import (
	"fmt"
	"go/types"
	"strings"
)

// quantities are the types of package quantity in the trade's words.
var quantities = map[string]string{
	"quantity.Acceleration":        "an acceleration",
	"quantity.AngularSpeed":        "a speed of rotation",
	"quantity.Area":                "an area",
	"quantity.CrankPower":          "power at the crank",
	"quantity.Current":             "a current",
	"quantity.Density":             "a density",
	"quantity.EnergyDensity":       "energy by volume",
	"quantity.Length":              "a length",
	"quantity.Mass":                "a mass",
	"quantity.MassFlow":            "a mass flow",
	"quantity.MassFraction":        "a share by mass",
	"quantity.MolarMass":           "a molar mass",
	"quantity.Power":               "a power that is neither at the crank nor at the wheels",
	"quantity.Pressure":            "an absolute pressure",
	"quantity.PressureDiff":        "a gauge pressure (a difference of pressures)",
	"quantity.Ratio":               "a ratio",
	"quantity.Resistance":          "a resistance",
	"quantity.SpecificConsumption": "a specific consumption",
	"quantity.SpecificEnergy":      "energy by mass",
	"quantity.SpecificHeat":        "a specific heat",
	"quantity.Temperature":         "a temperature",
	"quantity.TemperatureDiff":     "a difference of temperatures",
	"quantity.Time":                "a time",
	"quantity.Torque":              "a torque",
	"quantity.Velocity":            "a velocity",
	"quantity.Viscosity":           "a viscosity",
	"quantity.Voltage":             "a voltage",
	"quantity.Volume":              "a volume",
	"quantity.VolumeFlow":          "a volume flow",
	"quantity.VolumeFraction":      "a share by volume",
	"quantity.WheelPower":          "power at the wheels",
}

func inTheTrade(name string) string {
	if words := quantities[name]; words != "" {
		return words
	}
	return article(name)
}

// article puts the article before the name of a type.
func article(name string) string {
	if strings.ContainsRune("aeio", rune((strings.ToLower(name) + " ")[0])) {
		return "an " + name
	}
	return "a " + name
}

// conversions tells how to make one quantity of another, as package quantity
// says itself: by a function that takes the one and gives the other.
func (pl *plan) conversion(from, to string) string {
	a, b := pl.typeNamed(from), pl.typeNamed(to)
	pkg := pl.packageNamed("quantity")
	if a == nil || b == nil || pkg == nil {
		return ""
	}
	gives := func(f *types.Func) bool {
		r := f.Signature().Results()
		return r.Len() > 0 && types.Identical(r.At(0).Type(), b)
	}
	var found []string
	for _, name := range pkg.Scope().Names() {
		f, ok := pkg.Scope().Lookup(name).(*types.Func)
		if !ok || !f.Exported() || !gives(f) {
			continue
		}
		for i := range f.Signature().Params().Len() {
			if types.Identical(f.Signature().Params().At(i).Type(), a) {
				found = append(found, "quantity."+name)
				break
			}
		}
	}
	if n, ok := a.(*types.Named); ok {
		for i := range n.NumMethods() {
			if m := n.Method(i); m.Exported() && gives(m) {
				found = append(found, "its method "+m.Name())
			}
		}
	}
	if len(found) == 0 {
		return ""
	}
	return "; " + strings.Join(found, " or ") + " makes the one of the other"
}

// mismatch tells that something of one type stands where another is wanted.
func (pl *plan) mismatch(m []string) string {
	value, is, want := m[1], m[2], m[3]
	_, one := quantities[is]
	_, other := quantities[want]
	switch {
	case one && other:
		return fmt.Sprintf("%s is %s, but %s is wanted", value, quantities[is], quantities[want]) + pl.conversion(is, want)
	case other:
		return fmt.Sprintf("%s is %s without a unit, but %s is wanted; quantity.Of(%s, …) gives it a unit", value, article(is), quantities[want], value)
	case one:
		return fmt.Sprintf("%s is %s, but %s is wanted; its method In gives the number in a unit", value, quantities[is], article(want))
	}
	if number(is) && number(want) {
		return fmt.Sprintf("%s is of type %s, but %s is wanted; write %s(%s)", value, is, want, want, value)
	}
	return fmt.Sprintf("%s is of type %s, but %s is wanted", value, is, want)
}

// mixed tells that an operation has two types that do not go together.
func (pl *plan) mixed(m []string) string {
	a, b := m[2], m[3]
	_, one := quantities[a]
	_, other := quantities[b]
	switch {
	case one && other:
		return fmt.Sprintf("%s: %s and %s do not go together", m[1], quantities[a], quantities[b]) + pl.conversion(a, b)
	case number(a) && number(b):
		return fmt.Sprintf("%s: numbers of type %s and %s are not mixed; turn one into the other, as in %s(…)", m[1], a, b, b)
	}
	return fmt.Sprintf("%s: %s and %s do not go together", m[1], inTheTrade(a), inTheTrade(b))
}

// number reports whether a type is one of the language's numbers.
func number(name string) bool {
	o, ok := types.Universe.Lookup(name).(*types.TypeName)
	if !ok {
		return false
	}
	b, ok := o.Type().(*types.Basic)
	return ok && b.Info()&types.IsNumeric != 0
}
