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
)

// String returns "SI" or "US".
func (s System) String() string {
	if s == US {
		return "US"
	}
	return "SI"
}

// MarshalText writes "SI" or "US".
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads "SI" or "US" in any case.
func (s *System) UnmarshalText(text []byte) error {
	switch strings.ToUpper(string(text)) {
	case "SI":
		*s = SI
	case "US":
		*s = US
	default:
		return &ParseError{Text: string(text), Reason: "unknown unit system", Accepted: `"SI" or "US"`, Err: ErrSyntax}
	}
	return nil
}

func (d *dimension) printUnit(s System) unit {
	if s == US {
		return d.bySymbol(d.us)
	}
	return d.bySymbol(d.si)
}

// Format prints q with four significant digits and the unit that system s uses
// for its kind: Format(3*BarDiff, US) is "43.51 psi". [FormatIn] chooses
// another unit.
func Format[Q Quantity](q Q, s System) string {
	return render(float64(q), q.dimension().printUnit(s))
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

// UnitSymbol returns the symbol that [Format] prints for Q in system s.
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
