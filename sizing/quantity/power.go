package quantity

import "math"

// CrankPower is power at the crankshaft in watts. It is not [WheelPower]: the
// drivetrain loss lies between them.
type CrankPower float64

// Units of [CrankPower].
const (
	Watt             CrankPower = 1
	Kilowatt         CrankPower = 1e3
	Horsepower       CrankPower = 550 * 0.3048 * 4.4482216152605 // 550 ft lbf/s
	MetricHorsepower CrankPower = 75 * 9.80665                   // 75 kgf m/s
)

var crankPowerUnits = &dimension{
	name: "a crank power", example: "640 hp",
	si: "kW", us: "hp",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "W", scale: float64(Watt)},
		{symbol: "kW", scale: float64(Kilowatt)},
		{symbol: "hp", scale: float64(Horsepower), aliases: []string{"bhp", "HP", "chp"}},
		{symbol: "PS", scale: float64(MetricHorsepower), aliases: []string{"metric hp", "cv"}},
	},
	foreign: map[string]string{
		"whp":  "wheel power cannot stand for crank power",
		"rwhp": "wheel power cannot stand for crank power",
	},
}

// In returns c as a number of the given unit.
func (c CrankPower) In(unit CrankPower) float64 { return In(c, unit) }

// String prints c in metric units, as [Format] does.
func (c CrankPower) String() string { return Format(c, SI) }

// MarshalText writes c in its coherent SI unit with every digit.
func (c CrankPower) MarshalText() ([]byte, error) { return marshal(c) }

// UnmarshalText reads c as [Parse] does.
func (c *CrankPower) UnmarshalText(text []byte) error { return unmarshal(c, text) }

func (CrankPower) dimension() *dimension { return crankPowerUnits }

// At returns the torque that makes c at speed s; zero speed gives infinity.
// Power is torque times angular speed by definition.
func (c CrankPower) At(s AngularSpeed) Torque { return Torque(float64(c) / float64(s)) }

// Wheel returns the power left at the wheels after the drivetrain has lost the
// given share of c.
func (c CrankPower) Wheel(loss Ratio) WheelPower { return WheelPower(float64(c) * (1 - float64(loss))) }

// WheelPower is power at the driven wheels in watts, as a chassis dynamometer
// reads it.
type WheelPower float64

// Units of [WheelPower].
const (
	WattAtWheel             WheelPower = 1
	KilowattAtWheel         WheelPower = 1e3
	HorsepowerAtWheel       WheelPower = WheelPower(Horsepower)
	MetricHorsepowerAtWheel WheelPower = WheelPower(MetricHorsepower)
)

var wheelPowerUnits = &dimension{
	name: "a wheel power", example: "540 hp",
	si: "kW", us: "hp",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "W", scale: float64(WattAtWheel)},
		{symbol: "kW", scale: float64(KilowattAtWheel)},
		{symbol: "hp", scale: float64(HorsepowerAtWheel), aliases: []string{"whp", "rwhp"}},
		{symbol: "PS", scale: float64(MetricHorsepowerAtWheel), aliases: []string{"metric hp", "cv"}},
	},
	foreign: map[string]string{
		"bhp": "crank power cannot stand for wheel power",
		"chp": "crank power cannot stand for wheel power",
	},
}

// In returns w as a number of the given unit.
func (w WheelPower) In(unit WheelPower) float64 { return In(w, unit) }

// String prints w in metric units, as [Format] does.
func (w WheelPower) String() string { return Format(w, SI) }

// MarshalText writes w in its coherent SI unit with every digit.
func (w WheelPower) MarshalText() ([]byte, error) { return marshal(w) }

// UnmarshalText reads w as [Parse] does.
func (w *WheelPower) UnmarshalText(text []byte) error { return unmarshal(w, text) }

func (WheelPower) dimension() *dimension { return wheelPowerUnits }

// Crank returns the crank power of which the drivetrain loses the given share on
// the way to w. A loss of 1 or more has no answer and gives infinity.
func (w WheelPower) Crank(loss Ratio) CrankPower {
	if loss >= 1 {
		return CrankPower(math.Inf(1))
	}
	return CrankPower(float64(w) / (1 - float64(loss)))
}

// Torque is a torque in newton metres.
type Torque float64

// Units of [Torque].
const (
	NewtonMetre Torque = 1
	PoundFoot   Torque = 0.3048 * 4.4482216152605
)

var torqueUnits = &dimension{
	name: "a torque", example: "700 N m",
	si: "N·m", us: "lb·ft",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "N·m", scale: float64(NewtonMetre), aliases: []string{"Nm"}},
		{symbol: "lb·ft", scale: float64(PoundFoot), aliases: []string{"lbft", "ft lb", "ftlb", "ft lbf", "lbf ft", "lb-ft", "ft-lb"}},
	},
}

// In returns t as a number of the given unit.
func (t Torque) In(unit Torque) float64 { return In(t, unit) }

// String prints t in metric units, as [Format] does.
func (t Torque) String() string { return Format(t, SI) }

// MarshalText writes t in its coherent SI unit with every digit.
func (t Torque) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText reads t as [Parse] does.
func (t *Torque) UnmarshalText(text []byte) error { return unmarshal(t, text) }

func (Torque) dimension() *dimension { return torqueUnits }

