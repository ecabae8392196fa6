package wiring

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
)

// Load tells the current that a load draws with a voltage at its terminals. It
// may not be negative, and has to be continuous.
type Load func(quantity.Voltage) quantity.Current

// State is what a load has when it is fed through a circuit.
type State struct {
	Voltage quantity.Voltage // at the load
	Current quantity.Current
}

// Power returns the power that the load takes up.
func (s State) Power() quantity.Power { return s.Voltage.Power(s.Current) }

// ErrCollapse is returned by [Circuit.Feed] where the load draws more than the
// circuit can bring at any voltage, so that the voltage at it breaks down.
var ErrCollapse = errors.New("the load draws more than the wiring can bring")

// Feed returns the voltage and current at a load that is fed from the supply
// voltage through the circuit:
//
//	V = V_supply - R I(V)
//
// Where the current does not fall as the voltage rises there is one such voltage
// and it is found. A load of constant power, such as a motor behind a controller,
// has two; the higher one is stable and is the one returned. It is found to a
// nanovolt.
//
// The error is [ErrCollapse] where there is none; the State then has no voltage,
// and the current drawn there. It tells of a supply that is not positive.
func (c Circuit) Feed(supply quantity.Voltage, load Load) (State, error) {
	if !(supply > 0) {
		return State{}, errSupply
	}
	r, s := float64(c.Resistance()), float64(supply)
	var current quantity.Current // that the load drew last
	excess := func(v float64) float64 {
		current = load(quantity.Voltage(v))
		return s - v - r*float64(current)
	}
	high, above := s, excess(s)
	if above == 0 {
		return State{supply, current}, nil
	}
	// The drop at full voltage is the least that any of these loads can have, and
	// that of a constant power is at most twice it. So going down by doubled steps
	// passes no stable state.
	low, below := s, above
	for step := -above; !(below >= 0); step *= 2 {
		if !(low > 0 && step > 0) {
			return State{Current: load(0)}, ErrCollapse
		}
		high, above = low, below
		low = max(0, s-step)
		below = excess(low)
	}
	// Between these ends the excess is as good as straight for a motor.
	for range 4 {
		v := low + (high-low)*below/(below-above)
		switch e := excess(v); {
		case math.Abs(e) <= exact:
			return State{quantity.Voltage(v), current}, nil
		case e > 0:
			low, below = v, e
		default:
			high, above = v, e
		}
	}
	v, err := root.Within(excess, low, below, high, above, voltageTolerance)
	if err != nil {
		return State{}, err
	}
	return State{quantity.Voltage(v), load(quantity.Voltage(v))}, nil
}

// errSupply is one value, so that telling of it costs nothing in a solver.
var errSupply = errors.New("supply voltage: must be greater than zero")

// In volts: how close the voltage is found, and an excess so small that it is right.
const (
	voltageTolerance = 1e-9
	exact            = 1e-12
)

// Resistor is a load of constant resistance.
func Resistor(r quantity.Resistance) Load {
	return func(v quantity.Voltage) quantity.Current { return quantity.Current(float64(v) / float64(r)) }
}

// ConstantCurrent is a load that draws i at any voltage: near enough for a motor
// working against a constant pressure.
func ConstantCurrent(i quantity.Current) Load {
	return func(quantity.Voltage) quantity.Current { return i }
}

// ConstantPower is a load that draws p at any voltage, such as a motor behind a
// controller that holds its speed.
func ConstantPower(p quantity.Power) Load {
	return func(v quantity.Voltage) quantity.Current { return quantity.Current(float64(p) / float64(v)) }
}
