package table

import (
	"slices"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Column is the head of one column.
type Column struct {
	Name string // without its unit; empty where the header has none
	Unit string // as written; empty where none was
	Head string // as it stands in the header
}

// brackets that units stand in.
var brackets = map[byte]byte{')': '(', ']': '[', '}': '{'}

// headOf takes a unit off a name, where one stands in brackets behind it, as in
// "RPM (1/min)" and "Boost [kPa]", or behind its last stroke, as in "t/ms". What is no
// unit stays in the name.
func headOf(text string) Column {
	text = strings.Join(strings.Fields(text), " ")
	c := Column{Name: text, Head: text}
	if text == "" {
		return c
	}
	if opening, ok := brackets[text[len(text)-1]]; ok {
		inner := strings.LastIndexByte(text, opening)
		if balanced := strings.IndexByte(text, opening); opening == '(' && balanced >= 0 && IsUnit(text[balanced+1:len(text)-1]) {
			inner = balanced // kg/(kW h)
		}
		if inner > 0 && IsUnit(text[inner+1:len(text)-1]) {
			c.Name, c.Unit = strings.TrimSpace(text[:inner]), unitOf(text[inner+1:len(text)-1])
		}
		return c
	}
	if i := strings.LastIndexByte(text, '/'); i > 0 && i < len(text)-1 {
		// "n/1/min" has a unit with a stroke of its own.
		if j := strings.IndexByte(text, '/'); j > 0 && IsUnit(text[j+1:]) {
			i = j
		}
		if unit := strings.TrimSpace(text[i+1:]); IsUnit(unit) {
			c.Name, c.Unit = strings.TrimSpace(text[:i]), unitOf(unit)
		}
	}
	return c
}

// unitOf returns a unit as written, without the signs that stand for none.
func unitOf(text string) string {
	text = strings.TrimSpace(text)
	if slices.Contains(plain, strings.ToLower(text)) {
		return ""
	}
	return text
}

// plain are the signs of columns without a unit.
var plain = []string{"", "-", "--", "1", "none", "n/a", "λ", "lambda", "la", "afr", "ratio", "state", "bool", "on/off", "count", "text"}

// others are units of columns that no log of pulls is read for.
var others = []string{"deg", "°", "degca", "°ca", "°btdc", "hz", "khz", "1/s", "mg", "mg/cyc", "mg/str", "g/s", "h:min:s", "hh:mm:ss", "m:s", "mm:ss", "date", "unix", "epoch", "g", "%/s", "ppm", "db", "bit", "byte", "a", "w"}

// IsUnit reports whether a text is how a column tells its unit, or that it has none.
func IsUnit(text string) bool {
	text = strings.TrimSpace(text)
	folded := strings.ToLower(strings.ReplaceAll(text, " ", ""))
	if slices.Contains(plain, folded) || slices.Contains(others, folded) {
		return true
	}
	for _, known := range []func(string) bool{
		unitIn[quantity.Time], unitIn[quantity.AngularSpeed], unitIn[quantity.Pressure], unitIn[quantity.PressureDiff],
		unitIn[quantity.VolumeFraction], unitIn[quantity.MassFraction], unitIn[quantity.Temperature], unitIn[quantity.Voltage], unitIn[quantity.Current],
		unitIn[quantity.CrankPower], unitIn[quantity.WheelPower], unitIn[quantity.Torque], unitIn[quantity.MassFlow], unitIn[quantity.VolumeFlow],
		unitIn[quantity.Velocity], unitIn[quantity.Acceleration], unitIn[quantity.Length], unitIn[quantity.SpecificConsumption],
	} {
		if known(text) {
			return true
		}
	}
	return false
}

func unitIn[Q quantity.Quantity](text string) bool {
	_, _, _, err := quantity.Scale[Q](text)
	return err == nil && text != ""
}

// columnsOf joins names and units. Empty names at the end belong to trailing
// delimiters.
func columnsOf(names, units []string) []Column {
	for len(names) > 0 && names[len(names)-1] == "" && (len(units) < len(names) || units[len(names)-1] == "") {
		names = names[:len(names)-1]
	}
	list := make([]Column, len(names))
	for i, name := range names {
		list[i] = headOf(name)
		if i < len(units) && units[i] != "" {
			list[i] = Column{Name: list[i].Head, Unit: unitOf(strings.Trim(units[i], "()[]{} ")), Head: list[i].Head}
		}
	}
	return list
}
