package injector

import (
	"errors"
	"fmt"
	"strings"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

const ratingAccepted = `a flow at a differential pressure, then the test liquid and its temperature where known, such as ` +
	`"440 cc/min at 3 bar", "142 lb/h at 43.5 psi on gasoline" or "440 cc/min at 3 bar on n-heptane at 21 degC"`

// ParseRating reads a rating: a mass or volume flow, "at" a differential
// pressure, then, where they are known, "on" a test liquid as [fuel.Parse] reads
// it and "at" its temperature:
//
//	440 cc/min at 3 bar
//	60 lb/h at 300 kPa on gasoline
//	440 cc/min at 3 bar on n-heptane at 21 degC
//
// Without a liquid it is [DefaultFluid] and [Rating.FluidAssumed] reports true;
// without a temperature it is [DefaultTemperature]. The error wraps a
// [*quantity.ParseError], or the error of [fuel.Parse].
func ParseRating(text string) (Rating, error) {
	flowText, rest, ok := strings.Cut(strings.Join(strings.Fields(text), " "), " at ")
	if !ok {
		return Rating{}, &quantity.ParseError{
			Text: text, Reason: `no " at " between a flow and a pressure; a flow alone does not rate an injector`,
			Accepted: ratingAccepted, Err: quantity.ErrSyntax,
		}
	}
	in, err := parseConditions(rest)
	if err != nil {
		return Rating{}, err
	}
	volume, asVolume := quantity.Parse[quantity.VolumeFlow](flowText)
	if asVolume == nil {
		return NewRating(volume, in)
	}
	mass, asMass := quantity.Parse[quantity.MassFlow](flowText)
	if asMass == nil {
		return NewRating(mass, in)
	}
	return Rating{}, refuseFlow(flowText, asVolume, asMass)
}

// parseConditions reads "3 bar on n-heptane at 21 degC", the last two parts optional.
func parseConditions(text string) (in Conditions, err error) {
	pressure, liquid, named := strings.Cut(text, " on ")
	if in.Pressure, err = quantity.Parse[quantity.PressureDiff](pressure); err != nil || !named {
		return in, err
	}
	name, temperature, stated := strings.Cut(liquid, " at ")
	if in.Fluid, err = fuel.Parse(name); err != nil {
		return in, fmt.Errorf("test fluid: %w", err)
	}
	if stated {
		if in.Temperature, err = quantity.Parse[quantity.Temperature](temperature); err != nil {
			return in, err
		}
		err = check.Require(in.Temperature > 0, "test temperature", in.Temperature, "must be greater than zero")
	}
	return in, err
}

// refuseFlow makes one error of those of reading a flow as a volume and as a mass.
func refuseFlow(text string, asVolume, asMass error) error {
	var e *quantity.ParseError
	switch {
	case errors.Is(asVolume, quantity.ErrRange):
		return asVolume
	case errors.Is(asMass, quantity.ErrRange) || !errors.As(asMass, &e):
		return asMass
	}
	// Where the text is no flow of either kind, both give the same reason.
	return &quantity.ParseError{Text: text, Reason: e.Reason, Accepted: ratingAccepted, Err: e.Err}
}

// Format prints r with four digits, pressure and temperature in the units of s;
// a flow given by mass too, a flow given by volume in cc/min. The liquid is left
// out where none was named, its temperature where it is [DefaultTemperature].
func (r Rating) Format(s quantity.System) string {
	if r.IsZero() {
		return "no rating"
	}
	text := quantity.Format(r.mass, s)
	if r.byVolume {
		text = quantity.FormatIn(r.volume, quantity.CCPerMinute)
	}
	text += " at " + quantity.Format(r.pressure, s)
	if r.assumed {
		return text
	}
	text += " on " + r.fluid
	if r.temperature != DefaultTemperature {
		text += " at " + quantity.Format(r.temperature, s)
	}
	return text
}

// String prints r in metric units, as [Rating.Format] does.
func (r Rating) String() string { return r.Format(quantity.SI) }

// Accepts says in a phrase what [ParseRating] takes.
func (Rating) Accepts() string { return ratingAccepted }

// MarshalText writes r in coherent SI units with every digit.
func (r Rating) MarshalText() ([]byte, error) {
	if r.IsZero() {
		return nil, &quantity.ParseError{Text: r.String(), Reason: "it cannot be written", Accepted: ratingAccepted, Err: quantity.ErrRange}
	}
	flow, err := r.mass.MarshalText()
	if r.byVolume {
		flow, err = r.volume.MarshalText()
	}
	if err != nil {
		return nil, err
	}
	pressure, err := r.pressure.MarshalText()
	if err != nil {
		return nil, err
	}
	text := fmt.Appendf(flow, " at %s", pressure)
	if r.assumed {
		return text, nil
	}
	text = fmt.Appendf(text, " on %s", r.fluid)
	if r.temperature == DefaultTemperature {
		return text, nil
	}
	temperature, err := r.temperature.MarshalText()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(text, " at %s", temperature), nil
}

// UnmarshalText reads r as [ParseRating] does and leaves it alone on an error.
func (r *Rating) UnmarshalText(text []byte) error {
	v, err := ParseRating(string(text))
	if err != nil {
		return err
	}
	*r = v
	return nil
}
