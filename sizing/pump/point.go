package pump

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Point is one point of a pump curve. Its text form is "340 L/h at 300 kPa".
type Point struct {
	Flow     quantity.VolumeFlow
	Pressure quantity.PressureDiff // outlet over inlet
}

const pointAccepted = `a flow at a differential pressure such as "340 L/h at 300 kPa"`

// ParsePoint reads "340 L/h at 300 kPa" in any units; neither may be negative.
// The error is a [*quantity.ParseError].
func ParsePoint(text string) (Point, error) {
	flowText, pressureText, ok := strings.Cut(strings.Join(strings.Fields(text), " "), " at ")
	if !ok {
		return Point{}, &quantity.ParseError{Text: text, Reason: `no " at " between a flow and a pressure`, Accepted: pointAccepted, Err: quantity.ErrSyntax}
	}
	flow, err := quantity.Parse[quantity.VolumeFlow](flowText)
	if err != nil {
		return Point{}, err
	}
	pressure, err := quantity.Parse[quantity.PressureDiff](pressureText)
	if err != nil {
		return Point{}, err
	}
	p := Point{Flow: flow, Pressure: pressure}
	if why := p.fault(); why != "" {
		return Point{}, &quantity.ParseError{Text: text, Reason: why, Accepted: pointAccepted, Err: quantity.ErrRange}
	}
	return p, nil
}

// Limits far beyond any fuel pump. They catch slips of unit and keep the
// arithmetic of interpolation within bounds.
const (
	maxFlow     = 1 * quantity.CubicMetrePerSecond
	maxPressure = 1000 * quantity.MegapascalDiff
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
	}
	return ""
}

// Format prints p with four digits in the units of s.
func (p Point) Format(s quantity.System) string {
	return quantity.Format(p.Flow, s) + " at " + quantity.Format(p.Pressure, s)
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
	return append(append(flow, " at "...), pressure...), nil
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
