package quantity

// Pressure is an absolute pressure in pascals. It is never a gauge reading: make
// it from one with [PressureDiff.Above], so that the ambient pressure is said.
// The zero value is a perfect vacuum.
type Pressure float64

// Units of [Pressure].
const (
	Pascal      Pressure = 1
	Kilopascal  Pressure = 1e3
	Megapascal  Pressure = 1e6
	Millibar    Pressure = 1e2
	Bar         Pressure = 1e5
	PSIA        Pressure = 6894.757293168361 // pound-force per square inch: 4.4482216152605 N over 0.00064516 m²
	InchMercury Pressure = 3386.389          // conventional, NIST SP 811
	Torr        Pressure = 101325.0 / 760
	Atmosphere  Pressure = 101325
)

var pressureUnits = &dimension{
	name: "an absolute pressure", example: "98 kPa",
	si: "kPa", us: "psia",
	bounded: true, min: 0,
	units: []unit{
		{symbol: "Pa", scale: float64(Pascal), aliases: []string{"Paabs"}},
		{symbol: "kPa", scale: float64(Kilopascal), aliases: []string{"kPaabs", "kPaa"}},
		{symbol: "MPa", scale: float64(Megapascal), aliases: []string{"MPaabs"}},
		{symbol: "mbar", scale: float64(Millibar), aliases: []string{"hPa", "mbarabs"}},
		{symbol: "bar", scale: float64(Bar), aliases: []string{"barabs", "bara", "bar(a)"}},
		{symbol: "psia", scale: float64(PSIA), aliases: []string{"psi", "psiabs", "lbf/in2"}},
		{symbol: "inHg", scale: float64(InchMercury), aliases: []string{"inHgabs"}},
		{symbol: "mmHg", scale: float64(Torr), aliases: []string{"Torr"}},
		{symbol: "atm", scale: float64(Atmosphere)},
	},
	foreign: map[string]string{
		"psig":     "a gauge pressure cannot stand for an absolute one",
		"kPag":     "a gauge pressure cannot stand for an absolute one",
		"barg":     "a gauge pressure cannot stand for an absolute one",
		"bar(g)":   "a gauge pressure cannot stand for an absolute one",
		"kPagauge": "a gauge pressure cannot stand for an absolute one",
		"psigauge": "a gauge pressure cannot stand for an absolute one",
	},
}

// In returns p as a number of the given unit.
func (p Pressure) In(unit Pressure) float64 { return In(p, unit) }

// String prints p in metric units, as [Format] does.
func (p Pressure) String() string { return Format(p, SI) }

// MarshalText writes p in its coherent SI unit with every digit.
func (p Pressure) MarshalText() ([]byte, error) { return marshal(p) }

// UnmarshalText reads p as [Parse] does.
func (p *Pressure) UnmarshalText(text []byte) error { return unmarshal(p, text) }

func (Pressure) dimension() *dimension { return pressureUnits }

// Above returns p less ambient: the gauge pressure that a gauge open to ambient
// would show, negative below it.
func (p Pressure) Above(ambient Pressure) PressureDiff { return PressureDiff(p - ambient) }

// Plus returns p raised by d.
func (p Pressure) Plus(d PressureDiff) Pressure { return p + Pressure(d) }

// PressureDiff is a difference of two pressures in pascals: boost, base pressure,
// a line's loss, or any gauge reading, which is the difference to ambient.
type PressureDiff float64

// Units of [PressureDiff].
const (
	PascalDiff      PressureDiff = 1
	KilopascalDiff  PressureDiff = 1e3
	MegapascalDiff  PressureDiff = 1e6
	MillibarDiff    PressureDiff = 1e2
	BarDiff         PressureDiff = 1e5
	PSI             PressureDiff = PressureDiff(PSIA)
	InchMercuryDiff PressureDiff = PressureDiff(InchMercury)
	TorrDiff        PressureDiff = PressureDiff(Torr)
	InchWaterDiff   PressureDiff = 249.08891 // conventional, NIST SP 811
	AtmosphereDiff  PressureDiff = 101325
)

var pressureDiffUnits = &dimension{
	name: "a pressure difference", example: "43.5 psi",
	si: "kPa", us: "psi",
	units: []unit{
		{symbol: "Pa", scale: float64(PascalDiff), aliases: []string{"Pag"}},
		{symbol: "kPa", scale: float64(KilopascalDiff), aliases: []string{"kPag", "kPagauge"}},
		{symbol: "MPa", scale: float64(MegapascalDiff)},
		{symbol: "mbar", scale: float64(MillibarDiff), aliases: []string{"hPa"}},
		{symbol: "bar", scale: float64(BarDiff), aliases: []string{"barg", "bar(g)", "bargauge"}},
		{symbol: "psi", scale: float64(PSI), aliases: []string{"psig", "psid", "psigauge", "lbf/in2"}},
		{symbol: "inHg", scale: float64(InchMercuryDiff)},
		{symbol: "mmHg", scale: float64(TorrDiff), aliases: []string{"Torr"}},
		{symbol: "inH2O", scale: float64(InchWaterDiff), aliases: []string{"inwg"}},
		{symbol: "atm", scale: float64(AtmosphereDiff)},
	},
	foreign: map[string]string{
		"psia":   "an absolute pressure cannot stand for a gauge pressure or a difference",
		"kPaabs": "an absolute pressure cannot stand for a gauge pressure or a difference",
		"kPaa":   "an absolute pressure cannot stand for a gauge pressure or a difference",
		"bara":   "an absolute pressure cannot stand for a gauge pressure or a difference",
		"bar(a)": "an absolute pressure cannot stand for a gauge pressure or a difference",
		"barabs": "an absolute pressure cannot stand for a gauge pressure or a difference",
		"psiabs": "an absolute pressure cannot stand for a gauge pressure or a difference",
	},
}

// In returns p as a number of the given unit.
func (p PressureDiff) In(unit PressureDiff) float64 { return In(p, unit) }

// String prints p in metric units, as [Format] does.
func (p PressureDiff) String() string { return Format(p, SI) }

// MarshalText writes p in its coherent SI unit with every digit.
func (p PressureDiff) MarshalText() ([]byte, error) { return marshal(p) }

// UnmarshalText reads p as [Parse] does.
func (p *PressureDiff) UnmarshalText(text []byte) error { return unmarshal(p, text) }

func (PressureDiff) dimension() *dimension { return pressureDiffUnits }

// Above returns the absolute pressure that lies d above ambient.
func (p PressureDiff) Above(ambient Pressure) Pressure { return ambient.Plus(p) }
