package sweep

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/sheet"
	"example.com/railbook/sizing/quantity"
)

// Axis is one field of a build and the values it takes in turn.
type Axis struct {
	Field  string    // as [Fields] lists it
	Unit   string    // in which Values are counted
	Values []float64 // at least one, as they are to be printed on the axis

	set func(sizing.Build, float64) (sizing.Build, error)
}

// Title is the field with its unit: "boost in psi".
func (a Axis) Title() string {
	if a.Unit == "" {
		return a.Field
	}
	return a.Field + " in " + a.Unit
}

// maxValues bounds the length of one axis.
const maxValues = 10_000

// ErrAxis marks text that describes no axis.
var ErrAxis = errors.New("not an axis")

// field is something that can be swept.
type field struct {
	name  string
	what  string // for help
	parse func(text string) (unit string, toNumber func(text string) (float64, error), set func(sizing.Build, float64) (sizing.Build, error), err error)
}

// quantityField makes a field of a quantity of type Q.
func quantityField[Q quantity.Quantity](name, what string, set func(sizing.Build, Q) (sizing.Build, error)) field {
	return field{name: name, what: what, parse: func(unit string) (string, func(string) (float64, error), func(sizing.Build, float64) (sizing.Build, error), error) {
		// Units need not be factors (temperatures), so numbers go through text.
		symbol, toNumber, fromNumber, err := quantity.Scale[Q](unit)
		if err != nil {
			return "", nil, nil, err
		}
		number := func(text string) (float64, error) {
			if _, err := strconv.ParseFloat(text, 64); err == nil {
				text += " " + unit
			}
			q, err := quantity.Parse[Q](text)
			return toNumber(q), err
		}
		return symbol, number, func(b sizing.Build, v float64) (sizing.Build, error) { return set(b, fromNumber(v)) }, nil
	}}
}

// plain wraps a change that cannot fail.
func plain[Q quantity.Quantity](change func(sizing.Build, Q) sizing.Build) func(sizing.Build, Q) (sizing.Build, error) {
	return func(b sizing.Build, q Q) (sizing.Build, error) { return change(b, q), nil }
}

var fields = []field{
	quantityField("boost", "manifold over ambient; power moves with manifold pressure", plain(sizing.Build.AtBoost)),
	quantityField("ethanol", "content by volume; power stays", sizing.Build.WithEthanol),
	quantityField("base pressure", "of the regulator", plain(sizing.Build.WithBasePressure)),
	quantityField("power", "at the crank; boost moves with it", plain(sizing.Build.AtPower)),
	quantityField("lambda", "of the mixture at the target", plain(func(b sizing.Build, v quantity.Ratio) sizing.Build { b.Target.Lambda = v; return b })),
	quantityField("charge temperature", "in the manifold", plain(func(b sizing.Build, v quantity.Temperature) sizing.Build {
		b.Induction.ChargeTemperature = v
		return b
	})),
	quantityField("fuel temperature", "at the rail", plain(func(b sizing.Build, v quantity.Temperature) sizing.Build { b.Fuel.Temperature = v; return b })),
	quantityField("voltage", "at injectors and pumps", plain(func(b sizing.Build, v quantity.Voltage) sizing.Build {
		b.Electrical.Voltage, b.Electrical.PumpVoltage = v, v
		return b
	})),
	quantityField("barometer", "ambient pressure; boost and power stay", plain(func(b sizing.Build, v quantity.Pressure) sizing.Build { b.Induction.Barometer = v; return b })),
	quantityField("line bore", "of the feed line", plain(func(b sizing.Build, v quantity.Length) sizing.Build { b.FeedLine.Bore = v; return b })),
}

// Fields lists what can be swept, each with a few words on what it means.
func Fields() map[string]string {
	list := map[string]string{}
	for _, f := range fields {
		list[f.name] = f.what
	}
	return list
}

