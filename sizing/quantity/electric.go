package quantity

// Voltage is an electric potential difference in volts.
type Voltage float64

// Units of [Voltage].
const (
	Volt      Voltage = 1
	Millivolt Voltage = 1e-3
)

var voltageUnits = &dimension{
	name: "a voltage", example: "13.5 V",
	si: "V", us: "V",
	units: []unit{
		{symbol: "V", scale: float64(Volt), aliases: []string{"volt", "volts"}},
		{symbol: "mV", scale: float64(Millivolt)},
	},
}

// In returns v as a number of the given unit.
func (v Voltage) In(unit Voltage) float64 { return In(v, unit) }

// String prints v in metric units, as [Format] does.
func (v Voltage) String() string { return Format(v, SI) }

// MarshalText writes v in its coherent SI unit with every digit.
func (v Voltage) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads v as [Parse] does.
func (v *Voltage) UnmarshalText(text []byte) error { return unmarshal(v, text) }

func (Voltage) dimension() *dimension { return voltageUnits }

// Power returns the electric power of current c at voltage v.
func (v Voltage) Power(c Current) Power { return Power(float64(v) * float64(c)) }

// Current is an electric current in amperes.
type Current float64

// Units of [Current].
const (
	Ampere      Current = 1
	Milliampere Current = 1e-3
)

var currentUnits = &dimension{
	name: "a current", example: "12 A",
	si: "A", us: "A",
	units: []unit{
		{symbol: "A", scale: float64(Ampere), aliases: []string{"amp", "amps"}},
		{symbol: "mA", scale: float64(Milliampere)},
	},
}

// In returns c as a number of the given unit.
func (c Current) In(unit Current) float64 { return In(c, unit) }

// String prints c in metric units, as [Format] does.
func (c Current) String() string { return Format(c, SI) }

// MarshalText writes c in its coherent SI unit with every digit.
func (c Current) MarshalText() ([]byte, error) { return marshal(c) }

// UnmarshalText reads c as [Parse] does.
func (c *Current) UnmarshalText(text []byte) error { return unmarshal(c, text) }

func (Current) dimension() *dimension { return currentUnits }

// Resistance is an electric resistance in ohms.
type Resistance float64

// Units of [Resistance].
const (
	Ohm      Resistance = 1
	Milliohm Resistance = 1e-3
)

var resistanceUnits = &dimension{
	name: "a resistance", example: "12 ohm",
	si: "Ω", us: "Ω",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "Ω", scale: float64(Ohm), aliases: []string{"ohms"}},
		{symbol: "mΩ", scale: float64(Milliohm), aliases: []string{"mohms"}},
	},
}

// In returns r as a number of the given unit.
func (r Resistance) In(unit Resistance) float64 { return In(r, unit) }

// String prints r in metric units, as [Format] does.
func (r Resistance) String() string { return Format(r, SI) }

// MarshalText writes r in its coherent SI unit with every digit.
func (r Resistance) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText reads r as [Parse] does.
func (r *Resistance) UnmarshalText(text []byte) error { return unmarshal(r, text) }

func (Resistance) dimension() *dimension { return resistanceUnits }
