package plumbing

import (
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// SpecificHeat is the heat that warms a mass of liquid, in joules per kilogram and
// kelvin.
type SpecificHeat float64

// Units of [SpecificHeat].
const (
	JoulePerKilogramKelvin     SpecificHeat = 1
	KilojoulePerKilogramKelvin SpecificHeat = 1e3
	BtuPerPoundFahrenheit      SpecificHeat = 4186.8 // International Table Btu
)

// In returns c as a number of the given unit.
func (c SpecificHeat) In(unit SpecificHeat) float64 { return float64(c / unit) }

// String prints c in kJ/(kg·K) with four digits.
func (c SpecificHeat) String() string {
	return quantity.Digits(c.In(KilojoulePerKilogramKelvin), 4) + " kJ/(kg·K)"
}

// specificHeats at 25 °C. Gasoline: Sonntag, Borgnakke and Van Wylen, Fundamentals of
// Thermodynamics, as amesweb.info repeats it; other tables have up to 2.22. The
// rest are molar heat capacities of the CRC Handbook over molar mass: toluene and
// water read in the data of the chemicals library (C. Bell), the others from memory.
var specificHeats = map[string]SpecificHeat{
	"gasoline":  2.08 * KilojoulePerKilogramKelvin,
	"ethanol":   112.3 / 46.07 * KilojoulePerKilogramKelvin,
	"methanol":  81.1 / 32.04 * KilojoulePerKilogramKelvin,
	"water":     75.3 / 18.02 * KilojoulePerKilogramKelvin,
	"isooctane": 239.1 / 114.23 * KilojoulePerKilogramKelvin,
	"n-heptane": 224.7 / 100.2 * KilojoulePerKilogramKelvin,
	"toluene":   157.3 / 92.14 * KilojoulePerKilogramKelvin,
}

// UsualSpecificHeat stands for a liquid whose specific heat is not in the table:
// common practice for fuels, no source.
const UsualSpecificHeat = 2.1 * KilojoulePerKilogramKelvin

// SpecificHeatOf returns the specific heat of a liquid blend at 25 °C: the mass
// average of its constituents', and whether all of them are in the table. It rises
// by 0.2 to 0.4 % per kelvin (from memory), which is left out, as is the heat of
// mixing. It allocates: find it once.
func SpecificHeatOf(b fuel.Blend) (c SpecificHeat, known bool) {
	return heatOf(b.Parts())
}

func heatOf(parts []fuel.MassPart) (c SpecificHeat, known bool) {
	known = len(parts) > 0
	for _, p := range parts {
		of, ok := specificHeats[p.Name]
		if !ok {
			of, known = UsualSpecificHeat, false
		}
		c += SpecificHeat(float64(p.Fraction) * float64(of))
	}
	return c, known
}
