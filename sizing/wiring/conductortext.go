package wiring

import (
	"strconv"
	"strings"

	"example.com/railbook/sizing/quantity"
)

const conductorAccepted = `a gauge such as "10 AWG" or "2/0 AWG", or the area of the copper such as "4 mm2"`

// ParseConductor reads a gauge, "10 AWG", "0 AWG" or "1/0 AWG", or an area in any
// unit, "4 mm2". The error wraps a [*quantity.ParseError].
func ParseConductor(text string) (Conductor, error) {
	fail := func(reason string, err error) (Conductor, error) {
		return Conductor{}, &quantity.ParseError{Text: text, Reason: reason, Accepted: conductorAccepted, Err: err}
	}
	trimmed := strings.TrimSpace(text)
	const unit = "AWG"
	if at := len(trimmed) - len(unit); at >= 0 && strings.EqualFold(trimmed[at:], unit) {
		n, ok := parseGauge(strings.TrimSpace(trimmed[:at]))
		if !ok {
			return fail("is no gauge number before AWG", quantity.ErrSyntax)
		}
		if n < thickestGauge || n > thinnestGauge {
			return fail("no gauge from 4/0 to 40 AWG", quantity.ErrRange)
		}
		return gauge(n), nil
	}
	area, err := quantity.Parse[quantity.Area](trimmed)
	if err != nil {
		return fail("is neither a gauge nor an area", quantity.ErrSyntax)
	}
	return Section(area)
}

// parseGauge reads "10", "0", "2/0" or "00".
func parseGauge(text string) (n int, ok bool) {
	if aught, isAught := strings.CutSuffix(text, "/0"); isAught {
		n, err := strconv.ParseUint(aught, 10, 8)
		return 1 - int(n), err == nil && n >= 1
	}
	if len(text) > 1 && strings.Trim(text, "0") == "" {
		return 1 - len(text), true // 00 is 2/0
	}
	u, err := strconv.ParseUint(text, 10, 16)
	return int(u), err == nil
}

// Format prints c as its gauge, or with four digits in the units of s.
func (c Conductor) Format(s quantity.System) string {
	switch {
	case c.IsZero():
		return "no wire"
	case !c.gauged:
		return quantity.Format(c.area, s)
	case c.gauge <= 0:
		return strconv.Itoa(1-c.gauge) + "/0 AWG"
	}
	return strconv.Itoa(c.gauge) + " AWG"
}

// String prints c in metric units, as [Conductor.Format] does.
func (c Conductor) String() string { return c.Format(quantity.SI) }

// Accepts says in a phrase what [ParseConductor] takes.
func (Conductor) Accepts() string { return conductorAccepted }

// MarshalText writes the gauge, or the area in its coherent SI unit with every
// digit.
func (c Conductor) MarshalText() ([]byte, error) {
	switch {
	case c.IsZero():
		return nil, &quantity.ParseError{Text: c.String(), Reason: "it cannot be written", Accepted: conductorAccepted, Err: quantity.ErrRange}
	case c.gauged:
		return []byte(c.String()), nil
	}
	return c.area.MarshalText()
}

// UnmarshalText reads c as [ParseConductor] does and leaves it alone on an error.
func (c *Conductor) UnmarshalText(text []byte) error {
	v, err := ParseConductor(string(text))
	if err != nil {
		return err
	}
	*c = v
	return nil
}