// Power returns the crank power that torque t makes at speed s.
func (t Torque) Power(s AngularSpeed) CrankPower { return CrankPower(float64(t) * float64(s)) }

// SpecificConsumption is fuel mass per work done in kilograms per joule: brake
// specific fuel consumption (BSFC) where the work is taken at the crank.
type SpecificConsumption float64

// Units of [SpecificConsumption].
const (
	KilogramPerJoule        SpecificConsumption = 1
	GramPerKilowattHour     SpecificConsumption = 1e-3 / 3.6e6
	KilogramPerKilowattHour SpecificConsumption = 1 / 3.6e6
	PoundPerHorsepowerHour  SpecificConsumption = 0.45359237 / (550 * 0.3048 * 4.4482216152605 * 3600)
)

var specificConsumptionUnits = &dimension{
	name: "a specific fuel consumption", example: "0.62 lb/(hp h)",
	si: "g/kWh", us: "lb/(hp·h)",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "kg/J", scale: float64(KilogramPerJoule)},
		{symbol: "g/kWh", scale: float64(GramPerKilowattHour), aliases: []string{"g/(kWh)", "g/kW/h", "g/kW-h"}},
		{symbol: "kg/kWh", scale: float64(KilogramPerKilowattHour), aliases: []string{"kg/(kWh)"}},
		{symbol: "lb/(hp·h)", scale: float64(PoundPerHorsepowerHour), aliases: []string{"lb/hp/h", "lb/hph", "lb/hp-h", "lb/hp-hr", "lb/hphr", "lb/(hp hr)", "lb/hp/hr", "lbs/(hp h)"}},
	},
}

// In returns s as a number of the given unit.
func (s SpecificConsumption) In(unit SpecificConsumption) float64 { return In(s, unit) }

// String prints s in metric units, as [Format] does.
func (s SpecificConsumption) String() string { return Format(s, SI) }

// MarshalText writes s in its coherent SI unit with every digit.
func (s SpecificConsumption) MarshalText() ([]byte, error) { return marshal(s) }

// UnmarshalText reads s as [Parse] does.
func (s *SpecificConsumption) UnmarshalText(text []byte) error { return unmarshal(s, text) }

func (SpecificConsumption) dimension() *dimension { return specificConsumptionUnits }

// Flow returns the fuel mass flow that power p consumes at s.
func (s SpecificConsumption) Flow(p CrankPower) MassFlow { return MassFlow(float64(s) * float64(p)) }

// SpecificEnergy is energy per mass in joules per kilogram: a heating value or a
// latent heat.
type SpecificEnergy float64

// Units of [SpecificEnergy].
const (
	JoulePerKilogram     SpecificEnergy = 1
	KilojoulePerKilogram SpecificEnergy = 1e3
	MegajoulePerKilogram SpecificEnergy = 1e6
	BtuPerPound          SpecificEnergy = 2326 // International Table Btu
)

var specificEnergyUnits = &dimension{
	name: "an energy per mass", example: "43.4 MJ/kg",
	si: "MJ/kg", us: "Btu/lb",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "J/kg", scale: float64(JoulePerKilogram)},
		{symbol: "kJ/kg", scale: float64(KilojoulePerKilogram)},
		{symbol: "MJ/kg", scale: float64(MegajoulePerKilogram)},
		{symbol: "Btu/lb", scale: float64(BtuPerPound)},
	},
}

// In returns s as a number of the given unit.
func (s SpecificEnergy) In(unit SpecificEnergy) float64 { return In(s, unit) }

// String prints s in metric units, as [Format] does.
func (s SpecificEnergy) String() string { return Format(s, SI) }

// MarshalText writes s in its coherent SI unit with every digit.
func (s SpecificEnergy) MarshalText() ([]byte, error) { return marshal(s) }

// UnmarshalText reads s as [Parse] does.
func (s *SpecificEnergy) UnmarshalText(text []byte) error { return unmarshal(s, text) }

func (SpecificEnergy) dimension() *dimension { return specificEnergyUnits }

// EnergyDensity is energy per volume in joules per cubic metre.
type EnergyDensity float64

// Units of [EnergyDensity].
const (
	JoulePerCubicMetre EnergyDensity = 1
	MegajoulePerLitre  EnergyDensity = 1e9
	BtuPerGallon       EnergyDensity = 1055.05585262 / 3.785411784e-3
)

var energyDensityUnits = &dimension{
	name: "an energy per volume", example: "32.3 MJ/L",
	si: "MJ/L", us: "Btu/gal",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "J/m³", scale: float64(JoulePerCubicMetre)},
		{symbol: "MJ/L", scale: float64(MegajoulePerLitre)},
		{symbol: "Btu/gal", scale: float64(BtuPerGallon)},
	},
}

// In returns e as a number of the given unit.
func (e EnergyDensity) In(unit EnergyDensity) float64 { return In(e, unit) }

// String prints e in metric units, as [Format] does.
func (e EnergyDensity) String() string { return Format(e, SI) }

// MarshalText writes e in its coherent SI unit with every digit.
func (e EnergyDensity) MarshalText() ([]byte, error) { return marshal(e) }

// UnmarshalText reads e as [Parse] does.
func (e *EnergyDensity) UnmarshalText(text []byte) error { return unmarshal(e, text) }

func (EnergyDensity) dimension() *dimension { return energyDensityUnits }
