package evidence

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Stated is what is said of an instrument's uncertainty, in one of these forms:
//
//	2 %             limits: anything within ±2 % is as likely (GUM 4.3.7), u = 2 %/√3
//	2 % standard    a standard uncertainty, u = 2 %
//	2 % k=2         an expanded one with its coverage factor (GUM 4.3.3), u = 1 %
//
// The zero value is nothing said.
type Stated[Q quantity.Quantity] struct {
	Value Q
	Over  float64 // what the standard uncertainty is Value over; zero stands for nothing said
}

// Standard returns the standard uncertainty, zero where nothing is said.
func (s Stated[Q]) Standard() Q {
	if s.Over == 0 {
		return Q(0)
	}
	return Q(float64(s.Value) / s.Over)
}

// Limits states limits: half-width of a rectangular distribution.
func Limits[Q quantity.Quantity](half Q) Stated[Q] { return Stated[Q]{half, math.Sqrt(3)} }

// String prints it as UnmarshalText reads it, in metric units; a share in percent.
func (s Stated[Q]) String() string {
	text := quantity.Format(s.Value, quantity.SI)
	if r, ok := any(s.Value).(quantity.Ratio); ok {
		text = quantity.Digits(100*float64(r), 4) + " %"
	}
	switch s.Over {
	case 0:
		return "nothing said"
	case math.Sqrt(3):
		return text
	case 1:
		return text + " standard"
	}
	return text + " k=" + strconv.FormatFloat(s.Over, 'g', -1, 64)
}

// Accepts says what UnmarshalText takes.
func (Stated[Q]) Accepts() string {
	return "limits, " + quantity.Accepted[Q]() + `, with "standard" or "k=2" behind it where it is no limit`
}

// UnmarshalText reads one of the forms.
func (s *Stated[Q]) UnmarshalText(data []byte) error {
	text := strings.TrimSpace(string(data))
	over := math.Sqrt(3)
	if rest, ok := strings.CutSuffix(text, "standard"); ok {
		text, over = rest, 1
	} else if rest, k, ok := strings.Cut(text, "k"); ok && strings.Contains(k, "=") {
		v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(k), "=")), 64)
		if err != nil || !(v >= 1 && v <= 10) {
			return s.refuse(string(data), "has no coverage factor from 1 to 10")
		}
		text, over = rest, v
	}
	text = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), "±"))
	v, err := quantity.Parse[Q](text)
	if err != nil {
		return err
	}
	if v < 0 {
		return s.refuse(string(data), "is below zero")
	}
	*s = Stated[Q]{v, over}
	return nil
}

func (s *Stated[Q]) refuse(text, reason string) error {
	return &quantity.ParseError{Text: text, Reason: reason, Accepted: s.Accepts(), Err: quantity.ErrRange}
}

// Uncertainty says how far the instruments may be trusted: what lies behind every sample
// alike, so that no number of samples averages it out (type B, GUM 4.3). The defaults
// are common practice, no source.
type Uncertainty struct {
	InjectorFlow    Stated[quantity.Ratio]           `sheet:"injector_flow"`     // of the rating, of its value; default 2 %
	DeadTime        Stated[quantity.Time]            `sheet:"dead_time"`         // default 0.05 ms
	Power           Stated[quantity.Ratio]           `sheet:"power"`             // or torque, of its value; default 3 %
	DrivetrainLoss  Stated[quantity.Ratio]           `sheet:"drivetrain_loss"`   // of crank power; default 2 % at the wheels
	Speed           Stated[quantity.Ratio]           `sheet:"speed"`             // of its value; default 0.2 %
	Pulse           Stated[quantity.Ratio]           `sheet:"pulse"`             // or duty, of its value; default 0.2 %
	Rail            Stated[quantity.PressureDiff]    `sheet:"rail_pressure"`     // default 10 kPa
	Manifold        Stated[quantity.PressureDiff]    `sheet:"manifold_pressure"` // default 3 kPa
	Ethanol         Stated[quantity.Ratio]           `sheet:"ethanol"`           // of the whole volume; default 1 %
	FuelTemperature Stated[quantity.TemperatureDiff] `sheet:"fuel_temperature"`  // default 5 K
	Voltage         Stated[quantity.Voltage]         `sheet:"voltage"`           // default 0.2 V
}

// filled returns u with its defaults, and what was filled in, for the reader.
func (u Uncertainty) filled(wheels bool) (Uncertainty, []string) {
	var list []string
	note := func(filled bool, text string) {
		if filled {
			list = append(list, text)
		}
	}
	note(say(&u.InjectorFlow, 0.02), "injector flow ±2 %")
	note(say(&u.DeadTime, 0.05*quantity.Millisecond), "dead time ±0.05 ms")
	note(say(&u.Power, 0.03), "power ±3 %")
	if wheels {
		note(say(&u.DrivetrainLoss, 0.02), "drivetrain loss ±2 % of crank power")
	}
	note(say(&u.Speed, 0.002), "speed ±0.2 %")
	note(say(&u.Pulse, 0.002), "pulse ±0.2 %")
	note(say(&u.Rail, 10*quantity.KilopascalDiff), "rail pressure ±10 kPa")
	note(say(&u.Manifold, 3*quantity.KilopascalDiff), "manifold pressure ±3 kPa")
	note(say(&u.Ethanol, 0.01), "ethanol content ±1 % of the volume")
	note(say(&u.FuelTemperature, 5*quantity.KelvinDiff), "fuel temperature ±5 K")
	note(say(&u.Voltage, 0.2*quantity.Volt), "voltage ±0.2 V")
	return u, list
}

// uncertaintyDefaults lists the fields of a mapping with their defaults, as TOML.
func uncertaintyDefaults() []string {
	u, _ := Uncertainty{}.filled(true)
	v := reflect.ValueOf(u)
	var list []string
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("sheet"), ",")
		list = append(list, fmt.Sprintf("%s = %q", name, v.Field(i).Interface()))
	}
	return list
}

// say states limits where nothing was said, and reports whether it did.
func say[Q quantity.Quantity](s *Stated[Q], half Q) bool {
	if s.Over != 0 {
		return false
	}
	*s = Limits(half)
	return true
}