func fieldNames() []string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.name
	}
	return names
}

// ParseAxis reads an axis: a field, an equals sign, and its values as a range
// with a step or a number of points, or as a list. The unit stands once, behind
// the last number.
//
//	boost = 10..30 psi by 1
//	ethanol = 0..85 % in 18
//	base pressure = 3, 3.5, 4 bar
//
// The last step of a range may fall short of its end. The error wraps ErrAxis
// and says what would be accepted.
func ParseAxis(text string) (Axis, error) {
	fail := func(format string, args ...any) (Axis, error) {
		return Axis{}, fmt.Errorf("%w: %q: %s", ErrAxis, text, fmt.Sprintf(format, args...))
	}
	name, values, ok := strings.Cut(text, "=")
	if !ok {
		return fail(`no "="; want for example "boost = 10..30 psi by 1"`)
	}
	name = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(name, "_", " ")), " "))
	var f field
	for _, g := range fields {
		if g.name == name {
			f = g
		}
	}
	if f.parse == nil {
		hint := ""
		if near := sheet.Nearest(name, fieldNames()); near != "" {
			hint = fmt.Sprintf(", perhaps %q is meant", near)
		}
		return fail("unknown field %q%s; want one of %s", name, hint, strings.Join(fieldNames(), ", "))
	}
	values = strings.TrimSpace(values)

	if low, rest, isRange := strings.Cut(values, ".."); isRange {
		end, step, isStep := strings.Cut(rest, " by ")
		var count string
		if !isStep {
			end, count, ok = strings.Cut(rest, " in ")
			if !ok {
				return fail(`a range needs a step or a number of points: "%s by 1" or "%s in 20"`, values, values)
			}
		}
		unit := unitBehind(end)
		symbol, number, set, err := f.parse(unit)
		if err != nil {
			return fail("%v", err)
		}
		from, err := number(strings.TrimSpace(low))
		if err != nil {
			return fail("start: %v", err)
		}
		to, err := number(strings.TrimSpace(end))
		if err != nil {
			return fail("end: %v", err)
		}
		if !(to > from) {
			return fail("the end must lie above the start")
		}
		a := Axis{Field: f.name, Unit: symbol, set: set}
		if isStep {
			by, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(step), unit)), 64)
			if err != nil || !(by > 0) || math.IsInf(by, 0) {
				return fail("the step %q is not a number above zero", strings.TrimSpace(step))
			}
			n := math.Floor((to-from)/by+1e-9) + 1
			if n > maxValues {
				return fail("%.0f values are too many for one axis; want at most %d", n, maxValues)
			}
			for i := range int(n) {
				a.Values = append(a.Values, from+float64(i)*by)
			}
			return a, nil
		}
		n, err := strconv.Atoi(strings.TrimSpace(count))
		if err != nil || n < 2 || n > maxValues {
			return fail("the number of points %q is not a whole number from 2 to %d", strings.TrimSpace(count), maxValues)
		}
		for i := range n {
			a.Values = append(a.Values, from+(to-from)*float64(i)/float64(n-1))
		}
		return a, nil
	}

	parts := strings.Split(values, ",")
	if len(parts) > maxValues {
		return fail("too many values for one axis; want at most %d", maxValues)
	}
	symbol, number, set, err := f.parse(unitBehind(parts[len(parts)-1]))
	if err != nil {
		return fail("%v", err)
	}
	a := Axis{Field: f.name, Unit: symbol, set: set}
	for _, p := range parts {
		v, err := number(strings.TrimSpace(p))
		if err != nil {
			return fail("%v", err)
		}
		if n := len(a.Values); n > 0 && v <= a.Values[n-1] {
			return fail("values must rise from each to the next")
		}
		a.Values = append(a.Values, v)
	}
	return a, nil
}

// unitBehind is what follows the number that text starts with.
func unitBehind(text string) string {
	return strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(text), "+-.0123456789"))
}
