// Package regulator gives the pressure that a fuel-pressure regulator holds.
//
// A [Regulator] gives back what the engine does not burn; its pressure may rise with
// the flow it returns, by a [Slope], and with what the return line needs. A [Control]
// holds the rail by the speed of the pump and returns nothing.
package regulator

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Regulator is a fuel-pressure regulator. Without Slope and OpenDrop it is taken as
// ideal: it holds its set point at every flow that it can return. The zero value has
// no kind and is not valid.
type Regulator struct {
	Kind         Kind
	BasePressure quantity.PressureDiff // held with the reference port open to ambient
	RisingRate   quantity.Ratio        // of rail pressure to boost; zero stands for 1; manifold-referenced only
	LeastReturn  quantity.VolumeFlow   // least flow that it needs to control; zero: none
	MaxReturn    quantity.VolumeFlow   // greatest flow it returns and still holds; zero: not stated

	// Slope is the rise of the pressure with the return flow above SetFlow, up to
	// which the base pressure holds. A SetFlow of zero stands for MaxReturn. A
	// regulator whose pressure rises over its whole range has the base pressure of its
	// least flow, and that as SetFlow.
	Slope   Slope
	SetFlow quantity.VolumeFlow

	OpenDrop quantity.PressureDiff // lost across the wide-open valve at MaxReturn; zero: none
}

// Setpoint returns the absolute pressure that the regulator holds where it sits:
// at the rail, or at the pump for a returnless one.
//
//	manifold-referenced   ambient + base + rate × boost above ambient
//	                      ambient + base - vacuum below it
//	fixed, returnless     ambient + base
//
// where boost is manifold less ambient. At rate 1 the first is manifold + base.
// Below ambient a rising-rate regulator follows 1:1 (common practice, no source).
func (r Regulator) Setpoint(manifold, ambient quantity.Pressure) quantity.Pressure {
	switch {
	case r.Kind != ManifoldReferenced:
		return ambient + quantity.Pressure(r.BasePressure)
	case r.RisingRate == 0 || manifold <= ambient:
		return manifold + quantity.Pressure(r.BasePressure)
	}
	return ambient + quantity.Pressure(float64(r.BasePressure)+float64(r.RisingRate)*float64(manifold-ambient))
}

// Rate returns the rise of the set point with boost: [Regulator.RisingRate], or 1
// where it is zero, for a manifold-referenced regulator; 0 for the other kinds.
func (r Regulator) Rate() quantity.Ratio {
	switch {
	case r.Kind != ManifoldReferenced:
		return 0
	case r.RisingRate == 0:
		return 1
	}
	return r.RisingRate
}

// Differential returns the set point less the manifold pressure: what the
// injectors see while the regulator holds and nothing is lost between it and
// them. It is negative where boost exceeds what the regulator holds.
func (r Regulator) Differential(manifold, ambient quantity.Pressure) quantity.PressureDiff {
	boost := manifold.Above(ambient)
	switch rate := r.Rate(); {
	case r.Kind != ManifoldReferenced:
		return r.BasePressure - boost
	case rate == 1 || boost <= 0:
		return r.BasePressure
	default:
		return r.BasePressure + quantity.PressureDiff(float64(rate-1)*float64(boost))
	}
}

// CanReturn reports whether the regulator can pass the return flow and still hold
// its set point. It is true where [Regulator.MaxReturn] is not stated.
func (r Regulator) CanReturn(flow quantity.VolumeFlow) bool {
	return r.MaxReturn == 0 || flow <= r.MaxReturn
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (r Regulator) Validate() error {
	var kind error
	if !r.Kind.valid() {
		kind = fmt.Errorf("kind: %w", r.Kind.refuse())
	}
	rate := check.Require(r.RisingRate >= 0 && finite(r.RisingRate), "rising rate", r.RisingRate, "must not be negative")
	if rate == nil && kind == nil {
		rate = check.Require(r.RisingRate == 0 || r.Kind == ManifoldReferenced, "rising rate", r.RisingRate, "only a manifold-referenced regulator has one")
	}
	return errors.Join(kind,
		check.Require(r.BasePressure > 0 && finite(r.BasePressure), "base pressure", r.BasePressure, "must be greater than zero"),
		rate,
		check.Require(r.MaxReturn >= 0 && finite(r.MaxReturn), "greatest return flow", r.MaxReturn, "must not be negative"),
		check.Require(r.LeastReturn == 0 || r.LeastReturn > 0 && (r.MaxReturn == 0 && finite(r.LeastReturn) || r.LeastReturn < r.MaxReturn),
			"least return flow", r.LeastReturn, "must not be negative and lie below the greatest"),
		r.Slope.Validate(),
		check.Require(r.SetFlow >= 0 && finite(r.SetFlow), "set flow", r.SetFlow, "must not be negative"),
		check.Require(r.OpenDrop >= 0 && finite(r.OpenDrop), "open drop", r.OpenDrop, "must not be negative"),
		check.Require(r.OpenDrop == 0 || r.MaxReturn != 0, "open drop", r.OpenDrop, "needs the greatest return flow, at which it is lost"))
}

func finite[Q quantity.Quantity](q Q) bool {
	return !math.IsNaN(float64(q)) && !math.IsInf(float64(q), 0)
}
