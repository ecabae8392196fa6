package air

import (
	"math"
	"strings"

	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// Standard is a rule that reduces the power observed on a dynamometer to that of
// reference air. The zero value is none: the figure is what was observed. Text
// forms are "none", "ISO 1585", "SAE J1349" and "SAE J607".
//
// The rules correct engines whose filling follows the ambient air. Where boost
// control or altitude compensation holds the manifold at its target, the power
// was there without them, and correcting it credits the engine twice; UN
// Regulation 85 was amended for that (document GRPE-70-02, 2014). [Standard.Observed]
// is right all the same: it undoes what the dynamometer did.
type Standard uint8

const (
	None     Standard = iota // no correction
	ISO1585                  // spark-ignition engines; UN Regulation 85 and Directive 80/1269/EEC have the same
	SAEJ1349                 // the form of 1990 to 2004
	SAEJ607                  // withdrawn; many chassis dynamometers call it "standard"
)

var standards = choice.New("a standard for power correction", "none", "ISO 1585", "SAE J1349", "SAE J607")

// Reference returns the dry pressure and the temperature at which the factor of s
// is one. For None it is the zero State.
func (s Standard) Reference() State {
	switch s {
	case ISO1585:
		return State{99 * quantity.Kilopascal, 298 * quantity.Kelvin}
	case SAEJ1349:
		return State{99 * quantity.Kilopascal, quantity.Celsius(25)}
	case SAEJ607:
		return State{29.92 * quantity.InchMercury, quantity.Fahrenheit(60)}
	}
	return State{}
}

// Factor returns the correction for air of the given dry pressure and temperature
// at the engine's intake, and whether the standard allows it; corrected power is
// the factor times the observed one. See [Weather.Dry] for the dry pressure.
//
//	ISO 1585   (99 kPa/p)^1.2 · (T/298 K)^0.6
//	SAE J1349  1.180 · (990 mbar/p) · ((t + 273)/298)^0.5 - 0.18, t in °C
//	SAE J607   (29.92 inHg/p) · ((t + 460)/520)^0.5, t in °F
//
// A factor from 0.93 to 1.07 between 10 °C and 45 °C is [Valid]. Outside, it is
// still returned, as [Outside]: a figure that was corrected so can be turned back,
// but is not a rating, and the air of the test has to be stated with it. Pressures
// and temperatures that are not positive have no factor: zero and [Undefined].
//
// Sources: ISO 1585 from memory; its reference, the temperature limits and the
// treatment of factors out of limits as in Delegated Regulation (EU) 134/2014,
// annex X, appendix 2.2, whose formula is an image. SAE J1349 and J607 as quoted
// on public pages, not read in the standards. No limits of the SAE standards
// could be read; those of ISO 1585 stand for all three.
func (s Standard) Factor(dry quantity.Pressure, t quantity.Temperature) (quantity.Ratio, Validity) {
	if s == None {
		return 1, Valid
	}
	p, k := float64(dry), float64(t)
	if !(p > 0 && k > 0) || math.IsInf(p, 0) || math.IsInf(k, 0) {
		return 0, Undefined
	}
	var f float64
	switch s {
	case ISO1585:
		f = math.Pow(99e3/p, 1.2) * math.Pow(k/298, 0.6)
	case SAEJ1349:
		f = 1.180*(99e3/p)*math.Sqrt((t.Celsius()+273)/298) - 0.18
	case SAEJ607:
		f = 29.92 * float64(quantity.InchMercury) / p * math.Sqrt((t.Fahrenheit()+460)/520)
	}
	switch {
	case !(f > 0): // also a Standard that is none of these
		return 0, Undefined
	case f < 0.93 || f > 1.07 || k < 283.15 || k > 318.15:
		return quantity.Ratio(f), Outside
	}
	return quantity.Ratio(f), Valid
}

// Corrected returns the power that s states for an engine which made the observed
// power in air of the given dry pressure and temperature. It is 0 where the
// factor is [Undefined].
func (s Standard) Corrected(observed quantity.CrankPower, dry quantity.Pressure, t quantity.Temperature) (quantity.CrankPower, Validity) {
	f, v := s.Factor(dry, t)
	return quantity.CrankPower(float64(f) * float64(observed)), v
}

// Observed turns a corrected power back into the one that was really made in air
// of the given dry pressure and temperature: that which drew the air and burnt
// the fuel. The inverse of [Standard.Corrected]; 0 where the factor is
// [Undefined]. Drivetrain loss is a share of power, so a wheel power may be turned
// into crank power before or after with the same result.
func (s Standard) Observed(corrected quantity.CrankPower, dry quantity.Pressure, t quantity.Temperature) (quantity.CrankPower, Validity) {
	f, v := s.Factor(dry, t)
	if v == Undefined {
		return 0, v
	}
	return quantity.CrankPower(float64(corrected) / float64(f)), v
}

// String returns the name of s, or "?" where it is none of them.
func (s Standard) String() string { return standards.Name(int(s)) }

// MarshalText returns String.
func (s Standard) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

var standardSpelling = strings.NewReplacer(" ", "", "-", "")

// UnmarshalText reads the names of String in any case, with or without spaces,
// hyphens and the letters SAE; *s is left alone on an error, which is a
// [*quantity.ParseError] that lists the names.
func (s *Standard) UnmarshalText(text []byte) error {
	fold := func(name string) string {
		return strings.TrimPrefix(standardSpelling.Replace(strings.ToUpper(name)), "SAE")
	}
	want := fold(strings.TrimSpace(string(text)))
	for v := None; v <= SAEJ607; v++ {
		if fold(v.String()) == want {
			*s = v
			return nil
		}
	}
	_, err := standards.Index(string(text)) // finds none, and says so
	return err
}

// Accepts says what UnmarshalText takes.
func (Standard) Accepts() string { return standards.Accepts() }

// Validity says whether a standard allows a correction.
type Validity uint8

const (
	Valid     Validity = iota // within the standard's limits
	Outside                   // computed, but beyond the limits: state the air of the test with the figure
	Undefined                 // there is no factor: pressure or temperature make no sense
)

var validities = [...]string{"within the limits of the standard", "outside the limits of the standard", "undefined"}

// String returns a phrase for a table or a warning.
func (v Validity) String() string {
	if int(v) >= len(validities) {
		return "?"
	}
	return validities[v]
}
