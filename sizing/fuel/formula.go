package fuel

import (
	"fmt"
	"strconv"
	"strings"
)

// Standard atomic weights in kg/mol: IUPAC, abridged to five figures (from
// memory).
const (
	weightC = 12.011e-3
	weightH = 1.008e-3
	weightO = 15.999e-3
)

// Atoms counts the atoms of carbon, hydrogen and oxygen in one molecule. The
// counts of gasoline are means and no whole numbers.
type Atoms struct{ C, H, O float64 }

// molarMass returns the mass of one mole in kilograms.
func (a Atoms) molarMass() float64 { return a.C*weightC + a.H*weightH + a.O*weightO }

// parseFormula reads a molecular formula of carbon, hydrogen and oxygen, such as
// "C2H6O" or "C7.4H13.838".
func parseFormula(text string) (Atoms, error) {
	fail := fmt.Errorf("%q is no formula of C, H and O such as C2H6O", text)
	var a Atoms
	for rest := text; rest != ""; {
		count := map[byte]*float64{'C': &a.C, 'H': &a.H, 'O': &a.O}[rest[0]]
		if count == nil || *count != 0 {
			return Atoms{}, fail
		}
		rest = rest[1:]
		n := strings.IndexAny(rest, "CHO")
		if n < 0 {
			n = len(rest)
		}
		*count = 1
		if n > 0 {
			v, err := strconv.ParseFloat(rest[:n], 64)
			if err != nil || !(v > 0 && v < 100) {
				return Atoms{}, fail
			}
			*count = v
		}
		rest = rest[n:]
	}
	if a.H == 0 {
		return Atoms{}, fail // every liquid of the table holds hydrogen
	}
	return a, nil
}
