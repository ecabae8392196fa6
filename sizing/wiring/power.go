package wiring

import (
	"errors"

	"example.com/railbook/sizing/quantity"
)

// Power is electric power or a flow of heat in watts. It is not the power of the
// engine, [quantity.CrankPower].
type Power float64

// Units of [Power].
const (
	Watt     Power = 1
	Kilowatt Power = 1e3
)

const powerAccepted = `an electric power or a flow of heat such as "300 W" (units: W, kW)`

// PowerOf returns the electric power of current i at voltage v.
func PowerOf(v quantity.Voltage, i quantity.Current) Power { return Power(float64(v) * float64(i)) }

// ParsePower reads "300 W" or "0.3 kW"; it may not be negative. The error is a
// [*quantity.ParseError].
func ParsePower(text string) (Power, error) {
	v, err := quantity.Parse[quantity.CrankPower](text)
	var pe *quantity.ParseError
	if errors.As(err, &pe) {
		told := *pe
		told.Accepted = powerAccepted
		return 0, &told
	}
	return Power(v), err
}

// In returns p as a number of the given unit.
func (p Power) In(unit Power) float64 { return float64(p / unit) }

// String prints p in watts with four digits.
func (p Power) String() string { return quantity.Digits(float64(p), 4) + " W" }

// Accepts says in a phrase what [ParsePower] takes.
func (Power) Accepts() string { return powerAccepted }

// MarshalText writes p in watts with every digit.
func (p Power) MarshalText() ([]byte, error) { return quantity.CrankPower(p).MarshalText() }

// UnmarshalText reads p as [ParsePower] does and leaves it alone on an error.
func (p *Power) UnmarshalText(text []byte) error {
	v, err := ParsePower(string(text))
	if err != nil {
		return err
	}
	*p = v
	return nil
}
