package pump

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Point is one point of a pump curve. Its text form is "340 L/h at 300 kPa", or
// "340 L/h at 300 kPa at 9.8 A" where the current was measured too.
type Point struct {
	Flow     quantity.VolumeFlow
	Pressure quantity.PressureDiff // outlet over inlet
	Current  quantity.Current      // that the pump draws there; zero: not known
}

const pointAccepted = `a flow at a differential pressure such as "340 L/h at 300 kPa", then the current where known as in "340 L/h at 300 kPa at 9.8 A"`

// ParsePoint reads "340 L/h at 300 kPa", with or without "at 9.8 A" after it, in
// any units. Flow and pressure may not be negative, a current has to be greater
// than zero. The error is a [*quantity.ParseError].
func ParsePoint(text string) (Point, error) {
	flowText, rest, ok := strings.Cut(strings.Join(strings.Fields(text), " "), " at ")
	if !ok {
		return Point{}, &quantity.ParseError{Text: text, Reason: `no " at " between a flow and a pressure`, Accepted: pointAccepted, Err: quantity.ErrSyntax}
	}
	flow, err := quantity.Parse[quantity.VolumeFlow](flowText)
	if err != nil {
		return Point{}, err
	}
	pressureText, currentText, stated := strings.Cut(rest, " at ")
	pressure, err := quantity.Parse[quantity.PressureDiff](pressureText)
	if err != nil {
		return Point{}, err
	}
	p := Point{Flow: flow, Pressure: pressure}
	if stated {
		if p.Current, err = quantity.Parse[quantity.Current](currentText); err != nil {
			return Point{}, err
		}
	}
	why := p.fault()
	if stated && p.Current == 0 {
		why = "the current must be greater than zero"
	}
	if why != "" {
		return Point{}, &quantity.ParseError{Text: text, Reason: why, Accepted: pointAccepted, Err: quantity.ErrRange}
	}
	return p, nil
}

// Limits far beyond any fuel pump. They catch slips of unit and keep the
// arithmetic of interpolation within bounds.
const (
	maxFlow     = 1 * quantity.CubicMetrePerSecond
	maxPressure = 1000 * quantity.MegapascalDiff
	maxCurrent  = 1000 * quantity.Ampere
)

// fault says what is wrong with p by itself, or "".
func (p Point) fault() string {
	switch {
	case !(p.Flow >= 0):
		return "the flow must not be negative"
	case p.Flow > maxFlow:
		return fmt.Sprintf("the flow must not exceed %v", maxFlow)
	case !(p.Pressure >= 0):
		return "the pressure must not be negative"
	case p.Pressure > maxPressure:
		return fmt.Sprintf("the pressure must not exceed %v", maxPressure)
	case !(p.Current >= 0):
		return "the current must not be negative"
	case p.Current > maxCurrent:
		return fmt.Sprintf("the current must not exceed %v", maxCurrent)
	}
	return ""
}

// Format prints p with four digits in the units of s.
func (p Point) Format(s quantity.System) string {
	text := quantity.Format(p.Flow, s) + " at " + quantity.Format(p.Pressure, s)
	if p.Current != 0 {
		text += " at " + quantity.Format(p.Current, s)
	}
	return text
}

// String prints p in metric units, as [Point.Format] does.
func (p Point) String() string { return p.Format(quantity.SI) }

// Accepts says in a phrase what [ParsePoint] takes.
func (Point) Accepts() string { return pointAccepted }

// MarshalText writes p in coherent SI units with every digit.
func (p Point) MarshalText() ([]byte, error) {
	flow, err := p.Flow.MarshalText()
	if err != nil {
		return nil, err
	}
	pressure, err := p.Pressure.MarshalText()
	if err != nil {
		return nil, err
	}
	text := fmt.Appendf(flow, " at %s", pressure)
	if p.Current == 0 {
		return text, nil
	}
	current, err := p.Current.MarshalText()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(text, " at %s", current), nil
}

// UnmarshalText reads p as [ParsePoint] does and leaves it alone on an error.
func (p *Point) UnmarshalText(text []byte) error {
	v, err := ParsePoint(string(text))
	if err != nil {
		return err
	}
	*p = v
	return nil
}
