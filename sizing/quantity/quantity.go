package quantity

import (
	"fmt"
	"slices"
	"strings"
)

// Quantity is implemented by every quantity type of this package. The
// underlying float64 is the value in the coherent SI unit.
type Quantity interface {
	~float64
	dimension() *dimension
}

// Of returns v units. It is for variables; a constant is written 43.5 * PSI.
func Of[Q Quantity](v float64, unit Q) Q {
	return Q(v * float64(unit))
}

// In returns how many units q holds. The methods of the same name are the
// usual way to call it.
func In[Q Quantity](q, unit Q) float64 {
	return float64(q) / float64(unit)
}

// dimension describes how one kind of quantity is read and printed.
type dimension struct {
	name    string // for messages: "a pressure difference"
	example string // a value Parse accepts
	si, us  string // the symbols that Format prints with
	units   []unit // the first is the coherent SI unit
	foreign map[string]string
	min     float64 // least value accepted by Parse, in SI
	max     float64 // greatest, where it exceeds min; otherwise unlimited
	bounded bool    // whether min, and max where it exceeds min, hold
}

// unit is one unit of a dimension: SI value = zero + scale * number.
type unit struct {
	symbol  string
	scale   float64
	zero    float64
	aliases []string
}

func (u unit) toSI(v float64) float64   { return u.zero + v*u.scale }
func (u unit) fromSI(v float64) float64 { return (v - u.zero) / u.scale }

// unitSpelling folds the spellings of one unit together: spaces and dots go,
// superscripts and signs become ASCII.
var unitSpelling = strings.NewReplacer(
	" ", "", "\u00a0", "", "·", "", "⋅", "", "*", "", ".", "",
	"²", "2", "³", "3", "^", "", "°", "deg", "º", "deg",
	"µ", "u", "μ", "u", "Ω", "ohm", "Ω", "ohm",
)

// find returns the unit with the given symbol or alias. Case matters only
// where it has to (mPa against MPa): an exact match wins, and a match by folded
// case counts when it is the only one.
func (d *dimension) find(text string) (unit, bool) {
	want := unitSpelling.Replace(text)
	var folded []unit
	for _, u := range d.units {
		for _, name := range append([]string{u.symbol}, u.aliases...) {
			name = unitSpelling.Replace(name)
			if name == want {
				return u, true
			}
			if strings.EqualFold(name, want) {
				folded = append(folded, u)
				break
			}
		}
	}
	if len(folded) == 1 {
		return folded[0], true
	}
	return unit{}, false
}

// bySymbol returns the unit that prints as symbol; the tables of this package
// are complete, so a miss is a mistake in them.
func (d *dimension) bySymbol(symbol string) unit {
	i := slices.IndexFunc(d.units, func(u unit) bool { return u.symbol == symbol })
	if i < 0 {
		panic("quantity: no unit " + symbol + " of " + d.name)
	}
	return d.units[i]
}

// symbols lists the printed symbols of every unit.
func (d *dimension) symbols() string {
	list := make([]string, 0, len(d.units))
	for _, u := range d.units {
		if u.symbol != "" {
			list = append(list, u.symbol)
		}
	}
	return strings.Join(list, ", ")
}

// accepted says in one phrase what Parse takes.
func (d *dimension) accepted() string {
	s := fmt.Sprintf("%s such as %q", d.name, d.example)
	if units := d.symbols(); units != "" {
		s += " (units: " + units + ")"
	}
	return s
}

// Accepted says in one phrase what [Parse] takes for a quantity of type Q: its
// name, an example and its units. Error messages and help texts use it.
func Accepted[Q Quantity]() string {
	var q Q
	return q.dimension().accepted()
}

// Symbols returns the printed symbols of every unit that [Parse] reads for Q,
// the coherent SI unit first.
func Symbols[Q Quantity]() []string {
	var q Q
	d := q.dimension()
	list := make([]string, len(d.units))
	for i, u := range d.units {
		list[i] = u.symbol
	}
	return list
}
