package plumbing

import (
	"strings"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// specificHeats at 25 °C. Gasoline: Sonntag, Borgnakke and Van Wylen, Fundamentals of
// Thermodynamics, as amesweb.info repeats it; other tables have up to 2.22. The
// rest are molar heat capacities of the CRC Handbook over molar mass: toluene and
// water read in the data of the chemicals library (C. Bell), the others from memory.
// The grades of gasoline are taken as the mean one.
var specificHeats = map[string]quantity.SpecificHeat{
	"gasoline":  2.08 * quantity.KilojoulePerKilogramKelvin,
	"ethanol":   112.3 / 46.07 * quantity.KilojoulePerKilogramKelvin,
	"methanol":  81.1 / 32.04 * quantity.KilojoulePerKilogramKelvin,
	"water":     75.3 / 18.02 * quantity.KilojoulePerKilogramKelvin,
	"isooctane": 239.1 / 114.23 * quantity.KilojoulePerKilogramKelvin,
	"n-heptane": 224.7 / 100.2 * quantity.KilojoulePerKilogramKelvin,
	"toluene":   157.3 / 92.14 * quantity.KilojoulePerKilogramKelvin,
	"MTBE":      187.5 / 88.15 * quantity.KilojoulePerKilogramKelvin,
}

// UsualSpecificHeat stands for a liquid whose specific heat is not in the table:
// common practice for fuels, no source.
const UsualSpecificHeat = 2.1 * quantity.KilojoulePerKilogramKelvin

// SpecificHeatOf returns the specific heat of a liquid blend at 25 °C: the mass
// average of its constituents', and whether all of them are in the table. It rises
// by 0.2 to 0.4 % per kelvin (from memory), which is left out, as is the heat of
// mixing. It allocates: find it once.
func SpecificHeatOf(b fuel.Blend) (c quantity.SpecificHeat, known bool) {
	return heatOf(b.Parts())
}

func heatOf(parts []fuel.MassPart) (c quantity.SpecificHeat, known bool) {
	known = len(parts) > 0
	for _, p := range parts {
		of, ok := specificHeats[p.Name]
		if grade := strings.HasSuffix(p.Name, " gasoline"); grade {
			of, ok = specificHeats["gasoline"], true
		}
		if !ok {
			of, known = UsualSpecificHeat, false
		}
		c += quantity.SpecificHeat(float64(p.Fraction) * float64(of))
	}
	return c, known
}
