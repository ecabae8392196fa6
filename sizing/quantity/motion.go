package quantity

import "math"

// AngularSpeed is a speed of rotation in radians per second.
type AngularSpeed float64

// Units of [AngularSpeed].
const (
	RadianPerSecond AngularSpeed = 1
	RPM             AngularSpeed = 2 * math.Pi / 60 // revolution per minute
)

var angularSpeedUnits = &dimension{
	name: "a speed of rotation", example: "7200 rpm",
	si: "rpm", us: "rpm",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "rad/s", scale: float64(RadianPerSecond)},
		{symbol: "rpm", scale: float64(RPM), aliases: []string{"r/min", "1/min", "min-1", "rev/min"}},
	},
}

// In returns a as a number of the given unit.
func (a AngularSpeed) In(unit AngularSpeed) float64 { return In(a, unit) }

// String prints a in metric units, as [Format] does.
func (a AngularSpeed) String() string { return Format(a, SI) }

// MarshalText writes a in its coherent SI unit with every digit.
func (a AngularSpeed) MarshalText() ([]byte, error) { return marshal(a) }

// UnmarshalText reads a as [Parse] does.
func (a *AngularSpeed) UnmarshalText(text []byte) error { return unmarshal(a, text) }

func (AngularSpeed) dimension() *dimension { return angularSpeedUnits }

// Velocity is a speed in metres per second.
type Velocity float64

// Units of [Velocity].
const (
	MetrePerSecond   Velocity = 1
	KilometrePerHour Velocity = 1 / 3.6
	FootPerSecond    Velocity = 0.3048
	MilePerHour      Velocity = 0.44704
)

var velocityUnits = &dimension{
	name: "a velocity", example: "2.5 m/s",
	si: "m/s", us: "ft/s",
	units: []unit{
		{symbol: "m/s", scale: float64(MetrePerSecond)},
		{symbol: "km/h", scale: float64(KilometrePerHour), aliases: []string{"kph"}},
		{symbol: "ft/s", scale: float64(FootPerSecond), aliases: []string{"fps"}},
		{symbol: "mph", scale: float64(MilePerHour), aliases: []string{"mi/h"}},
	},
}

// In returns v as a number of the given unit.
func (v Velocity) In(unit Velocity) float64 { return In(v, unit) }

// String prints v in metric units, as [Format] does.
func (v Velocity) String() string { return Format(v, SI) }

// MarshalText writes v in its coherent SI unit with every digit.
func (v Velocity) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads v as [Parse] does.
func (v *Velocity) UnmarshalText(text []byte) error { return unmarshal(v, text) }

func (Velocity) dimension() *dimension { return velocityUnits }

// Acceleration is an acceleration in metres per second squared.
type Acceleration float64

// Units of [Acceleration].
const (
	MetrePerSecondSquared Acceleration = 1
	StandardGravity       Acceleration = 9.80665 // exact, 3rd CGPM 1901
)

var accelerationUnits = &dimension{
	name: "an acceleration", example: "1.1 g",
	si: "m/s²", us: "g",
	units: []unit{
		{symbol: "m/s²", scale: float64(MetrePerSecondSquared)},
		{symbol: "g", scale: float64(StandardGravity), aliases: []string{"gn", "G"}},
	},
}

// In returns a as a number of the given unit.
func (a Acceleration) In(unit Acceleration) float64 { return In(a, unit) }

// String prints a in metric units, as [Format] does.
func (a Acceleration) String() string { return Format(a, SI) }

// MarshalText writes a in its coherent SI unit with every digit.
func (a Acceleration) MarshalText() ([]byte, error) { return marshal(a) }

// UnmarshalText reads a as [Parse] does.
func (a *Acceleration) UnmarshalText(text []byte) error { return unmarshal(a, text) }

func (Acceleration) dimension() *dimension { return accelerationUnits }
