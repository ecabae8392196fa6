package evidence

import (
	"example.com/railbook/sizing/quantity"
)

// channel is a quantity that a log may have a column of.
type channel int

const (
	timeChannel channel = iota
	speedChannel
	pulseChannel
	dutyChannel
	secondPulseChannel
	secondDutyChannel
	railChannel
	manifoldChannel
	ethanolChannel
	lambdaChannel
	powerChannel
	torqueChannel
	fuelTemperatureChannel
	voltageChannel
	throttleChannel
	channels // how many there are
)

// reading is a row of a log in coherent SI units: rail and manifold pressure absolute,
// power and torque at the crank as really made. What is not logged is what the build
// sheet says.
type reading [channels]float64

// mask is a set of channels.
type mask uint32

func (m mask) has(c channel) bool { return m&(1<<c) != 0 }
func (m *mask) add(c channel)     { *m |= 1 << c }

// scale is the way from a number in a unit to SI: zero + factor · number.
type scale struct{ zero, factor float64 }

func (s scale) of(v float64) float64 { return s.zero + s.factor*v }

// kind says what a channel is measured in and what values are taken for those of an
// engine and not of a broken sensor: wide limits.
type kind struct {
	name      string // in a mapping, and for messages
	low, high float64
	scale     scaleFunc
}

// scaleFunc finds the scale of a unit and its printed symbol.
type scaleFunc func(unit string) (symbol string, s scale, err error)

func kindOf[Q quantity.Quantity](name string, low, high Q) kind {
	return kind{name, float64(low), float64(high), scaleOf[Q]}
}

func scaleOf[Q quantity.Quantity](unit string) (string, scale, error) {
	symbol, _, of, err := quantity.Scale[Q](unit)
	if err != nil {
		return "", scale{}, err
	}
	zero := float64(of(0))
	return symbol, scale{zero, float64(of(1)) - zero}, nil
}

var kinds = [channels]kind{
	timeChannel:            kindOf("time", -1e12*quantity.Second, 1e12*quantity.Second),
	speedChannel:           kindOf("speed", 0, 25000*quantity.RPM),
	pulseChannel:           kindOf("pulse", 0, 0.5*quantity.Second),
	dutyChannel:            kindOf[quantity.Ratio]("duty", 0, 2),
	secondPulseChannel:     kindOf("secondary_pulse", 0, 0.5*quantity.Second),
	secondDutyChannel:      kindOf[quantity.Ratio]("secondary_duty", 0, 2),
	railChannel:            kindOf("rail_pressure", 10*quantity.Kilopascal, 3*quantity.Megapascal),
	manifoldChannel:        kindOf("manifold_pressure", 5*quantity.Kilopascal, 900*quantity.Kilopascal),
	ethanolChannel:         kindOf[quantity.VolumeFraction]("ethanol", -0.02, 1.02),
	lambdaChannel:          kindOf[quantity.Ratio]("lambda", 0.5, 2),
	powerChannel:           kindOf("power", -5000*quantity.Horsepower, 5000*quantity.Horsepower),
	torqueChannel:          kindOf("torque", -10000*quantity.NewtonMetre, 10000*quantity.NewtonMetre),
	fuelTemperatureChannel: kindOf("fuel_temperature", quantity.Celsius(-40), quantity.Celsius(120)),
	voltageChannel:         kindOf("voltage", 6*quantity.Volt, 20*quantity.Volt),
	throttleChannel:        kindOf[quantity.Ratio]("throttle", -0.1, 1.2),
}

// String is the channel's name in a mapping.
func (c channel) String() string { return kinds[c].name }

// print formats a value of the channel in SI for people.
func (c channel) print(v float64) string {
	switch c {
	case timeChannel, pulseChannel, secondPulseChannel:
		return quantity.Format(quantity.Time(v), quantity.SI)
	case speedChannel:
		return quantity.Format(quantity.AngularSpeed(v), quantity.SI)
	case railChannel, manifoldChannel:
		return quantity.Format(quantity.Pressure(v), quantity.SI)
	case ethanolChannel:
		return quantity.Format(quantity.VolumeFraction(v), quantity.SI)
	case powerChannel:
		return quantity.Format(quantity.CrankPower(v), quantity.SI)
	case torqueChannel:
		return quantity.Format(quantity.Torque(v), quantity.SI)
	case fuelTemperatureChannel:
		return quantity.Format(quantity.Temperature(v), quantity.SI)
	case voltageChannel:
		return quantity.Format(quantity.Voltage(v), quantity.SI)
	}
	return quantity.Digits(v, 4)
}
