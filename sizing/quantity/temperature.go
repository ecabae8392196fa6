package quantity

// Temperature is an absolute (thermodynamic) temperature in kelvins. A reading
// on another scale is turned into one by a function, never by a factor:
// [Celsius] and [Fahrenheit].
type Temperature float64

// Units of [Temperature].
const (
	Kelvin Temperature = 1
)

var temperatureUnits = &dimension{
	name: "a temperature", example: "38 degC",
	si: "°C", us: "°F",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "K", scale: 1, aliases: []string{"kelvin"}},
		{symbol: "°C", scale: 1, zero: 273.15, aliases: []string{"C", "celsius"}},
		{symbol: "°F", scale: 5.0 / 9, zero: 459.67 * 5 / 9, aliases: []string{"F", "fahrenheit"}},
	},
}

// In returns t as a number of the given unit.
func (t Temperature) In(unit Temperature) float64 { return In(t, unit) }

// String prints t in metric units, as [Format] does.
func (t Temperature) String() string { return Format(t, SI) }

// MarshalText writes t in its coherent SI unit with every digit.
func (t Temperature) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText reads t as [Parse] does.
func (t *Temperature) UnmarshalText(text []byte) error { return unmarshal(t, text) }

func (Temperature) dimension() *dimension { return temperatureUnits }

// Celsius returns the temperature that reads c degrees Celsius (ITS-90 zero at
// 273.15 K, exact).
func Celsius(c float64) Temperature { return Temperature(c + 273.15) }

// Fahrenheit returns the temperature that reads f degrees Fahrenheit.
func Fahrenheit(f float64) Temperature { return Temperature((f + 459.67) * 5 / 9) }

// Celsius returns the reading in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) - 273.15 }

// Fahrenheit returns the reading in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return float64(t)*9/5 - 459.67 }

// Less returns the difference of t over from.
func (t Temperature) Less(from Temperature) TemperatureDiff { return TemperatureDiff(t - from) }

// Plus returns t raised by d.
func (t Temperature) Plus(d TemperatureDiff) Temperature { return t + Temperature(d) }

// TemperatureDiff is a difference of two temperatures in kelvins.
type TemperatureDiff float64

// Units of [TemperatureDiff].
const (
	KelvinDiff     TemperatureDiff = 1
	FahrenheitDiff TemperatureDiff = 5.0 / 9
)

var temperatureDiffUnits = &dimension{
	name: "a temperature difference", example: "10 K",
	si: "K", us: "°F",
	units: []unit{
		{symbol: "K", scale: 1, aliases: []string{"°C", "C", "kelvin"}},
		{symbol: "°F", scale: 5.0 / 9, aliases: []string{"F"}},
	},
}

// In returns t as a number of the given unit.
func (t TemperatureDiff) In(unit TemperatureDiff) float64 { return In(t, unit) }

// String prints t in metric units, as [Format] does.
func (t TemperatureDiff) String() string { return Format(t, SI) }

// MarshalText writes t in its coherent SI unit with every digit.
func (t TemperatureDiff) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText reads t as [Parse] does.
func (t *TemperatureDiff) UnmarshalText(text []byte) error { return unmarshal(t, text) }

func (TemperatureDiff) dimension() *dimension { return temperatureDiffUnits }
