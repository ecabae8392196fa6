package sweep

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
)

// Axis is one field of a build and the values it takes in turn.
type Axis struct {
	Field  string    // as [sizing.FieldNamed] names it
	Unit   string    // in which Values are counted
	Values []float64 // at least one, as they are to be printed on the axis

	field sizing.Field
	si    func(float64) float64
}

// Title is the field with its unit: "boost in psi".
func (a Axis) Title() string {
	if a.Unit == "" {
		return a.Field
	}
	return a.Field + " in " + a.Unit
}

// si gives the values in SI.
func (a Axis) values() []float64 {
	list := make([]float64, len(a.Values))
	for i, v := range a.Values {
		list[i] = a.si(v)
	}
	return list
}

// maxValues bounds the length of one axis.
const maxValues = 10_000_000

// ErrAxis marks text that describes no axis.
var ErrAxis = errors.New("not an axis")

// ParseAxis reads an axis: a field, an equals sign, and its values as a range
// with a step or a number of points, or as a list. The unit stands once, behind
// the last number. Points are equally far apart, or with "log" behind their number in
// equal ratio.
//
//	boost = 10..30 psi by 1
//	ethanol = 0..85 % in 18
//	injector size = 500..2000 cc/min in 13 log
//	base pressure = 3, 3.5, 4 bar
//	feed_line.length = 1..6 m by 0.5
//
// The last step of a range may fall short of its end. The error wraps ErrAxis
// and says what would be accepted.
func ParseAxis(text string) (Axis, error) {
	a, err := parseAxis(text)
	if err != nil {
		return Axis{}, fmt.Errorf("%w: %q: %w", ErrAxis, text, err)
	}
	return a, nil
}

func parseAxis(text string) (Axis, error) {
	name, values, ok := strings.Cut(text, "=")
	if !ok {
		return Axis{}, errors.New(`no "="; want for example "boost = 10..30 psi by 1"`)
	}
	f, err := sizing.FieldNamed(name)
	if err != nil {
		return Axis{}, err
	}
	if !f.Numeric() {
		return Axis{}, fmt.Errorf("%s holds no number; an axis needs one", f.Name())
	}
	values = strings.TrimSpace(values)
	if low, rest, isRange := strings.Cut(values, ".."); isRange {
		return parseRange(f, values, low, rest)
	}
	parts := strings.Split(values, ",")
	if len(parts) > maxValues {
		return Axis{}, fmt.Errorf("too many values for one axis; want at most %d", maxValues)
	}
	a, number, err := inUnit(f, unitBehind(parts[len(parts)-1]))
	if err != nil {
		return Axis{}, err
	}
	for _, p := range parts {
		v, err := number(p)
		if err != nil {
			return Axis{}, err
		}
		if n := len(a.Values); n > 0 && v <= a.Values[n-1] {
			return Axis{}, errors.New("values must rise from each to the next")
		}
		a.Values = append(a.Values, v)
	}
	return a, nil
}

// inUnit makes an axis without values, counted in a unit, and the way to read a number
// on it.
func inUnit(f sizing.Field, unit string) (a Axis, number func(string) (float64, error), err error) {
	symbol, count, si, err := f.Scale(unit)
	if err != nil {
		return Axis{}, nil, err
	}
	a = Axis{Field: f.Name(), Unit: symbol, field: f, si: si}
	return a, func(text string) (float64, error) {
		text = strings.TrimSpace(text)
		// Units need not be factors (temperatures), so numbers go through text.
		if _, err := strconv.ParseFloat(text, 64); err == nil && unit != "" {
			text += " " + unit
		}
		v, err := f.Parse(text)
		return tidy(count(v)), err
	}, nil
}

// parseRange reads what is left and right of the dots.
func parseRange(f sizing.Field, values, low, rest string) (Axis, error) {
	end, step, isStep := strings.Cut(rest, " by ")
	count := ""
	if !isStep {
		var isCount bool
		if end, count, isCount = strings.Cut(rest, " in "); !isCount {
			return Axis{}, fmt.Errorf(`a range needs a step or a number of points: "%s by 1" or "%s in 20"`, values, values)
		}
	}
	unit := unitBehind(end)
	a, number, err := inUnit(f, unit)
	if err != nil {
		return Axis{}, err
	}
	from, err := number(low)
	if err != nil {
		return Axis{}, fmt.Errorf("start: %w", err)
	}
	to, err := number(end)
	if err != nil {
		return Axis{}, fmt.Errorf("end: %w", err)
	}
	if !(to > from) {
		return Axis{}, errors.New("the end must lie above the start")
	}
	if isStep {
		a.Values, err = steps(from, to, strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(step), unit)))
		return a, err
	}
	a.Values, err = spread(from, to, strings.TrimSpace(count))
	return a, err
}

// steps are the values from one end by a step.
func steps(from, to float64, step string) ([]float64, error) {
	by, err := strconv.ParseFloat(step, 64)
	if err != nil || !(by > 0) || math.IsInf(by, 0) {
		return nil, fmt.Errorf("the step %q is not a number above zero", step)
	}
	n := math.Floor((to-from)/by+1e-9) + 1
	if n > maxValues {
		return nil, fmt.Errorf("%.0f values are too many for one axis; want at most %d", n, maxValues)
	}
	list := make([]float64, int(n))
	for i := range list {
		list[i] = tidy(from + float64(i)*by)
	}
	return list, nil
}

// spread is as many values as count says, both ends among them.
func spread(from, to float64, count string) ([]float64, error) {
	count, log := strings.CutSuffix(count, " log")
	n, err := strconv.Atoi(strings.TrimSpace(count))
	if err != nil || n < 2 || n > maxValues {
		return nil, fmt.Errorf("the number of points %q is not a whole number from 2 to %d", count, maxValues)
	}
	if log && !(from > 0) {
		return nil, fmt.Errorf("points in equal ratio need a start above zero, not %v", from)
	}
	list := make([]float64, n)
	for i := range list {
		share := float64(i) / float64(n-1)
		switch {
		case i == n-1:
			list[i] = tidy(to)
		case log:
			list[i] = tidy(from * math.Pow(to/from, share))
		default:
			list[i] = tidy(from + (to-from)*share)
		}
	}
	return list, nil
}

// tidy takes away the noise that conversions and sums leave in the last digits.
func tidy(v float64) float64 {
	if near, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64); err == nil {
		return near
	}
	return v
}

// unitBehind is what follows the number that text starts with.
func unitBehind(text string) string {
	return strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(text), "+-.0123456789"))
}
