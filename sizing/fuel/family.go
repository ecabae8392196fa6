package fuel

import (
	"fmt"
	"slices"
)

// Family is the kind of liquid that a constituent is.
type Family string

// The families. Every grade of gasoline is one species of the family [Gasoline].
const (
	Gasoline    Family = "gasoline"
	Hydrocarbon Family = "hydrocarbon" // a pure compound of carbon and hydrogen
	Alcohol     Family = "alcohol"
	Ether       Family = "ether"
	Water       Family = "water"
)

var families = []Family{Gasoline, Hydrocarbon, Alcohol, Ether, Water}

// parseFamily reads the name of a family as the table writes it.
func parseFamily(text string) (Family, error) {
	if f := Family(text); slices.Contains(families, f) {
		return f, nil
	}
	return "", fmt.Errorf("%q is none of %q", text, families)
}

// polar reports whether the liquids of f meet hydrocarbons far from ideally.
// Ethers do not: the vapour pressure of gasoline changes in a straight line with
// its content of ETBE (SAE 901114, abstract).
func (f Family) polar() bool { return f == Alcohol || f == Water }

// fits reports whether a molecule may belong to f.
func (f Family) fits(a Atoms) bool {
	switch f {
	case Gasoline, Hydrocarbon:
		return a.C > 0 && a.O == 0
	case Water:
		return a.C == 0 && a.O > 0
	default:
		return a.C > 0 && a.O > 0
	}
}

// Family returns the kind of liquid; it is empty for the zero Constituent.
func (c Constituent) Family() Family { return c.get().family }

// share returns the part of the volume at [Reference] that the families in
// question hold.
func (b *Blend) share(in func(Family) bool) float64 {
	var sum float64
	for _, i := range b.present() {
		if in(b.table.species[i].family) {
			sum += b.volume[i]
		}
	}
	return sum
}
