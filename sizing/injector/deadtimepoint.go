package injector

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// DeadTimePoint is the dead time at one voltage and differential pressure. Its
// text form is "1.05 ms at 13.5 V and 3 bar", "1.05 ms at 13.5 V" where the
// pressure is not known, or "1.05 ms" where neither is.
type DeadTimePoint struct {
	Time     quantity.Time
	Voltage  quantity.Voltage      // zero: not known
	Pressure quantity.PressureDiff // rail less manifold; zero: not known
}

const deadTimePointAccepted = `a dead time at a voltage such as "1.05 ms at 13.5 V", then the differential pressure where known as in "1.05 ms at 13.5 V and 3 bar"`

// ParseDeadTimePoint reads "1.05 ms at 13.5 V and 3 bar", "1.05 ms at 13.5 V" or
// "1.05 ms". The error is a [*quantity.ParseError].
func ParseDeadTimePoint(text string) (DeadTimePoint, error) {
	timeText, where, stated := strings.Cut(strings.Join(strings.Fields(text), " "), " at ")
	voltageText, pressureText, pressed := strings.Cut(where, " and ")
	t, err := quantity.Parse[quantity.Time](timeText)
	if err != nil {
		return DeadTimePoint{}, err
	}
	p := DeadTimePoint{Time: t}
	if stated {
		if p.Voltage, err = quantity.Parse[quantity.Voltage](voltageText); err != nil {
			return DeadTimePoint{}, err
		}
	}
	if pressed {
		if p.Pressure, err = quantity.Parse[quantity.PressureDiff](pressureText); err != nil {
			return DeadTimePoint{}, err
		}
	}
	why := p.fault()
	switch {
	case stated && p.Voltage == 0:
		why = "the voltage must be greater than zero"
	case pressed && p.Pressure == 0:
		why = "the pressure must be greater than zero"
	}
	if why != "" {
		return DeadTimePoint{}, &quantity.ParseError{Text: text, Reason: why, Accepted: deadTimePointAccepted, Err: quantity.ErrRange}
	}
	return p, nil
}

// Limits far beyond any injector. They catch slips of unit and keep the arithmetic
// of interpolation within bounds.
const (
	maxDeadTime = 100 * quantity.Millisecond
	maxVoltage  = 1000 * quantity.Volt
	maxPressure = 1000 * quantity.MegapascalDiff
)

// fault says what is wrong with p by itself, or "".
func (p DeadTimePoint) fault() string {
	switch {
	case !(p.Time >= 0):
		return "a dead time must not be negative"
	case p.Time > maxDeadTime:
		return fmt.Sprintf("a dead time must not exceed %v", maxDeadTime)
	case !(p.Voltage >= 0):
		return "the voltage must be greater than zero"
	case p.Voltage > maxVoltage:
		return fmt.Sprintf("the voltage must not exceed %v", maxVoltage)
	case !(p.Pressure >= 0):
		return "the pressure must be greater than zero"
	case p.Pressure > maxPressure:
		return fmt.Sprintf("the pressure must not exceed %v", maxPressure)
	case p.Pressure != 0 && p.Voltage == 0:
		return "a pressure needs a voltage before it"
	}
	return ""
}

// String prints p with four digits.
func (p DeadTimePoint) String() string {
	if p.Voltage == 0 {
		return p.Time.String()
	}
	text := p.Time.String() + " at " + p.Voltage.String()
	if p.Pressure != 0 {
		text += " and " + p.Pressure.String()
	}
	return text
}

// MarshalText writes p in coherent SI units with every digit.
func (p DeadTimePoint) MarshalText() ([]byte, error) {
	text, err := p.Time.MarshalText()
	if err != nil || p.Voltage == 0 {
		return text, err
	}
	voltage, err := p.Voltage.MarshalText()
	if err != nil {
		return nil, err
	}
	text = fmt.Appendf(text, " at %s", voltage)
	if p.Pressure == 0 {
		return text, nil
	}
	pressure, err := p.Pressure.MarshalText()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(text, " and %s", pressure), nil
}

// UnmarshalText reads p as [ParseDeadTimePoint] does and leaves it alone on an
// error.
func (p *DeadTimePoint) UnmarshalText(text []byte) error {
	v, err := ParseDeadTimePoint(string(text))
	if err != nil {
		return err
	}
	*p = v
	return nil
}

// Accepts says in a phrase what [ParseDeadTimePoint] takes.
func (DeadTimePoint) Accepts() string { return deadTimePointAccepted }
