package sizing

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// kind is the kind of number that a field holds.
type kind interface {
	parse(text string) (si float64, err error)
	scale(unit string) (symbol string, number, si func(float64) float64, err error)
	unit(sys quantity.System) string // that a unit system prints it in
}

// kindOf is a quantity.
type kindOf[Q quantity.Quantity] struct{}

func (kindOf[Q]) parse(text string) (float64, error) {
	q, err := quantity.Parse[Q](text)
	return float64(q), err
}

func (kindOf[Q]) scale(unit string) (string, func(float64) float64, func(float64) float64, error) {
	symbol, number, of, err := quantity.Scale[Q](unit)
	if err != nil {
		return "", nil, nil, err
	}
	return symbol, func(si float64) float64 { return number(Q(si)) }, func(v float64) float64 { return float64(of(v)) }, nil
}

func (kindOf[Q]) unit(sys quantity.System) string { return quantity.UnitSymbol[Q](sys) }

// wholeNumber is a count.
type wholeNumber struct{}

func (wholeNumber) parse(text string) (float64, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return 0, &quantity.ParseError{Text: text, Reason: "is not a whole number", Accepted: "a whole number such as 6", Err: quantity.ErrSyntax}
	}
	return float64(n), nil
}

func (wholeNumber) scale(unit string) (string, func(float64) float64, func(float64) float64, error) {
	if unit != "" {
		return "", nil, nil, &quantity.ParseError{Text: unit, Reason: "a count has no unit", Accepted: "a whole number such as 6", Err: quantity.ErrSyntax}
	}
	same := func(v float64) float64 { return v }
	return "", same, same, nil
}

func (wholeNumber) unit(quantity.System) string { return "" }

var errWhole = errors.New("is not a whole number")

// kinds are those of the types that a build's fields have.
var kinds = map[reflect.Type]kind{
	reflect.TypeFor[int](): wholeNumber{},
}

func register[Q quantity.Quantity]() struct{} {
	kinds[reflect.TypeFor[Q]()] = kindOf[Q]{}
	return struct{}{}
}

var _ = []struct{}{
	register[quantity.Acceleration](), register[quantity.AngularSpeed](), register[quantity.CrankPower](), register[quantity.Length](),
	register[quantity.Mass](), register[quantity.MassFlow](), register[quantity.Power](), register[quantity.Pressure](),
	register[quantity.PressureDiff](), register[quantity.Ratio](), register[quantity.Resistance](), register[quantity.SpecificConsumption](),
	register[quantity.Temperature](), register[quantity.Time](), register[quantity.Torque](), register[quantity.Velocity](),
	register[quantity.Voltage](), register[quantity.Volume](), register[quantity.VolumeFlow](), register[quantity.VolumeFraction](),
	register[quantity.WheelPower](),
}

// store puts a number into a value of its kind.
func store(into reflect.Value, si float64) error {
	if into.Kind() != reflect.Int {
		into.SetFloat(si)
		return nil
	}
	if n := math.Round(si); n == si && math.Abs(n) < 1<<31 {
		into.SetInt(int64(n))
		return nil
	}
	return fmt.Errorf("%v %w", si, errWhole)
}

// load takes the number out of a value of its kind.
func load(from reflect.Value) float64 {
	if from.Kind() == reflect.Int {
		return float64(from.Int())
	}
	return from.Float()
}
