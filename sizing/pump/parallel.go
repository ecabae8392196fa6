package pump

import (
	"errors"
	"fmt"

	"example.com/railbook/sizing/quantity"
)

// Parallel is several arrangements that draw from the same place and deliver to
// the same line, each with a check valve, so that one which cannot reach the
// pressure delivers nothing but takes nothing either. At a pressure their flows
// add up. It is a [Supply].
type Parallel []Supply

// Flow returns the sum of the flows at dp.
func (p Parallel) Flow(dp quantity.PressureDiff, at Conditions) quantity.VolumeFlow {
	var sum quantity.VolumeFlow
	for _, s := range p {
		sum += s.Flow(dp, at)
	}
	return sum
}

// Current returns the sum of the currents at dp.
func (p Parallel) Current(dp quantity.PressureDiff, at Conditions) quantity.Current {
	var sum quantity.Current
	for _, s := range p {
		sum += s.Current(dp, at)
	}
	return sum
}

// Power returns the sum of the powers at dp.
func (p Parallel) Power(dp quantity.PressureDiff, at Conditions) quantity.Power {
	var sum quantity.Power
	for _, s := range p {
		sum += s.Power(dp, at)
	}
	return sum
}

// Covers reports whether every one covers dp.
func (p Parallel) Covers(dp quantity.PressureDiff, at Conditions) bool {
	for _, s := range p {
		if !s.Covers(dp, at) {
			return false
		}
	}
	return len(p) > 0
}

// Validate reports what makes no sense in each, counted from 1.
func (p Parallel) Validate() error {
	if len(p) == 0 {
		return fmt.Errorf("pumps: %w", &quantity.ParseError{Reason: "is missing", Accepted: "one pump or more", Err: quantity.ErrRange})
	}
	var errs []error
	for i, s := range p {
		errs = append(errs, part(fmt.Sprintf("pump %d", i+1), s))
	}
	return errors.Join(errs...)
}

// part validates one part of an arrangement and names it.
func part(name string, s Supply) error {
	if s == nil {
		return fmt.Errorf("%s: %w", name, &quantity.ParseError{Reason: "is missing", Accepted: "a pump", Err: quantity.ErrRange})
	}
	if err := s.Validate(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}
