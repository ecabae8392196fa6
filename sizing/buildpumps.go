package sizing

import (
	"cmp"
	"slices"

	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// Role says what a pump does in the system. The zero value is Main.
type Role uint8

const (
	Main Role = iota // feeds the rail
	Lift             // feeds the surge tank where there is one, and else the inlets of the main pumps
)

var roles = choice.New("a pump's role", "main", "lift")

// String returns "main" or "lift".
func (r Role) String() string { return roles.Name(int(r)) }

// MarshalText returns String.
func (r Role) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the words of String in any case.
func (r *Role) UnmarshalText(text []byte) error {
	i, err := roles.Index(string(text))
	if err == nil {
		*r = Role(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Role) Accepts() string { return roles.Accepts() }

// Pump describes one or more like pumps; several entries of one role work in
// parallel. An electric pump has Curves, one that the engine drives has Mechanical.
type Pump struct {
	Part       string                `sheet:"part"`
	Role       Role                  `sheet:"role"`  // default main
	Count      int                   `sheet:"count"` // default 1
	Curves     []PumpCurve           `sheet:"curves"`
	Wear       quantity.Ratio        `sheet:"wear"`       // share of the flow taken off for age, below zero for a pump above its curve; default none
	Relief     quantity.PressureDiff `sheet:"relief"`     // at which the pump's own relief valve opens; default not stated
	Wiring     *Wiring               `sheet:"wiring"`     // from the supply; needs currents in the curves; nil: PumpVoltage stands at the terminals
	Mechanical *Mechanical           `sheet:"mechanical"` // nil for an electric pump
}

// PumpCurve is the flow of one pump against pressure at one terminal voltage, and
// its current where that is known.
type PumpCurve struct {
	Voltage quantity.Voltage `sheet:"voltage,required"`
	Points  []pump.Point     `sheet:"points,required"`
}

// Mechanical describes a positive-displacement pump that the engine drives; see
// [pump.Mechanical].
type Mechanical struct {
	Displacement  quantity.Volume       `sheet:"displacement,required"`  // per turn of its shaft
	Drive         quantity.Ratio        `sheet:"drive,required"`         // turns of its shaft per turn of the crankshaft
	Efficiency    quantity.Ratio        `sheet:"efficiency,required"`    // volumetric, at TestSpeed and TestPressure
	TestSpeed     quantity.AngularSpeed `sheet:"test_speed,required"`    // of its shaft
	TestPressure  quantity.PressureDiff `sheet:"test_pressure,required"` // outlet over inlet
	GreatestSpeed quantity.AngularSpeed `sheet:"greatest_speed"`         // of its shaft; default not checked
}

// Wiring describes the copper from the electric supply to a load and back.
type Wiring struct {
	Conductor   wiring.Conductor     `sheet:"conductor,required"` // "10 AWG" or "6 mm2"
	Length      quantity.Length      `sheet:"length,required"`    // one way
	Return      quantity.Length      `sheet:"return"`             // of the way back; default Length
	Temperature quantity.Temperature `sheet:"temperature"`        // of the copper; default 60 degC
	Allowance   quantity.Ratio       `sheet:"allowance"`          // over solid copper, for stranding; default 10 %
	Contacts    quantity.Resistance  `sheet:"contacts"`           // of fuse, relay and connectors together; default 5 milliohm
	Feeds       Feeds                `sheet:"feeds"`              // default each pump of the entry has its own
}

// Feeds says what a circuit feeds. The zero value is each one by itself.
type Feeds uint8

const (
	EachOne Feeds = iota // every pump of the entry has such a circuit
	AllOfIt              // one circuit for all of them
)

var feeds = choice.New("what a circuit feeds", "each", "all")

// String returns "each" or "all".
func (f Feeds) String() string { return feeds.Name(int(f)) }

// MarshalText returns String.
func (f Feeds) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// UnmarshalText reads the words of String in any case.
func (f *Feeds) UnmarshalText(text []byte) error {
	i, err := feeds.Index(string(text))
	if err == nil {
		*f = Feeds(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Feeds) Accepts() string { return feeds.Accepts() }

// SurgeTank describes a small tank that lift pumps fill and main pumps draw from. It
// is vented, and what the lift pumps bring too much runs back to the main tank.
type SurgeTank struct {
	Volume   quantity.Volume       `sheet:"volume,required"`
	LiftRise quantity.PressureDiff `sheet:"lift_rise"` // over the lift pumps: height, line and filter up to it; default none
	Return   ReturnTo              `sheet:"return"`    // where the regulator's return goes; default to the surge tank
}

// ReturnTo says where the regulator's return goes. The zero value is the surge tank.
type ReturnTo uint8

const (
	ToSurgeTank ReturnTo = iota // the lift pumps replace what the engine burns
	ToMainTank                  // the lift pumps bring all that the main pumps pass
)

var returns = choice.New("where the return goes", "surge tank", "main tank")

// String returns "surge tank" or "main tank".
func (r ReturnTo) String() string { return returns.Name(int(r)) }

// MarshalText returns String.
func (r ReturnTo) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the words of String in any case.
func (r *ReturnTo) UnmarshalText(text []byte) error {
	i, err := returns.Index(string(text))
	if err == nil {
		*r = ReturnTo(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (ReturnTo) Accepts() string { return returns.Accepts() }

// Hardware makes the electric pump that the entry describes, its curves in order of
// voltage. The error says what is wrong with a curve.
func (p Pump) Hardware() (pump.Pump, error) {
	h := pump.Pump{Part: p.Part, Count: p.Count, Derate: p.Wear, Relief: p.Relief}
	for _, c := range p.Curves {
		curve, err := pump.NewCurve(c.Points, c.Voltage)
		if err != nil {
			return pump.Pump{}, err
		}
		h.Curves = append(h.Curves, curve)
	}
	slices.SortStableFunc(h.Curves, func(a, b pump.Curve) int { return cmp.Compare(a.Voltage(), b.Voltage()) })
	return h, h.Validate()
}

// driven makes one of the engine-driven pumps that the entry describes.
func (p Pump) driven() pump.Mechanical {
	m := p.Mechanical
	return pump.Mechanical{
		Part: p.Part, Displacement: m.Displacement, Drive: m.Drive, Efficiency: m.Efficiency,
		TestSpeed: m.TestSpeed, TestPressure: m.TestPressure, GreatestSpeed: m.GreatestSpeed,
		Derate: p.Wear, Relief: p.Relief,
	}
}

// circuit makes the circuit that the entry describes; nil has no resistance.
func (w *Wiring) circuit() wiring.Circuit {
	if w == nil {
		return wiring.Circuit{}
	}
	return wiring.Circuit{
		Conductor: w.Conductor, Length: w.Length, Return: w.Return,
		Temperature: w.Temperature, Allowance: w.Allowance, Contacts: w.Contacts,
	}
}
