package regulator

import (
	"errors"
	"strings"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Slope is the rise of a regulator's pressure with the flow that it returns. The
// zero value is none. Its text form is "8 kPa per 100 L/h", or "none".
type Slope struct {
	Rise quantity.PressureDiff
	Per  quantity.VolumeFlow
}

const slopeAccepted = `a rise in pressure per flow such as "8 kPa per 100 L/h", or "none"`

// Over returns the rise that the flow q brings, none for a flow that is not
// positive. It is in proportion to q.
func (s Slope) Over(q quantity.VolumeFlow) quantity.PressureDiff {
	if s == (Slope{}) || !(q > 0) {
		return 0
	}
	return quantity.PressureDiff(float64(s.Rise) * float64(q/s.Per))
}

// ParseSlope reads "8 kPa per 100 L/h" in any units, or "none". The error is a
// [*quantity.ParseError].
func ParseSlope(text string) (Slope, error) {
	fail := func(reason string, err error) (Slope, error) {
		return Slope{}, &quantity.ParseError{Text: text, Reason: reason, Accepted: slopeAccepted, Err: err}
	}
	if strings.EqualFold(strings.TrimSpace(text), "none") {
		return Slope{}, nil
	}
	riseText, flowText, ok := strings.Cut(strings.Join(strings.Fields(text), " "), " per ")
	if !ok {
		return fail(`no " per " between a pressure and a flow`, quantity.ErrSyntax)
	}
	rise, err := quantity.Parse[quantity.PressureDiff](riseText)
	if err != nil {
		return Slope{}, err
	}
	flow, err := quantity.Parse[quantity.VolumeFlow](flowText)
	if err != nil {
		return Slope{}, err
	}
	if !(rise > 0) || !(flow > 0) {
		return fail("pressure and flow must be greater than zero", quantity.ErrRange)
	}
	return Slope{Rise: rise, Per: flow}, nil
}

// Format prints s with four digits in the units of sys, or "none".
func (s Slope) Format(sys quantity.System) string {
	if s == (Slope{}) {
		return "none"
	}
	return quantity.Format(s.Rise, sys) + " per " + quantity.Format(s.Per, sys)
}

// String prints s in metric units, as [Slope.Format] does.
func (s Slope) String() string { return s.Format(quantity.SI) }

// Accepts says in a phrase what [ParseSlope] takes.
func (Slope) Accepts() string { return slopeAccepted }

// MarshalText writes s in coherent SI units with every digit.
func (s Slope) MarshalText() ([]byte, error) {
	if s == (Slope{}) {
		return []byte("none"), nil
	}
	rise, err := s.Rise.MarshalText()
	if err != nil {
		return nil, err
	}
	flow, err := s.Per.MarshalText()
	if err != nil {
		return nil, err
	}
	return append(append(rise, " per "...), flow...), nil
}

// UnmarshalText reads s as [ParseSlope] does and leaves it alone on an error.
func (s *Slope) UnmarshalText(text []byte) error {
	v, err := ParseSlope(string(text))
	if err != nil {
		return err
	}
	*s = v
	return nil
}

// Validate reports a slope that is neither the zero value nor has both a rise and a
// flow.
func (s Slope) Validate() error {
	if s == (Slope{}) {
		return nil
	}
	return errors.Join(
		check.Require(s.Rise > 0 && finite(s.Rise), "slope", s.Rise, "must be greater than zero"),
		check.Require(s.Per > 0 && finite(s.Per), "flow of the slope", s.Per, "must be greater than zero"))
}
