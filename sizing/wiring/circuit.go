package wiring

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Circuit is the way of the current from the supply to a load and back. The zero
// value has no resistance. It is comparable.
type Circuit struct {
	Conductor   Conductor
	Length      quantity.Length      // of the wire from the supply to the load
	Return      quantity.Length      // of the wire back; zero: as long as Length. Short where the body is the return
	Temperature quantity.Temperature // of the copper; zero: 20 °C, colder than most wires in use
	// Allowance is added to the resistance of the copper, as a part of it, for
	// stranding and for cable that has less copper than its name: 0.15 for flexible
	// cable of 4 mm² at the limit of IEC 60228.
	Allowance quantity.Ratio
	Contacts  quantity.Resistance // of relay, fuse and connectors together
}

// Resistance returns the resistance of the whole way, there and back.
func (c Circuit) Resistance() quantity.Resistance { return c.Contacts + c.wires() }

// wires is the resistance without the contacts.
func (c *Circuit) wires() quantity.Resistance {
	if c.Length == 0 && c.Return == 0 {
		return 0
	}
	back, t := c.Return, c.Temperature
	if back == 0 {
		back = c.Length
	}
	if t == 0 {
		t = reference
	}
	return quantity.Resistance(float64(c.Conductor.Resistance(c.Length+back, t)) * (1 + float64(c.Allowance)))
}

// Drop returns the voltage lost on the way by current i.
func (c Circuit) Drop(i quantity.Current) quantity.Voltage {
	return quantity.Voltage(float64(c.Resistance()) * float64(i))
}

// Heat returns the power that current i leaves in the wires and contacts, I²R.
func (c Circuit) Heat(i quantity.Current) quantity.Power {
	return quantity.Power(float64(i) * float64(i) * float64(c.Resistance()))
}

// ErrTooLong is returned by [Circuit.SectionFor] where the contacts alone lose the
// voltage allowed.
var ErrTooLong = errors.New("the contacts alone lose more")

// SectionFor returns the area of copper with which the circuit, whatever its own
// conductor, loses the allowed voltage at current i: the inverse of
// [Circuit.Drop]. [AtLeast] turns it into a gauge. The error is [ErrTooLong]
// where no wire is thick enough, or tells of an argument or a circuit that makes
// no sense.
func (c Circuit) SectionFor(i quantity.Current, allowed quantity.Voltage) (quantity.Area, error) {
	c.Conductor = Conductor{area: 1 * quantity.SquareMetre}
	err := errors.Join(c.Validate(),
		check.Require(i > 0 && finite(i), "current", i, "must be greater than zero"),
		check.Require(allowed > 0 && finite(allowed), "allowed drop", allowed, "must be greater than zero"))
	if err != nil {
		return 0, err
	}
	left := float64(allowed)/float64(i) - float64(c.Contacts)
	if !(left > 0) {
		return 0, fmt.Errorf("%w: %v allowed, %v lost in %v", ErrTooLong, allowed, quantity.Voltage(float64(c.Contacts)*float64(i)), c.Contacts)
	}
	return quantity.Area(float64(c.wires()) / left), nil // of 1 m², above
}

// Limits of the temperature of a wire. They catch slips, such as a reading in the
// wrong unit.
var (
	coldest = quantity.Celsius(-60)
	hottest = quantity.Celsius(250)
)

// Validate reports every field that makes no sense, each error named after its
// field. The zero value is valid.
func (c Circuit) Validate() error {
	var conductor error
	if c.Conductor.IsZero() && (c.Length != 0 || c.Return != 0) {
		conductor = fmt.Errorf("conductor: %w", &quantity.ParseError{Reason: "is missing beside a length", Accepted: conductorAccepted, Err: quantity.ErrRange})
	}
	return errors.Join(conductor,
		check.Require(c.Length >= 0 && finite(c.Length), "length", c.Length, "must not be negative"),
		check.Require(c.Return >= 0 && finite(c.Return), "return length", c.Return, "must not be negative"),
		check.Require(c.Temperature == 0 || c.Temperature >= coldest && c.Temperature <= hottest, "temperature", c.Temperature,
			fmt.Sprintf("must lie from %v to %v", coldest, hottest)),
		check.Require(c.Allowance >= 0 && finite(c.Allowance), "allowance", c.Allowance, "must not be negative"),
		check.Require(c.Contacts >= 0 && finite(c.Contacts), "contacts", c.Contacts, "must not be negative"))
}

func finite[Q quantity.Quantity](q Q) bool {
	return !math.IsNaN(float64(q)) && !math.IsInf(float64(q), 0)
}
