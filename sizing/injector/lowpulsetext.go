package injector

import (
	"errors"
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// LowPulsePoint is one row of a [LowPulse]: an added time or a flow factor at a
// pulse, dead time not counted. Its text form is "0.08 ms at 0.6 ms" or
// "82 % at 0.6 ms".
type LowPulsePoint struct {
	Pulse  quantity.Time
	Added  quantity.Time  // where Factor is zero
	Factor quantity.Ratio // zero: Added is meant
}

const lowPulsePointAccepted = `an added time or a flow factor at a pulse such as "0.08 ms at 0.6 ms" or "82 % at 0.6 ms"`

// minPulseStep is the least difference of two pulses. Times and factors are held
// within limits far beyond any injector, which catch slips of unit.
const (
	minPulseStep = 1 * quantity.Microsecond
	maxPulse     = 1000 * quantity.Millisecond
	maxFactor    = 10
)

// fault says what is wrong with p by itself, or "".
func (p LowPulsePoint) fault() string {
	switch {
	case !(p.Pulse > 0):
		return "the pulse must be greater than zero"
	case p.Pulse > maxPulse:
		return fmt.Sprintf("the pulse must not exceed %v", maxPulse)
	case p.Factor != 0 && p.Added != 0:
		return "added times and flow factors do not mix"
	case !(p.Added >= -maxPulse && p.Added <= maxPulse):
		return fmt.Sprintf("the added time must lie within %v", maxPulse)
	case p.Factor != 0 && !(p.Factor > 0 && p.Factor <= maxFactor):
		return "the flow factor must be greater than zero and not above 10"
	case p.Factor == 0 && !(p.open() > 0):
		return "the added time leaves nothing of the pulse"
	}
	return ""
}

// none reports whether p corrects nothing.
func (p LowPulsePoint) none() bool { return p.Added == 0 && (p.Factor == 0 || p.Factor == 1) }

// ParseLowPulsePoint reads "0.08 ms at 0.6 ms", "82 % at 0.6 ms" or
// "0.82 at 0.6 ms". The error is a [*quantity.ParseError].
func ParseLowPulsePoint(text string) (LowPulsePoint, error) {
	fail := func(reason string, err error) (LowPulsePoint, error) {
		return LowPulsePoint{}, &quantity.ParseError{Text: text, Reason: reason, Accepted: lowPulsePointAccepted, Err: err}
	}
	what, pulseText, ok := strings.Cut(strings.Join(strings.Fields(text), " "), " at ")
	if !ok {
		return fail(`no " at " between a correction and a pulse`, quantity.ErrSyntax)
	}
	pulse, err := quantity.Parse[quantity.Time](pulseText)
	if err != nil {
		return LowPulsePoint{}, err
	}
	p := LowPulsePoint{Pulse: pulse}
	if added, err := quantity.Parse[quantity.Time](what); err == nil {
		p.Added = added
	} else {
		factor, err := quantity.Parse[quantity.Ratio](what)
		switch {
		case errors.Is(err, quantity.ErrRange):
			return LowPulsePoint{}, err
		case err != nil:
			return fail("is neither a time nor a factor", quantity.ErrSyntax)
		case factor == 0:
			return fail("the flow factor must be greater than zero and not above 10", quantity.ErrRange)
		}
		p.Factor = factor
	}
	if why := p.fault(); why != "" {
		return fail(why, quantity.ErrRange)
	}
	return p, nil
}

// String prints p with four digits.
func (p LowPulsePoint) String() string {
	what := p.Added.String()
	if p.Factor != 0 {
		what = p.Factor.String()
	}
	return what + " at " + p.Pulse.String()
}

// Accepts says in a phrase what [ParseLowPulsePoint] takes.
func (LowPulsePoint) Accepts() string { return lowPulsePointAccepted }

// MarshalText writes p in coherent SI units with every digit.
func (p LowPulsePoint) MarshalText() ([]byte, error) {
	what, err := p.Added.MarshalText()
	if p.Factor != 0 {
		what, err = p.Factor.MarshalText()
	}
	if err != nil {
		return nil, err
	}
	pulse, err := p.Pulse.MarshalText()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(what, " at %s", pulse), nil
}

// UnmarshalText reads p as [ParseLowPulsePoint] does and leaves it alone on an
// error.
func (p *LowPulsePoint) UnmarshalText(text []byte) error {
	v, err := ParseLowPulsePoint(string(text))
	if err != nil {
		return err
	}
	*p = v
	return nil
}

// ParseLowPulse reads rows between semicolons, or "none". The error wraps a
// [*quantity.ParseError].
func ParseLowPulse(text string) (LowPulse, error) {
	if strings.EqualFold(strings.TrimSpace(text), "none") {
		return LowPulse{}, nil
	}
	var rows []LowPulsePoint
	for part := range strings.SplitSeq(text, ";") {
		p, err := ParseLowPulsePoint(part)
		if err != nil {
			return LowPulse{}, err
		}
		rows = append(rows, p)
	}
	return NewLowPulse(rows...)
}

// String prints the rows with four digits, or "none".
func (l LowPulse) String() string {
	if l.IsZero() {
		return "none"
	}
	texts := make([]string, len(l.rows))
	for i, p := range l.rows {
		texts[i] = p.String()
	}
	return strings.Join(texts, "; ")
}

// Accepts says in a phrase what [ParseLowPulse] takes.
func (LowPulse) Accepts() string { return lowPulseAccepted + `, or "none"` }

// MarshalText writes l in coherent SI units with every digit.
func (l LowPulse) MarshalText() ([]byte, error) {
	if l.IsZero() {
		return []byte("none"), nil
	}
	return marshalRows(l.rows)
}

// UnmarshalText reads l as [ParseLowPulse] does and leaves it alone on an error.
func (l *LowPulse) UnmarshalText(text []byte) error {
	v, err := ParseLowPulse(string(text))
	if err != nil {
		return err
	}
	*l = v
	return nil
}
