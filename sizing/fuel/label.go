package fuel

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Range is the ethanol content, by volume, that a label or a specification
// allows. What is in the tank lies somewhere in it.
type Range struct {
	Name     string
	Min, Max quantity.VolumeFraction
	Source   string
}

// Contains reports whether content lies in the range.
func (r Range) Contains(content quantity.VolumeFraction) bool {
	return content >= r.Min && content <= r.Max
}

var ranges = []Range{
	{"E5", 0, 0.05, "EN 228:2012, petrol with at most 2.7 % oxygen by mass; read in a data sheet that reproduces it"},
	{"E10", 0, 0.10, "EN 228:2012, petrol with at most 3.7 % oxygen by mass; read in a summary"},
	{"E85", 0.51, 0.83, "ASTM D5798-15, all volatility classes; read at the US DOE Alternative Fuels Data Center"},
	{"E85 test fuel", 0.80, 0.83, "40 CFR 1065.725, high-level ethanol test fuel"},
	{"denatured ethanol", 0.921, 1, "ASTM D4806; read in a summary"},
}

// Labelled returns the range of ethanol content behind a label: "E5", "E10",
// "E85", "E85 test fuel" or "denatured ethanol". The error wraps [ErrUnknown] and
// lists these. Note that E85 holds less than 85 %: the number on the label counts
// the denaturant, and winter fuel has more gasoline.
func Labelled(name string) (Range, error) {
	names := make([]string, len(ranges))
	for i, r := range ranges {
		if fold(r.Name) == fold(name) {
			return r, nil
		}
		names[i] = r.Name
	}
	return Range{}, fmt.Errorf("%w: no label %q; known are %s", ErrUnknown, name, strings.Join(names, ", "))
}
