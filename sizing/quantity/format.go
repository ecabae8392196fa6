package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is a choice of units for printing. Reading always takes every unit.
type System uint8

const (
	// SI prints metric units: kPa, kW, g/s, cm³/min, °C.
	SI System = iota
	// US prints the units of the United States trade: psi, hp, lb/h, °F.
	US
	// SIThenUS prints SI and behind it, in brackets, US where that reads otherwise. What
	// has room for one number only, such as an axis, is in SI.
	SIThenUS
	// USThenSI is the same the other way round.
	USThenSI
)

var systems = [...]string{SI: "SI", US: "US", SIThenUS: "SI (US)", USThenSI: "US (SI)"}

// String returns "SI", "US", "SI (US)" or "US (SI)".
func (s System) String() string {
	if int(s) < len(systems) {
		return systems[s]
	}
	return systems[SI]
}

// MarshalText writes String.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the words of String, or "both" for "SI (US)", in any case.
func (s *System) UnmarshalText(text []byte) error {
	for i, name := range append(systems[:], "both") {
		if strings.EqualFold(strings.ReplaceAll(string(text), " ", ""), strings.ReplaceAll(name, " ", "")) {
			*s = System(i)
			if i == len(systems) {
				*s = SIThenUS
			}
			return nil
		}
	}
	return &ParseError{Text: string(text), Reason: "unknown unit system", Accepted: System(0).Accepts(), Err: ErrSyntax}
}

// Accepts says what UnmarshalText takes.
func (System) Accepts() string { return `"SI", "US", "both" (SI, US in brackets) or "US (SI)"` }

// First returns SI or US: the one of s, or the first of both.
func (s System) First() System {
	if s == US || s == USThenSI {
		return US
	}
	return SI
}

// Each returns what print prints in the system of s. Where s is both it is what print
// prints in the first, and in brackets what it prints in the second unless that is the
// same.
func (s System) Each(print func(System) string) string {
	first := print(s.First())
	if s != SIThenUS && s != USThenSI {
		return first
	}
	if second := print(SI + US - s.First()); second != first {
		return first + " (" + second + ")"
	}
	return first
}

func (d *dimension) printUnit(s System) unit {
	if s.First() == US {
		return d.bySymbol(d.us)
	}
	return d.bySymbol(d.si)
}

// Format prints q with four significant digits and the unit that system s uses
// for its kind: Format(3*BarDiff, US) is "43.51 psi", in SIThenUS "300 kPa (43.51 psi)".
// [FormatIn] chooses another unit.
func Format[Q Quantity](q Q, s System) string {
	return s.Each(func(s System) string { return render(float64(q), q.dimension().printUnit(s)) })
}

// FormatIn prints q with four significant digits in the given unit, which must
// be one of the package's unit constants: FormatIn(f, PoundPerHour). A value
// that is no such constant panics. Temperatures have no unit constants; use
// [Format].
func FormatIn[Q Quantity](q, in Q) string {
	return render(float64(q), unitOf(in))
}

// Symbol returns the printed symbol of a unit constant: Symbol(PSI) is "psi". A
// value that is no unit constant panics.
func Symbol[Q Quantity](in Q) string { return unitOf(in).symbol }

func unitOf[Q Quantity](in Q) unit {
	d := in.dimension()
	for _, u := range d.units {
		if u.scale == float64(in) && u.zero == 0 {
			return u
		}
	}
	panic(fmt.Sprintf("quantity: %v is not a unit of %s", float64(in), d.name))
}

// UnitSymbol returns the symbol that [Format] prints for Q in system s, the first where s
// is both.
func UnitSymbol[Q Quantity](s System) string {
	var q Q
	return q.dimension().printUnit(s).symbol
}

// Number returns q as a plain number in the unit that [Format] prints for
// system s. Axes and table columns use it beside [UnitSymbol].
func Number[Q Quantity](q Q, s System) float64 {
	return q.dimension().printUnit(s).fromSI(float64(q))
}

// Numbers does to a column what [Number] does to one quantity: it turns values in the
// coherent SI unit of Q into plain numbers, in place and to the last bit the same.
func Numbers[Q Quantity](column []float64, s System) {
	var q Q
	u := q.dimension().printUnit(s)
	if u.zero == 0 {
		for i := range column {
			column[i] /= u.scale
		}
		return
	}
	for i, v := range column {
		column[i] = u.fromSI(v)
	}
}

// FromNumber is the inverse of [Number].
func FromNumber[Q Quantity](v float64, s System) Q {
	var q Q
	return Q(q.dimension().printUnit(s).toSI(v))
}

func render(si float64, u unit) string {
	text := Digits(u.fromSI(si), 4)
	if u.symbol == "" {
		return text
	}
	return text + " " + u.symbol
}

// Digits prints v with the given number of significant digits, without an
// exponent between 1e-4 and 1e9, and without trailing zeros. Digits left of the
// point are never rounded away: Digits(14159.6, 4) is "14160".
func Digits(v float64, significant int) string {
	abs := math.Abs(v)
	switch {
	case v == 0:
		return "0" // also for minus zero
	case math.IsNaN(v) || math.IsInf(v, 0), abs < 1e-4, abs >= 1e9:
		return strconv.FormatFloat(v, 'g', significant, 64)
	}
	decimals := max(0, significant-1-int(math.Floor(math.Log10(abs))))
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}
