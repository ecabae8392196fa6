package quantity

// Power is electric power or a flow of heat in watts. It is not the power of an
// engine, [CrankPower] and [WheelPower]. A flow of heat that leaves is negative;
// text has to be the amount.
type Power float64

// Units of [Power].
const (
	WattPower     Power = 1
	KilowattPower Power = 1e3
	BtuPerHour    Power = 1055.05585262 / 3600 // International Table Btu
)

var powerUnits = &dimension{
	name: "an electric power or a flow of heat", example: "300 W",
	si: "W", us: "W",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "W", scale: float64(WattPower)},
		{symbol: "kW", scale: float64(KilowattPower)},
		{symbol: "Btu/h", scale: float64(BtuPerHour), aliases: []string{"Btu/hr", "BTUH"}},
	},
	foreign: map[string]string{
		"hp":  "the power of an engine cannot stand for electric power or a flow of heat",
		"HP":  "the power of an engine cannot stand for electric power or a flow of heat",
		"bhp": "the power of an engine cannot stand for electric power or a flow of heat",
		"whp": "the power of an engine cannot stand for electric power or a flow of heat",
		"PS":  "the power of an engine cannot stand for electric power or a flow of heat",
	},
}

// In returns p as a number of the given unit.
func (p Power) In(unit Power) float64 { return In(p, unit) }

// String prints p in metric units, as [Format] does.
func (p Power) String() string { return Format(p, SI) }

// MarshalText writes p in its coherent SI unit with every digit.
func (p Power) MarshalText() ([]byte, error) { return marshal(p) }

// UnmarshalText reads p as [Parse] does.
func (p *Power) UnmarshalText(text []byte) error { return unmarshal(p, text) }

func (Power) dimension() *dimension { return powerUnits }

// SpecificHeat is the heat that warms a mass by a difference of temperature, in
// joules per kilogram and kelvin.
type SpecificHeat float64

// Units of [SpecificHeat].
const (
	JoulePerKilogramKelvin     SpecificHeat = 1
	KilojoulePerKilogramKelvin SpecificHeat = 1e3
	BtuPerPoundFahrenheit      SpecificHeat = 4186.8 // International Table Btu
)

var specificHeatUnits = &dimension{
	name: "a specific heat", example: "2.1 kJ/(kg K)",
	si: "kJ/(kg·K)", us: "Btu/(lb·°F)",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "J/(kg·K)", scale: float64(JoulePerKilogramKelvin), aliases: []string{"J/kg/K", "J/kgK", "J/kg-K", "J/(kg °C)"}},
		{symbol: "kJ/(kg·K)", scale: float64(KilojoulePerKilogramKelvin), aliases: []string{"kJ/kg/K", "kJ/kgK", "kJ/kg-K", "kJ/(kg °C)"}},
		{symbol: "Btu/(lb·°F)", scale: float64(BtuPerPoundFahrenheit), aliases: []string{"Btu/lb/°F", "Btu/lb°F", "Btu/lb-°F", "Btu/(lb F)", "Btu/lb/F", "Btu/lbF", "Btu/lb-F"}},
	},
}

// In returns s as a number of the given unit.
func (s SpecificHeat) In(unit SpecificHeat) float64 { return In(s, unit) }

// String prints s in metric units, as [Format] does.
func (s SpecificHeat) String() string { return Format(s, SI) }

// MarshalText writes s in its coherent SI unit with every digit.
func (s SpecificHeat) MarshalText() ([]byte, error) { return marshal(s) }

// UnmarshalText reads s as [Parse] does.
func (s *SpecificHeat) UnmarshalText(text []byte) error { return unmarshal(s, text) }

func (SpecificHeat) dimension() *dimension { return specificHeatUnits }
