package outside

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// inputs are the named values of a row, such as "liquid = ethanol; at = 20 °C", and
// the unit of its answer. The first thing wrong is kept in err, so that a calc can
// read all it needs and return.
type inputs struct {
	values map[string]string
	unit   string
	err    error
}

func parseInputs(text, unit string) *inputs {
	in := &inputs{values: map[string]string{}, unit: unit}
	for _, term := range strings.Split(text, ";") {
		name, value, ok := strings.Cut(term, "=")
		name = strings.TrimSpace(name)
		if _, twice := in.values[name]; !ok || twice {
			in.fail(fmt.Errorf("input %q is not name = value, or its name stands twice", term))
		}
		in.values[name] = strings.TrimSpace(value)
	}
	return in
}

func (in *inputs) fail(err error) {
	if in.err == nil {
		in.err = err
	}
}

// has reports whether an input is given and not yet read.
func (in *inputs) has(name string) bool { return in.values[name] != "" }

// text takes an input that must be there.
func (in *inputs) text(name string) string {
	v, ok := in.values[name]
	if !ok {
		in.fail(fmt.Errorf("the input %q is missing", name))
	}
	delete(in.values, name)
	return v
}

// number takes an input without a unit.
func (in *inputs) number(name string) float64 {
	v, err := strconv.ParseFloat(in.text(name), 64)
	if err != nil {
		in.fail(fmt.Errorf("%s: %w", name, err))
	}
	return v
}

// take takes an input that is a quantity.
func take[Q quantity.Quantity](in *inputs, name string) Q {
	q, err := quantity.Parse[Q](in.text(name))
	if err != nil {
		in.fail(fmt.Errorf("%s: %w", name, err))
	}
	return q
}

// takeOr takes an input that is a quantity, or the given one where it is not there.
func takeOr[Q quantity.Quantity](in *inputs, name string, missing Q) Q {
	if !in.has(name) {
		return missing
	}
	return take[Q](in, name)
}

// liquid is what a pure constituent and a blend have in common.
type liquid interface {
	Density(quantity.Temperature) quantity.Density
	Viscosity(quantity.Temperature) quantity.Viscosity
	VapourPressure(quantity.Temperature) quantity.Pressure
	LHV() quantity.SpecificEnergy
	HHV() quantity.SpecificEnergy
	LatentHeat() quantity.SpecificEnergy
}

// liquid takes a constituent by its name, or a blend.
func (in *inputs) liquid() liquid {
	name := in.text("liquid")
	if c, err := fuel.Lookup(name); err == nil {
		return c
	}
	return in.parseBlend(name)
}

func (in *inputs) constituent() fuel.Constituent {
	c, err := fuel.Lookup(in.text("liquid"))
	if err != nil {
		in.fail(err)
	}
	return c
}

// blend takes a blend, given as [fuel.Parse] reads it or by mass as "95 % ethanol +
// 5 % water by mass".
func (in *inputs) blend(name string) fuel.Blend { return in.parseBlend(in.text(name)) }

func (in *inputs) parseBlend(text string) fuel.Blend {
	terms, byMass := strings.CutSuffix(text, " by mass")
	if !byMass {
		b, err := fuel.Parse(text)
		if err != nil {
			in.fail(err)
		}
		return b
	}
	var parts []fuel.MassPart
	for _, term := range strings.Split(terms, "+") {
		percent, name, _ := strings.Cut(term, "%")
		share, err := quantity.Parse[quantity.MassFraction](percent + "%")
		if err != nil {
			in.fail(err)
		}
		parts = append(parts, fuel.MassPart{Name: strings.TrimSpace(name), Fraction: share})
	}
	b, err := fuel.ByMass(parts...)
	if err != nil {
		in.fail(err)
	}
	return b
}

// show answers with a quantity, in the unit of the row.
func show[Q quantity.Quantity](in *inputs, q Q) float64 {
	_, number, _, err := quantity.Scale[Q](in.unit)
	if err != nil {
		in.fail(err)
		return 0
	}
	return number(q)
}

// plain answers with a number whose unit no quantity has; the row has to name it.
func plain(in *inputs, v float64, unit string) float64 {
	if in.unit != unit {
		in.fail(fmt.Errorf("the unit is %q, want %q", in.unit, unit))
	}
	return v
}

// compute runs the calc of a row. Every input has to be used.
func (r row) compute() (float64, error) {
	in := parseInputs(r.inputs, r.unit)
	v := calcs[r.what](in)
	if in.err == nil && len(in.values) > 0 {
		in.err = errors.New("unused inputs: " + strings.Join(slices.Sorted(maps.Keys(in.values)), ", "))
	}
	return v, in.err
}
