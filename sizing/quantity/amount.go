package quantity

// Length is a length in metres.
type Length float64

// Units of [Length].
const (
	Metre      Length = 1
	Kilometre  Length = 1e3
	Centimetre Length = 1e-2
	Millimetre Length = 1e-3
	Micrometre Length = 1e-6
	Inch       Length = 0.0254
	Foot       Length = 0.3048
)

var lengthUnits = &dimension{
	name: "a length", example: "8 mm",
	si: "mm", us: "in",
	units: []unit{
		{symbol: "m", scale: float64(Metre)},
		{symbol: "km", scale: float64(Kilometre)},
		{symbol: "cm", scale: float64(Centimetre)},
		{symbol: "mm", scale: float64(Millimetre)},
		{symbol: "µm", scale: float64(Micrometre)},
		{symbol: "in", scale: float64(Inch), aliases: []string{"inch", "\""}},
		{symbol: "ft", scale: float64(Foot), aliases: []string{"feet"}},
	},
}

// In returns l as a number of the given unit.
func (l Length) In(unit Length) float64 { return In(l, unit) }

// String prints l in metric units, as [Format] does.
func (l Length) String() string { return Format(l, SI) }

// MarshalText writes l in its coherent SI unit with every digit.
func (l Length) MarshalText() ([]byte, error) { return marshal(l) }

// UnmarshalText reads l as [Parse] does.
func (l *Length) UnmarshalText(text []byte) error { return unmarshal(l, text) }

func (Length) dimension() *dimension { return lengthUnits }

// Area is an area in square metres.
type Area float64

// Units of [Area].
const (
	SquareMetre      Area = 1
	SquareCentimetre Area = 1e-4
	SquareMillimetre Area = 1e-6
	SquareInch       Area = 0.0254 * 0.0254
)

var areaUnits = &dimension{
	name: "an area", example: "4 mm2",
	si: "mm²", us: "in²",
	units: []unit{
		{symbol: "m²", scale: float64(SquareMetre)},
		{symbol: "cm²", scale: float64(SquareCentimetre)},
		{symbol: "mm²", scale: float64(SquareMillimetre)},
		{symbol: "in²", scale: float64(SquareInch), aliases: []string{"sq in"}},
	},
}

// In returns a as a number of the given unit.
func (a Area) In(unit Area) float64 { return In(a, unit) }

// String prints a in metric units, as [Format] does.
func (a Area) String() string { return Format(a, SI) }

// MarshalText writes a in its coherent SI unit with every digit.
func (a Area) MarshalText() ([]byte, error) { return marshal(a) }

// UnmarshalText reads a as [Parse] does.
func (a *Area) UnmarshalText(text []byte) error { return unmarshal(a, text) }

func (Area) dimension() *dimension { return areaUnits }

// Volume is a volume in cubic metres.
type Volume float64

// Units of [Volume].
const (
	CubicMetre      Volume = 1
	Litre           Volume = 1e-3
	CubicCentimetre Volume = 1e-6
	CubicInch       Volume = 1.6387064e-5
	CubicFoot       Volume = 0.028316846592
	Gallon          Volume = 3.785411784e-3 // US liquid gallon
	GallonUK        Volume = 4.54609e-3
)

var volumeUnits = &dimension{
	name: "a volume", example: "3.4 L",
	si: "L", us: "in³",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "m³", scale: float64(CubicMetre)},
		{symbol: "L", scale: float64(Litre), aliases: []string{"litre", "liter", "l"}},
		{symbol: "cm³", scale: float64(CubicCentimetre), aliases: []string{"cc", "ccm", "mL", "ml"}},
		{symbol: "in³", scale: float64(CubicInch), aliases: []string{"cu in", "cid", "ci"}},
		{symbol: "ft³", scale: float64(CubicFoot), aliases: []string{"cu ft"}},
		{symbol: "gal", scale: float64(Gallon), aliases: []string{"US gal"}},
		{symbol: "UK gal", scale: float64(GallonUK), aliases: []string{"imp gal"}},
	},
}

// In returns v as a number of the given unit.
func (v Volume) In(unit Volume) float64 { return In(v, unit) }

