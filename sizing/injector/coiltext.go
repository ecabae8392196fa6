package injector

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/quantity"
)

const coilAccepted = `a resistance such as "12 ohm", with the drive of a peak-and-hold coil as in "2.4 ohm, peak 4 A for 1 ms, hold 1 A", or "none"`

// ParseCoil reads "12 ohm", "2.4 ohm, peak 4 A for 1 ms, hold 1 A" or "none". The
// error wraps a [*quantity.ParseError].
func ParseCoil(text string) (Coil, error) {
	fail := func(reason string, err error) (Coil, error) {
		return Coil{}, &quantity.ParseError{Text: text, Reason: reason, Accepted: coilAccepted, Err: err}
	}
	parts := strings.Split(strings.Join(strings.Fields(text), " "), ",")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	if len(parts) == 1 && strings.EqualFold(parts[0], "none") {
		return Coil{}, nil
	}
	r, err := quantity.Parse[quantity.Resistance](parts[0])
	if err != nil {
		return Coil{}, err
	}
	c := Coil{Resistance: r}
	if len(parts) > 1 {
		if len(parts) != 3 {
			return fail("a peak-and-hold drive has a peak and a hold current", quantity.ErrSyntax)
		}
		peakText, peakOK := strings.CutPrefix(parts[1], "peak ")
		currentText, timeText, timeOK := strings.Cut(peakText, " for ")
		holdText, holdOK := strings.CutPrefix(parts[2], "hold ")
		if !peakOK || !timeOK || !holdOK {
			return fail(`no "peak … for …" or no "hold …" behind the resistance`, quantity.ErrSyntax)
		}
		if c.Peak, err = quantity.Parse[quantity.Current](currentText); err != nil {
			return Coil{}, err
		}
		if c.PeakTime, err = quantity.Parse[quantity.Time](timeText); err != nil {
			return Coil{}, err
		}
		if c.Hold, err = quantity.Parse[quantity.Current](holdText); err != nil {
			return Coil{}, err
		}
		if c.Peak == 0 && c.PeakTime == 0 && c.Hold == 0 {
			return fail("a peak-and-hold drive without current", quantity.ErrRange)
		}
	}
	if c == (Coil{}) {
		return fail("the resistance must be greater than zero", quantity.ErrRange)
	}
	if err := c.Validate(); err != nil {
		return Coil{}, err
	}
	return c, nil
}

// String prints c with four digits, or "none".
func (c Coil) String() string {
	switch {
	case c == (Coil{}):
		return "none"
	case !c.PeakAndHold():
		return c.Resistance.String()
	}
	return fmt.Sprintf("%v, peak %v for %v, hold %v", c.Resistance, c.Peak, c.PeakTime, c.Hold)
}

// Accepts says in a phrase what [ParseCoil] takes.
func (Coil) Accepts() string { return coilAccepted }

// MarshalText writes c in coherent SI units with every digit.
func (c Coil) MarshalText() ([]byte, error) {
	if c == (Coil{}) {
		return []byte("none"), nil
	}
	r, err := c.Resistance.MarshalText()
	if err != nil || !c.PeakAndHold() {
		return r, err
	}
	peak, err := c.Peak.MarshalText()
	if err != nil {
		return nil, err
	}
	time, err := c.PeakTime.MarshalText()
	if err != nil {
		return nil, err
	}
	hold, err := c.Hold.MarshalText()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(r, ", peak %s for %s, hold %s", peak, time, hold), nil
}

// UnmarshalText reads c as [ParseCoil] does and leaves it alone on an error.
func (c *Coil) UnmarshalText(text []byte) error {
	v, err := ParseCoil(string(text))
	if err != nil {
		return err
	}
	*c = v
	return nil
}
