package pump

import (
	"errors"
	"fmt"

	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/wiring"
)

// Electric is equal electric pumps in parallel with the wiring that feeds them. It
// is a [Supply] that works at the voltage which the wiring leaves at the terminals.
type Electric struct {
	Pump    Pump
	Circuit wiring.Circuit // zero: the supply voltage reaches the terminals
	Shared  bool           // one circuit feeds all the pumps; otherwise each has one of its own
}

// State is what electric pumps do at one pressure.
type State struct {
	Flow    quantity.VolumeFlow // of all the pumps
	Voltage quantity.Voltage    // at their terminals
	Current quantity.Current    // of all the pumps
}

// Power returns the electric power that all the pumps take up.
func (s State) Power() quantity.Power { return s.Voltage.Power(s.Current) }

// At returns what the pumps do against the differential pressure dp with the
// voltage v at the head of the wiring. Current, drop and flow are solved together.
//
// The error is [wiring.ErrCollapse] where the pumps draw more than the wiring can
// bring: they stall and bring nothing. It tells of a voltage that is not positive.
func (e Electric) At(dp quantity.PressureDiff, v quantity.Voltage) (State, error) { return e.at(dp, v) }

func (e *Electric) at(dp quantity.PressureDiff, v quantity.Voltage) (State, error) {
	if !hasCurrent(e.Pump.Curves) {
		return State{e.Pump.Flow(dp, v), v, 0}, nil
	}
	if e.Circuit == (wiring.Circuit{}) {
		return State{e.Pump.Flow(dp, v), v, e.Pump.Current(dp, v)}, nil
	}
	ways, each := e.ways()
	s, err := e.Circuit.Feed(v, func(v quantity.Voltage) quantity.Current {
		return quantity.Current(each * oneCurrent(e.Pump.Curves, float64(dp), float64(v)))
	})
	state := State{Voltage: s.Voltage, Current: quantity.Current(float64(s.Current) * ways)}
	if err == nil {
		state.Flow = e.Pump.Flow(dp, s.Voltage)
	}
	return state, err
}

// ways is the number of circuits, each of which feeds so many pumps.
func (e *Electric) ways() (ways, each float64) {
	if e.Shared {
		return 1, float64(e.Pump.count())
	}
	return float64(e.Pump.count()), 1
}

// Flow returns the flow of all the pumps at the voltage that reaches them.
func (e Electric) Flow(dp quantity.PressureDiff, at Conditions) quantity.VolumeFlow {
	s, _ := e.at(dp, at.Voltage)
	return s.Flow
}

// Current returns the current drawn from the supply.
func (e Electric) Current(dp quantity.PressureDiff, at Conditions) quantity.Current {
	s, _ := e.at(dp, at.Voltage)
	return s.Current
}

// Power returns the electric power at the terminals. What the wiring keeps is not
// in it.
func (e Electric) Power(dp quantity.PressureDiff, at Conditions) quantity.Power {
	s, _ := e.at(dp, at.Voltage)
	return s.Power()
}

// Covers reports whether the pumps are measured at dp and at the voltage that
// reaches them, and whether any does.
func (e Electric) Covers(dp quantity.PressureDiff, at Conditions) bool {
	s, err := e.at(dp, at.Voltage)
	return err == nil && e.Pump.Covers(dp, s.Voltage)
}

// Validate reports what makes no sense in the pump and in the circuit. It refuses a
// circuit for a pump whose current is not known, as the drop is not known then.
func (e Electric) Validate() error {
	errs := []error{e.Pump.Validate(), e.Circuit.Validate()}
	if e.Circuit != (wiring.Circuit{}) && !e.Pump.HasCurrent() && len(e.Pump.Curves) > 0 {
		errs = append(errs, fmt.Errorf("curves: %w", &quantity.ParseError{
			Text: join(e.Pump.Curves[0].points()), Reason: "the current is missing, without which the drop in the wiring is not known",
			Accepted: pointAccepted, Err: quantity.ErrRange,
		}))
	}
	return errors.Join(errs...)
}
