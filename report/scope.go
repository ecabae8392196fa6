package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// scope is the range of one field around a build's own value.
type scope struct {
	name           string // for titles
	field, unit    string
	from, to, step float64
	here           float64
}

// text describes the axis for package sweep.
func (s scope) text() string {
	n := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return fmt.Sprintf("%s = %s..%s %s by %s", s.field, n(s.from), n(s.to), s.unit, n(s.step))
}

// around returns the scope from low to high times a value, in round steps and
// within the limits that a build may have.
func around[Q quantity.Quantity](name, field string, value Q, sys quantity.System, low, high float64, least, most Q) scope {
	s := scope{name: name, field: field, unit: quantity.UnitSymbol[Q](sys), here: quantity.Number(value, sys)}
	s.step = roundStep(s.here * (high - low) / 16)
	lowest, highest := quantity.Number(least, sys), quantity.Number(most, sys)
	// Multiples of the step that the limits leave.
	from := max(math.Floor(s.here*low/s.step), math.Ceil(lowest/s.step))
	to := min(math.Ceil(s.here*high/s.step), math.Floor(highest/s.step))
	s.from, s.to = rounded(from*s.step, s.step), rounded(to*s.step, s.step)
	return s
}

// roundStep returns the round number, 1, 2 or 5 times a power of ten, next to v.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if v <= m*power*1.2 {
			return m * power
		}
	}
	return 10 * power
}

// rounded takes the noise off a multiple of a step.
func rounded(v, step float64) float64 {
	decimals := max(0, -int(math.Floor(math.Log10(step))))
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
	if err != nil {
		return v
	}
	return r
}

func driveAxis(a *sizing.Assessment) scope {
	b, sys := a.Build, a.Build.Job.Units
	if b.Induction.Kind.Boosted() {
		return around("boost", "boost", b.Induction.Boost, sys, 0.5, 1.5, 0.1*quantity.PSI, 100*quantity.PSI)
	}
	return around("power", "power", a.Power, sys, 0.6, 1.5, 1*quantity.Horsepower, 5000*quantity.Horsepower)
}

func pressureAxis(a *sizing.Assessment) scope {
	return around("base pressure", "base pressure", a.Build.Regulator.BasePressure, a.Build.Job.Units, 0.7, 1.6, 10*quantity.PSI, 150*quantity.PSI)
}

func lambdaAxis(a *sizing.Assessment) scope {
	return around("lambda", "lambda", a.Build.Target.Lambda, a.Build.Job.Units, 0.8, 1.2, 0.6, 1.2)
}

// contentAxis returns the scope of ethanol content, where the fuel is of gasoline
// and ethanol alone.
func contentAxis(a *sizing.Assessment) (scope, bool) {
	f := a.Build.Fuel.Blend
	if slices.ContainsFunc(f.Constituents(), func(c fuel.Constituent) bool { return c.Name() != "gasoline" && c.Name() != "ethanol" }) {
		return scope{}, false
	}
	s := scope{name: "ethanol content", field: "ethanol", unit: "%", to: 85, step: 5, here: 100 * float64(f.EthanolContent())}
	if s.here > 80 {
		s.to = 100
	}
	return s, true
}
