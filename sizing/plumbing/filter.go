package plumbing

import (
	"errors"
	"math"
	"strings"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Filter is a fuel filter, told by the pressure it loses when clean at a rated
// flow. The zero value is no filter. Its text form is "15 kPa at 300 L/h", or
// "none".
type Filter struct {
	Flow quantity.VolumeFlow   // rated flow
	Drop quantity.PressureDiff // loss at the rated flow, clean
}

// Loss returns the pressure lost at flow q, Drop (q/Flow)², with the sign of q:
// the loss of a turbulent flow through ports and housing, which outweighs that
// through the element in a clean fuel filter (common practice, no source). A
// clogged filter loses more.
func (f Filter) Loss(q quantity.VolumeFlow) quantity.PressureDiff {
	if f == (Filter{}) {
		return 0
	}
	part := float64(q) / float64(f.Flow)
	return quantity.PressureDiff(float64(f.Drop) * part * math.Abs(part))
}

const filterAccepted = `a clean pressure drop at a flow such as "15 kPa at 300 L/h", or "none"`

// ParseFilter reads "15 kPa at 300 L/h" in any units, or "none". The error is a
// [*quantity.ParseError].
func ParseFilter(text string) (Filter, error) {
	fail := func(reason string, err error) (Filter, error) {
		return Filter{}, &quantity.ParseError{Text: text, Reason: reason, Accepted: filterAccepted, Err: err}
	}
	if strings.EqualFold(strings.TrimSpace(text), "none") {
		return Filter{}, nil
	}
	dropText, flowText, ok := strings.Cut(strings.Join(strings.Fields(text), " "), " at ")
	if !ok {
		return fail(`no " at " between a pressure drop and a flow`, quantity.ErrSyntax)
	}
	drop, err := quantity.Parse[quantity.PressureDiff](dropText)
	if err != nil {
		return Filter{}, err
	}
	flow, err := quantity.Parse[quantity.VolumeFlow](flowText)
	if err != nil {
		return Filter{}, err
	}
	f := Filter{Flow: flow, Drop: drop}
	if !(drop > 0) || !(flow > 0) {
		return fail("pressure drop and flow must be greater than zero", quantity.ErrRange)
	}
	return f, nil
}

// Format prints f with four digits in the units of s, or "none".
func (f Filter) Format(s quantity.System) string {
	if f == (Filter{}) {
		return "none"
	}
	return quantity.Format(f.Drop, s) + " at " + quantity.Format(f.Flow, s)
}

// String prints f in metric units, as [Filter.Format] does.
func (f Filter) String() string { return f.Format(quantity.SI) }

// Accepts says in a phrase what [ParseFilter] takes.
func (Filter) Accepts() string { return filterAccepted }

// MarshalText writes f in coherent SI units with every digit.
func (f Filter) MarshalText() ([]byte, error) {
	if f == (Filter{}) {
		return []byte("none"), nil
	}
	drop, err := f.Drop.MarshalText()
	if err != nil {
		return nil, err
	}
	flow, err := f.Flow.MarshalText()
	if err != nil {
		return nil, err
	}
	return append(append(drop, " at "...), flow...), nil
}

// Validate reports a filter that is neither the zero value nor has both a flow and
// a drop.
func (f Filter) Validate() error {
	if f == (Filter{}) {
		return nil
	}
	return errors.Join(
		check.Require(f.Flow > 0 && finite(f.Flow), "flow", f.Flow, "must be greater than zero"),
		check.Require(f.Drop > 0 && finite(f.Drop), "drop", f.Drop, "must be greater than zero"))
}

// UnmarshalText reads f as [ParseFilter] does and leaves it alone on an error.
func (f *Filter) UnmarshalText(text []byte) error {
	v, err := ParseFilter(string(text))
	if err != nil {
		return err
	}
	*f = v
	return nil
}
