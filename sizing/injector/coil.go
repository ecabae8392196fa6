package injector

import (
	"errors"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Coil is the winding of an injector and how it is driven. The zero value is not
// known: it draws nothing. Its text forms are "12 ohm", for a saturated drive that
// keeps the full voltage on the coil, "2.4 ohm, peak 4 A for 1 ms, hold 1 A" for a
// peak-and-hold drive, and "none".
//
// Coils below some 3 Ω are for peak and hold, those above some 10 to 12 Ω for a
// saturated drive (common practice; a student report has it so). Peak over hold is
// 4 in the usual driver (Texas Instruments, LM1949 data sheet, SNLS349C).
type Coil struct {
	Resistance quantity.Resistance
	Peak       quantity.Current // zero, like the next two: a saturated drive
	PeakTime   quantity.Time    // from switching on until the drive goes over to Hold
	Hold       quantity.Current
}

// PeakAndHold reports whether the drive limits the current.
func (c Coil) PeakAndHold() bool { return c.Peak != 0 }

// Average returns the mean current that one coil draws at the voltage v, opened for
// the pulse in every period. A pulse longer than the period counts as one as long.
//
//	saturated       I = V/R · pulse/period
//	peak and hold   I = (I_peak min(pulse, t_peak) + I_hold max(0, pulse - t_peak))/period
//
// where V/R limits either current. The time that the current takes to rise through
// the inductance of the coil is left out, so that this overstates the load on the
// wiring, by the time constant of the coil over the pulse where it is saturated. A
// peak-and-hold drive that chops, instead of standing between as a resistance, draws
// less. It never falls as v or the pulse rises.
func (c Coil) Average(v quantity.Voltage, pulse, period quantity.Time) quantity.Current {
	if !(c.Resistance > 0 && period > 0 && pulse > 0 && v > 0) {
		return 0
	}
	full := float64(v) / float64(c.Resistance)
	on := 1.0
	if pulse < period {
		on = float64(pulse / period)
	}
	if !c.PeakAndHold() {
		return quantity.Current(full * on)
	}
	peak := min(on, float64(c.PeakTime/period))
	return quantity.Current(min(full, float64(c.Peak))*peak + min(full, float64(c.Hold))*(on-peak))
}

// Validate reports every field that makes no sense, each error named after its
// field. The zero value is valid.
func (c Coil) Validate() error {
	if c == (Coil{}) {
		return nil
	}
	limited := c.Peak != 0 || c.Hold != 0 || c.PeakTime != 0
	return errors.Join(
		check.Require(positive(c.Resistance), "coil resistance", c.Resistance, "must be greater than zero"),
		check.Require(!limited || positive(c.Peak), "peak current", c.Peak, "must be greater than zero beside a hold current"),
		check.Require(!limited || positive(c.PeakTime), "peak time", c.PeakTime, "must be greater than zero beside a peak current"),
		check.Require(!limited || positive(c.Hold) && c.Hold <= c.Peak, "hold current", c.Hold, "must be greater than zero and not exceed the peak current"))
}
