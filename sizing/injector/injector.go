package injector

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Injector is one kind of injector.
type Injector struct {
	Part         string
	Rating       Rating
	DeadTime     DeadTime
	LowPulse     LowPulse       // correction of short pulses; zero: none
	MinimumPulse quantity.Time  // shortest pulse, dead time counted, that still meters in proportion; zero: not stated
	Spread       quantity.Ratio // half-width of the flow within a set: 0.02 is ±2 %
	Coil         Coil           // zero: not known
}

// Pulse returns the pulse width that injects the fuel mass m at the given static
// flow, with voltage v at the injector:
//
//	t = m/ṁ + dead time
//
// with m/ṁ corrected by [Injector.LowPulse]. It is the duration from switching on
// to switching off, and +Inf where there is no static flow. Source: the linear
// model of flow per pulse against pulse width of SAE J1832, slope and time offset
// (from memory); [FlowLine] has its terms.
func (i Injector) Pulse(m quantity.Mass, static quantity.MassFlow, v quantity.Voltage) quantity.Time {
	return i.pulse(m, static, i.DeadTime.At(v))
}

// PulseAt is [Injector.Pulse] with the dead time at the differential pressure dp
// too, for which static has to be the flow.
func (i Injector) PulseAt(m quantity.Mass, static quantity.MassFlow, v quantity.Voltage, dp quantity.PressureDiff) quantity.Time {
	return i.pulse(m, static, i.DeadTime.AtPressure(v, dp))
}

func (i Injector) pulse(m quantity.Mass, static quantity.MassFlow, dead quantity.Time) quantity.Time {
	if !(static > 0) {
		return quantity.Time(math.Inf(1))
	}
	return i.LowPulse.Open(quantity.Time(float64(m)/float64(static))) + dead
}

// FuelAt returns the fuel that a pulse injects at the given static flow, with
// voltage v at the injector and the differential pressure dp: the inverse of
// [Injector.PulseAt]. A pulse no longer than the dead time injects none.
func (i Injector) FuelAt(pulse quantity.Time, static quantity.MassFlow, v quantity.Voltage, dp quantity.PressureDiff) quantity.Mass {
	open := max(0, pulse-i.DeadTime.AtPressure(v, dp))
	return quantity.Mass(float64(i.LowPulse.Net(open)) * float64(static))
}

// Weakest returns the static flow of the leanest injector of a set whose nominal
// static flow is given: less by [Injector.Spread].
func (i Injector) Weakest(static quantity.MassFlow) quantity.MassFlow {
	return quantity.MassFlow(float64(static) * (1 - float64(i.Spread)))
}

// Strongest returns the static flow of the richest injector of a set whose
// nominal static flow is given: more by [Injector.Spread].
func (i Injector) Strongest(static quantity.MassFlow) quantity.MassFlow {
	return quantity.MassFlow(float64(static) * (1 + float64(i.Spread)))
}

// Meters reports whether a pulse is long enough to meter in proportion. It is
// true where [Injector.MinimumPulse] is not stated.
func (i Injector) Meters(pulse quantity.Time) bool { return pulse >= i.MinimumPulse }

// Validate reports every field that makes no sense, each error named after its
// field. A zero DeadTime passes: whether one may be left out is for the caller.
func (i Injector) Validate() error {
	var rating error
	if i.Rating.IsZero() {
		rating = fmt.Errorf("rating: %w", &quantity.ParseError{Reason: "is missing", Accepted: ratingAccepted, Err: quantity.ErrRange})
	}
	return errors.Join(rating,
		check.Require(i.MinimumPulse == 0 || positive(i.MinimumPulse), "minimum pulse", i.MinimumPulse, "must not be negative"),
		check.Require(i.Spread >= 0 && i.Spread < 1, "spread", i.Spread, "must lie from 0 to less than 1"),
		i.Coil.Validate())
}
