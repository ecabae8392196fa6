package quantity

import "strconv"

// Ratio is a number without a dimension: lambda, a duty cycle, an efficiency, an
// air-fuel ratio, a margin.
type Ratio float64

var ratioUnits = &dimension{
	name: "a number or a percentage", example: "85 %",
	si: "", us: "",
	units: []unit{
		{symbol: "", scale: 1},
		{symbol: "%", scale: 0.01, aliases: []string{"percent", "pct"}},
	},
}

// In returns r as a number of the given unit.
func (r Ratio) In(unit Ratio) float64 { return In(r, unit) }

// String prints r in metric units, as [Format] does.
func (r Ratio) String() string { return Format(r, SI) }

// MarshalText writes r in its coherent SI unit with every digit.
func (r Ratio) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText reads r as [Parse] does.
func (r *Ratio) UnmarshalText(text []byte) error { return unmarshal(r, text) }

func (Ratio) dimension() *dimension { return ratioUnits }

// VolumeFraction is the share of a volume, from 0 to 1, at a temperature that the
// context states. It is not a mass fraction: the densities lie between them.
type VolumeFraction float64

var volumeFractionUnits = &dimension{
	name: "a volume fraction", example: "70 %",
	si: "%", us: "%",
	bounded: true, min: 0, max: 1,
	units: []unit{
		{symbol: "", scale: 1},
		{symbol: "%", scale: 0.01, aliases: []string{"vol%", "vol %", "%vol", "% v/v", "percent"}},
	},
}

// In returns v as a number of the given unit.
func (v VolumeFraction) In(unit VolumeFraction) float64 { return In(v, unit) }

// String prints v in metric units, as [Format] does.
func (v VolumeFraction) String() string { return Format(v, SI) }

// MarshalText writes v in its coherent SI unit with every digit.
func (v VolumeFraction) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads v as [Parse] does.
func (v *VolumeFraction) UnmarshalText(text []byte) error { return unmarshal(v, text) }

func (VolumeFraction) dimension() *dimension { return volumeFractionUnits }

// MassFraction is the share of a mass, from 0 to 1.
type MassFraction float64

var massFractionUnits = &dimension{
	name: "a mass fraction", example: "86 %",
	si: "%", us: "%",
	bounded: true, min: 0, max: 1,
	units: []unit{
		{symbol: "", scale: 1},
		{symbol: "%", scale: 0.01, aliases: []string{"mass%", "% m/m", "wt%", "percent"}},
	},
}

// In returns m as a number of the given unit.
func (m MassFraction) In(unit MassFraction) float64 { return In(m, unit) }

// String prints m in metric units, as [Format] does.
func (m MassFraction) String() string { return Format(m, SI) }

// MarshalText writes m in its coherent SI unit with every digit.
func (m MassFraction) MarshalText() ([]byte, error) { return marshal(m) }

// UnmarshalText reads m as [Parse] does.
func (m *MassFraction) UnmarshalText(text []byte) error { return unmarshal(m, text) }

func (MassFraction) dimension() *dimension { return massFractionUnits }

// Percent prints r as a percentage with the given number of decimals.
func (r Ratio) Percent(decimals int) string {
	return strconv.FormatFloat(100*float64(r), 'f', decimals, 64) + " %"
}
