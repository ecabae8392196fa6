package quantity

// MassFlow is a mass per time in kilograms per second. It is not a volume flow:
// [MassFlow.Volume] needs the density.
type MassFlow float64

// Units of [MassFlow].
const (
	KilogramPerSecond MassFlow = 1
	GramPerSecond     MassFlow = 1e-3
	GramPerMinute     MassFlow = 1e-3 / 60
	KilogramPerHour   MassFlow = 1.0 / 3600
	PoundPerHour      MassFlow = 0.45359237 / 3600
	PoundPerMinute    MassFlow = 0.45359237 / 60
)

var massFlowUnits = &dimension{
	name: "a mass flow", example: "142 lb/h",
	si: "g/s", us: "lb/h",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "kg/s", scale: float64(KilogramPerSecond)},
		{symbol: "g/s", scale: float64(GramPerSecond)},
		{symbol: "g/min", scale: float64(GramPerMinute)},
		{symbol: "kg/h", scale: float64(KilogramPerHour), aliases: []string{"kg/hr"}},
		{symbol: "lb/h", scale: float64(PoundPerHour), aliases: []string{"lb/hr", "lbs/h", "lbs/hr", "pph"}},
		{symbol: "lb/min", scale: float64(PoundPerMinute), aliases: []string{"lbs/min"}},
	},
}

// In returns m as a number of the given unit.
func (m MassFlow) In(unit MassFlow) float64 { return In(m, unit) }

// String prints m in metric units, as [Format] does.
func (m MassFlow) String() string { return Format(m, SI) }

// MarshalText writes m in its coherent SI unit with every digit.
func (m MassFlow) MarshalText() ([]byte, error) { return marshal(m) }

// UnmarshalText reads m as [Parse] does.
func (m *MassFlow) UnmarshalText(text []byte) error { return unmarshal(m, text) }

func (MassFlow) dimension() *dimension { return massFlowUnits }

// Volume returns the volume flow of m at density d.
func (m MassFlow) Volume(d Density) VolumeFlow { return VolumeFlow(float64(m) / float64(d)) }

// VolumeFlow is a volume per time in cubic metres per second. It is not a mass
// flow: [VolumeFlow.Mass] needs the density.
type VolumeFlow float64

// Units of [VolumeFlow].
const (
	CubicMetrePerSecond VolumeFlow = 1
	LitrePerHour        VolumeFlow = 1e-3 / 3600
	LitrePerMinute      VolumeFlow = 1e-3 / 60
	CCPerMinute         VolumeFlow = 1e-6 / 60 // cubic centimetre per minute
	CCPerSecond         VolumeFlow = 1e-6
	GallonPerHour       VolumeFlow = 3.785411784e-3 / 3600 // US liquid gallon
	GallonPerMinute     VolumeFlow = 3.785411784e-3 / 60
	GallonUKPerHour     VolumeFlow = 4.54609e-3 / 3600
	CubicMetrePerHour   VolumeFlow = 1.0 / 3600
)

var volumeFlowUnits = &dimension{
	name: "a volume flow", example: "440 cc/min",
	si: "L/h", us: "gal/h",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "m³/s", scale: float64(CubicMetrePerSecond)},
		{symbol: "L/h", scale: float64(LitrePerHour), aliases: []string{"l/h", "lph", "L/hr"}},
		{symbol: "L/min", scale: float64(LitrePerMinute), aliases: []string{"l/min", "lpm"}},
		{symbol: "cc/min", scale: float64(CCPerMinute), aliases: []string{"cm3/min", "ccm/min", "mL/min", "ml/min"}},
		{symbol: "cm³/s", scale: float64(CCPerSecond), aliases: []string{"cc/s", "mL/s"}},
		{symbol: "gal/h", scale: float64(GallonPerHour), aliases: []string{"gph", "gal/hr", "US gal/h"}},
		{symbol: "gal/min", scale: float64(GallonPerMinute), aliases: []string{"gpm", "US gal/min"}},
		{symbol: "UK gal/h", scale: float64(GallonUKPerHour), aliases: []string{"imp gal/h"}},
		{symbol: "m³/h", scale: float64(CubicMetrePerHour)},
	},
}

// In returns v as a number of the given unit.
func (v VolumeFlow) In(unit VolumeFlow) float64 { return In(v, unit) }

// String prints v in metric units, as [Format] does.
func (v VolumeFlow) String() string { return Format(v, SI) }

// MarshalText writes v in its coherent SI unit with every digit.
func (v VolumeFlow) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads v as [Parse] does.
func (v *VolumeFlow) UnmarshalText(text []byte) error { return unmarshal(v, text) }

func (VolumeFlow) dimension() *dimension { return volumeFlowUnits }

// Mass returns the mass flow of v at density d.
func (v VolumeFlow) Mass(d Density) MassFlow { return MassFlow(float64(v) * float64(d)) }

// Density is a mass per volume in kilograms per cubic metre.
type Density float64

// Units of [Density].
const (
	KilogramPerCubicMetre Density = 1
	KilogramPerLitre      Density = 1e3
	PoundPerGallon        Density = 0.45359237 / 3.785411784e-3
	PoundPerCubicFoot     Density = 0.45359237 / 0.028316846592
)

var densityUnits = &dimension{
	name: "a density", example: "745 kg/m3",
	si: "kg/m³", us: "lb/gal",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "kg/m³", scale: float64(KilogramPerCubicMetre), aliases: []string{"g/L"}},
		{symbol: "kg/L", scale: float64(KilogramPerLitre), aliases: []string{"g/cm3", "g/cc", "g/mL"}},
		{symbol: "lb/gal", scale: float64(PoundPerGallon), aliases: []string{"lb/US gal"}},
		{symbol: "lb/ft³", scale: float64(PoundPerCubicFoot)},
	},
}

// In returns d as a number of the given unit.
func (d Density) In(unit Density) float64 { return In(d, unit) }

// String prints d in metric units, as [Format] does.
func (d Density) String() string { return Format(d, SI) }

// MarshalText writes d in its coherent SI unit with every digit.
func (d Density) MarshalText() ([]byte, error) { return marshal(d) }

// UnmarshalText reads d as [Parse] does.
func (d *Density) UnmarshalText(text []byte) error { return unmarshal(d, text) }

func (Density) dimension() *dimension { return densityUnits }

// Viscosity is a dynamic viscosity in pascal seconds.
type Viscosity float64

// Units of [Viscosity].
const (
	PascalSecond      Viscosity = 1
	MillipascalSecond Viscosity = 1e-3
	Centipoise        Viscosity = 1e-3
)

var viscosityUnits = &dimension{
	name: "a dynamic viscosity", example: "0.5 mPa s",
	si: "mPa·s", us: "cP",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "Pa·s", scale: float64(PascalSecond)},
		{symbol: "mPa·s", scale: float64(MillipascalSecond)},
		{symbol: "cP", scale: float64(Centipoise)},
	},
}

// In returns v as a number of the given unit.
func (v Viscosity) In(unit Viscosity) float64 { return In(v, unit) }

// String prints v in metric units, as [Format] does.
func (v Viscosity) String() string { return Format(v, SI) }

// MarshalText writes v in its coherent SI unit with every digit.
func (v Viscosity) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads v as [Parse] does.
func (v *Viscosity) UnmarshalText(text []byte) error { return unmarshal(v, text) }

func (Viscosity) dimension() *dimension { return viscosityUnits }