// String prints v in metric units, as [Format] does.
func (v Volume) String() string { return Format(v, SI) }

// MarshalText writes v in its coherent SI unit with every digit.
func (v Volume) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText reads v as [Parse] does.
func (v *Volume) UnmarshalText(text []byte) error { return unmarshal(v, text) }

func (Volume) dimension() *dimension { return volumeUnits }

// Mass is a mass in kilograms.
type Mass float64

// Units of [Mass].
const (
	Kilogram Mass = 1
	Gram     Mass = 1e-3
	Tonne    Mass = 1e3
	Pound    Mass = 0.45359237
	Ounce    Mass = 0.028349523125
)

var massUnits = &dimension{
	name: "a mass", example: "1450 kg",
	si: "kg", us: "lb",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "kg", scale: float64(Kilogram)},
		{symbol: "g", scale: float64(Gram)},
		{symbol: "t", scale: float64(Tonne), aliases: []string{"tonne"}},
		{symbol: "lb", scale: float64(Pound), aliases: []string{"lbs", "lbm"}},
		{symbol: "oz", scale: float64(Ounce)},
	},
}

// In returns m as a number of the given unit.
func (m Mass) In(unit Mass) float64 { return In(m, unit) }

// String prints m in metric units, as [Format] does.
func (m Mass) String() string { return Format(m, SI) }

// MarshalText writes m in its coherent SI unit with every digit.
func (m Mass) MarshalText() ([]byte, error) { return marshal(m) }

// UnmarshalText reads m as [Parse] does.
func (m *Mass) UnmarshalText(text []byte) error { return unmarshal(m, text) }

func (Mass) dimension() *dimension { return massUnits }

// MolarMass is a mass per amount of substance in kilograms per mole.
type MolarMass float64

// Units of [MolarMass].
const (
	KilogramPerMole MolarMass = 1
	GramPerMole     MolarMass = 1e-3
)

var molarMassUnits = &dimension{
	name: "a molar mass", example: "46.07 g/mol",
	si: "g/mol", us: "g/mol",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "kg/mol", scale: float64(KilogramPerMole)},
		{symbol: "g/mol", scale: float64(GramPerMole), aliases: []string{"kg/kmol"}},
	},
}

// In returns m as a number of the given unit.
func (m MolarMass) In(unit MolarMass) float64 { return In(m, unit) }

// String prints m in metric units, as [Format] does.
func (m MolarMass) String() string { return Format(m, SI) }

// MarshalText writes m in its coherent SI unit with every digit.
func (m MolarMass) MarshalText() ([]byte, error) { return marshal(m) }

// UnmarshalText reads m as [Parse] does.
func (m *MolarMass) UnmarshalText(text []byte) error { return unmarshal(m, text) }

func (MolarMass) dimension() *dimension { return molarMassUnits }

// Time is a span of time in seconds: a pulse width, a dead time, an engine cycle.
type Time float64

// Units of [Time].
const (
	Second      Time = 1
	Millisecond Time = 1e-3
	Microsecond Time = 1e-6
	Minute      Time = 60
	Hour        Time = 3600
)

var timeUnits = &dimension{
	name: "a time", example: "1.05 ms",
	si: "ms", us: "ms",
	units: []unit{
		{symbol: "s", scale: float64(Second), aliases: []string{"sec"}},
		{symbol: "ms", scale: float64(Millisecond), aliases: []string{"msec"}},
		{symbol: "µs", scale: float64(Microsecond), aliases: []string{"us"}},
		{symbol: "min", scale: float64(Minute)},
		{symbol: "h", scale: float64(Hour), aliases: []string{"hr"}},
	},
}

// In returns t as a number of the given unit.
func (t Time) In(unit Time) float64 { return In(t, unit) }

// String prints t in metric units, as [Format] does.
func (t Time) String() string { return Format(t, SI) }

// MarshalText writes t in its coherent SI unit with every digit.
func (t Time) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText reads t as [Parse] does.
func (t *Time) UnmarshalText(text []byte) error { return unmarshal(t, text) }

func (Time) dimension() *dimension { return timeUnits }
