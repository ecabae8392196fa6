package sizing

import (
	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// Vehicle says what the fuel system rides in.
type Vehicle struct {
	Acceleration quantity.Acceleration `sheet:"acceleration"` // forward, at the target; default none
}

// Tank describes the fuel tank, which is vented to ambient.
type Tank struct {
	Fuel        quantity.Volume      `sheet:"fuel"`        // in it, for how fast it warms; default not computed
	Temperature quantity.Temperature `sheet:"temperature"` // of the fuel in it; default that at the rail
	Head        quantity.Length      `sheet:"head"`        // of the fuel's surface over the pickup; default none: fuel down to the pickup
	Cooling     quantity.Time        `sheet:"cooling"`     // in which its excess over ambient falls to 37 %; default it loses no heat
}

// Segment describes one part of the way of the fuel: a line, a filter, or a line
// with a filter in it. A line has a Bore or a Dash.
type Segment struct {
	Part            string          `sheet:"part"`
	Bore            quantity.Length `sheet:"bore"` // inner diameter: not the dash size
	Dash            plumbing.Dash   `sheet:"dash"` // in place of Bore: "-8 hose", "-8 tube, wall 0.035 in"
	Length          quantity.Length `sheet:"length"`
	Roughness       quantity.Length `sheet:"roughness"` // default that of drawn tubing
	LossCoefficient quantity.Ratio  `sheet:"fittings"`  // sum of the fittings' loss coefficients K, pickup and exit included
	Rise            quantity.Length `sheet:"rise"`      // outlet over inlet
	Ahead           quantity.Length `sheet:"ahead"`     // outlet ahead of inlet in the vehicle
	Filter          plumbing.Filter `sheet:"filter"`    // loss at a flow, such as "15 kPa at 300 L/h"
}

// bore is the inner diameter, by whichever way it is told.
func (s Segment) bore() quantity.Length {
	if s.Bore != 0 {
		return s.Bore
	}
	return s.Dash.Bore()
}

// Line makes the line that the segment describes, without its filter.
func (s Segment) Line() plumbing.Line {
	return plumbing.Line{
		Bore: s.bore(), Length: s.Length, Roughness: s.Roughness,
		LossCoefficient: s.LossCoefficient, Rise: s.Rise, Ahead: s.Ahead,
	}
}

// IsZero reports whether the segment describes nothing.
func (s Segment) IsZero() bool { return s == Segment{} }

// run makes the way through segments.
func run(segments ...Segment) plumbing.Run {
	var r plumbing.Run
	for _, s := range segments {
		if !s.IsZero() {
			r = append(r, plumbing.Segment{Name: s.Part, Line: s.Line(), Filter: s.Filter})
		}
	}
	return r
}

// Heat says what heat the fuel picks up on its way, beside that of the pumps.
type Heat struct {
	Feed   quantity.Power `sheet:"feed"`   // up to the regulator, engine bay and rail included; default none
	Return quantity.Power `sheet:"return"` // on the way back; default none
}

// PressureControl says what holds the rail pressure. The zero value is a valve.
type PressureControl uint8

const (
	ByValve     PressureControl = iota // a regulator gives back what the engine does not burn
	ByPumpSpeed                        // a controller slows the pumps down, and nothing is returned
)

var controls = choice.New("what holds the pressure", "valve", "pump speed")

// String returns "valve" or "pump speed".
func (c PressureControl) String() string { return controls.Name(int(c)) }

// MarshalText returns String.
func (c PressureControl) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads the words of String in any case.
func (c *PressureControl) UnmarshalText(text []byte) error {
	i, err := controls.Index(string(text))
	if err == nil {
		*c = PressureControl(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (PressureControl) Accepts() string { return controls.Accepts() }

// Regulator describes what holds the fuel pressure: a regulator valve, or a
// controller with a sensor at the rail that slows the pumps down. For the controller
// Kind says what its set point refers to, and BasePressure is the set point.
type Regulator struct {
	Part         string                `sheet:"part"`
	Kind         regulator.Kind        `sheet:"kind,required"`
	BasePressure quantity.PressureDiff `sheet:"base_pressure,required"` // with the reference hose open to ambient
	Rise         quantity.Ratio        `sheet:"rise"`                   // rail rise per manifold rise where manifold-referenced; default 1
	Control      PressureControl       `sheet:"control"`                // default a valve

	// Of a valve.
	LeastReturn quantity.VolumeFlow   `sheet:"least_return"` // least flow it needs to control; default none
	MaxReturn   quantity.VolumeFlow   `sheet:"max_return"`   // most flow it returns without losing control; default not checked
	Slope       regulator.Slope       `sheet:"slope"`        // rise of the pressure with the return flow: "8 kPa per 100 L/h"; default none
	SetFlow     quantity.VolumeFlow   `sheet:"set_flow"`     // return flow up to which BasePressure holds; default MaxReturn, or none
	OpenDrop    quantity.PressureDiff `sheet:"open_drop"`    // lost across the wide-open valve at MaxReturn; default none

	// Of a controller.
	LeastSpeed quantity.Ratio        `sheet:"least_speed"` // of the pumps' full voltage, below which it does not slow them; default 30 %
	Relief     quantity.PressureDiff `sheet:"relief"`      // of the rail over ambient, at which a valve opens; default none
}

// valve makes the regulator valve, or the rail set point of a controller.
func (r Regulator) valve() regulator.Regulator {
	v := regulator.Regulator{Kind: r.Kind, BasePressure: r.BasePressure, RisingRate: r.Rise}
	if r.Control == ByPumpSpeed {
		return v
	}
	v.LeastReturn, v.MaxReturn = r.LeastReturn, r.MaxReturn
	v.Slope, v.SetFlow, v.OpenDrop = r.Slope, r.SetFlow, r.OpenDrop
	return v
}
