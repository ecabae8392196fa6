package injector

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// DefaultFluid is the test liquid of a rating that names none. Injectors are
// flowed on n-heptane (SAE J1832, from memory); a rating that means pump fuel has
// to say so.
const DefaultFluid = "n-heptane"

// DefaultTemperature is the temperature of the test liquid where a rating states
// none, 20 °C (common practice, no source).
const DefaultTemperature = 293.15 * quantity.Kelvin

// Limits of the temperature of a test liquid. They catch slips, such as a reading
// in the wrong unit.
var (
	coldestTest = quantity.Celsius(-20)
	warmestTest = quantity.Celsius(60)
)

// Rating is the static flow of an injector held open, with the conditions it was
// measured in. It is made by [NewRating] or [ParseRating] and does not change;
// two ratings made of the same values are ==. The zero value is no rating: it
// delivers nothing.
type Rating struct {
	mass        quantity.MassFlow // of the test liquid
	volume      quantity.VolumeFlow
	byVolume    bool // given as a volume flow
	pressure    quantity.PressureDiff
	fluid       string // as fuel.Parse reads it
	assumed     bool   // nobody named the test liquid
	temperature quantity.Temperature
	density     quantity.Density // of the test liquid
}

// Conditions are what a flow was measured in.
type Conditions struct {
	Pressure    quantity.PressureDiff // across the injector
	Fluid       fuel.Blend            // zero: DefaultFluid, and Rating.FluidAssumed reports true
	Temperature quantity.Temperature  // of the liquid; zero: DefaultTemperature
}

// Flow is what an injector can be rated by.
type Flow interface {
	quantity.MassFlow | quantity.VolumeFlow
	quantity.Quantity
}

// NewRating makes a rating of a mass flow or a volume flow. The error names every
// value that cannot be.
func NewRating[F Flow](flow F, in Conditions) (Rating, error) {
	r := Rating{pressure: in.Pressure, temperature: in.Temperature}
	if r.temperature == 0 {
		r.temperature = DefaultTemperature
	}
	err := errors.Join(
		check.Require(positive(flow), "flow", flow, "must be greater than zero"),
		check.Require(positive(in.Pressure), "test pressure", in.Pressure, "must be greater than zero"),
		check.Require(r.temperature >= coldestTest && r.temperature <= warmestTest, "test temperature", r.temperature,
			fmt.Sprintf("must lie from %v to %v", coldestTest, warmestTest)))
	if err != nil {
		return Rating{}, err
	}
	liquid := in.Fluid
	if liquid.IsZero() {
		r.assumed = true
		if liquid, err = fuel.Parse(DefaultFluid); err != nil {
			return Rating{}, fmt.Errorf("test fluid: %w", err)
		}
	}
	name, err := liquid.MarshalText()
	if err != nil {
		return Rating{}, fmt.Errorf("test fluid: %w", err)
	}
	r.fluid, r.density = string(name), liquid.Density(r.temperature)
	switch flow := any(flow).(type) {
	case quantity.MassFlow:
		r.mass, r.volume = flow, flow.Volume(r.density)
	case quantity.VolumeFlow:
		r.mass, r.volume, r.byVolume = flow.Mass(r.density), flow, true
	}
	return r, nil
}

// Flow returns the static mass flow of fuel of density rho at the differential
// pressure dp, rail less manifold:
//
//	ṁ = ṁ_test √(ρ/ρ_test · Δp/Δp_test)
//
// This is Bernoulli's equation for an orifice, ṁ = Cd A √(2 ρ Δp), with the same
// Cd A in both states. That Cd is the same is an assumption, good for turbulent
// flow of thin liquids. The flow is zero where dp is not positive, and otherwise
// rises with dp without a break.
func (r Rating) Flow(rho quantity.Density, dp quantity.PressureDiff) quantity.MassFlow {
	if !(dp > 0 && rho > 0) || r.mass == 0 {
		return 0
	}
	ratio := float64(rho) * float64(dp) / (float64(r.density) * float64(r.pressure))
	return quantity.MassFlow(float64(r.mass) * math.Sqrt(ratio))
}

// DifferentialFor returns the differential pressure at which the static mass flow
// of fuel of density rho is m: the inverse of [Rating.Flow]. It is zero for a flow
// that is not positive, and +Inf where there is no rating or no density.
func (r Rating) DifferentialFor(m quantity.MassFlow, rho quantity.Density) quantity.PressureDiff {
	switch {
	case !(m > 0):
		return 0
	case r.mass == 0 || !(rho > 0):
		return quantity.PressureDiff(math.Inf(1))
	}
	ratio := float64(m / r.mass)
	return quantity.PressureDiff(float64(r.pressure) * ratio * ratio * float64(r.density/rho))
}

// Mass returns the rated flow as a mass flow of the test liquid.
func (r Rating) Mass() quantity.MassFlow { return r.mass }

// Volume returns the rated flow as a volume flow of the test liquid.
func (r Rating) Volume() quantity.VolumeFlow { return r.volume }

// Pressure returns the differential pressure of the test.
func (r Rating) Pressure() quantity.PressureDiff { return r.pressure }

// Fluid returns the name of the test liquid, [DefaultFluid] where none was named.
func (r Rating) Fluid() string { return r.fluid }

// FluidAssumed reports whether the rating named no test liquid, so that
// [DefaultFluid] stands in: an assumption worth showing.
func (r Rating) FluidAssumed() bool { return r.assumed }

// Temperature returns the temperature of the test liquid.
func (r Rating) Temperature() quantity.Temperature { return r.temperature }

// Density returns the density of the test liquid.
func (r Rating) Density() quantity.Density { return r.density }

// IsZero reports whether r is the zero Rating, which is no rating.
func (r Rating) IsZero() bool { return r == Rating{} }
