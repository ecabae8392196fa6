package predict

import (
	"fmt"
	"math"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Combination is what consumption depends on, as far as the model knows.
type Combination struct {
	Induction demand.Induction
	Blend     fuel.Blend
	Boost     quantity.PressureDiff // manifold over ambient
	Valves    int                   // per cylinder
}

// mostValves is the largest number of valves per cylinder taken for real.
const mostValves = 8

// check returns an error that names the field that makes no sense.
func (c Combination) check() error {
	switch {
	case c.Induction > demand.Turbocharged:
		return fmt.Errorf("induction: %d is no kind; want %s", uint8(c.Induction), c.Induction.Accepts())
	case c.Blend.IsZero():
		return fmt.Errorf("fuel: none given")
	case c.Valves < 1 || c.Valves > mostValves:
		return fmt.Errorf("valves per cylinder: %d; want 1 to %d", c.Valves, mostValves)
	}
	return check.Require(isFinite(float64(c.Boost)), "boost", c.Boost, "is no number")
}

// Observation is a measured pull.
type Observation struct {
	Combination
	Engine string // which engine made it; pulls of one engine have the same

	// Energy is fuel energy burnt, by the lower heating value, over work at the crank.
	Energy quantity.Ratio
	// Own is the relative standard uncertainty of Energy that is new in every pull.
	Own quantity.Ratio
	// Shared is the relative standard uncertainty of Energy that all pulls of the
	// engine have in common, such as the calibration of the injectors.
	Shared quantity.Ratio
}

// Check returns nil, or an error that names the field that makes no sense.
func (o Observation) Check() error {
	if o.Engine == "" {
		return fmt.Errorf("engine: no name given")
	}
	if err := o.Combination.check(); err != nil {
		return err
	}
	e, own, shared := float64(o.Energy), float64(o.Own), float64(o.Shared)
	if err := check.Require(e > 0 && isFinite(e), "energy per unit of work", o.Energy, "is not above zero"); err != nil {
		return err
	}
	if err := check.Require(own >= 0 && own < 1, "own uncertainty", o.Own, "lies outside 0 to 1"); err != nil {
		return err
	}
	return check.Require(shared >= 0 && shared < 1, "shared uncertainty", o.Shared, "lies outside 0 to 1")
}

func isFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// band is a band of common practice as the logarithm of fuel energy per unit of work.
type band struct{ middle, half float64 }

// logBand returns the band of c. Its middle on the logarithmic scale is the geometric
// mean of its ends.
func (c Combination) logBand() band {
	b := demand.BSFC(c.Induction, c.Blend)
	low, high := math.Log(float64(b.Low)), math.Log(float64(b.High))
	return band{
		middle: (low+high)/2 + math.Log(float64(c.Blend.LHV())),
		half:   (high - low) / 2,
	}
}

// EthanolEnergy returns the part of a blend's lower heating value that ethanol brings.
func EthanolEnergy(b fuel.Blend) quantity.Ratio {
	return quantity.Ratio(float64(b.MassFraction("ethanol")) * ethanolLHV / float64(b.LHV()))
}

var ethanolLHV = func() float64 {
	b, err := fuel.Parse("ethanol")
	if err != nil {
		panic("predict: " + err.Error())
	}
	return float64(b.LHV())
}()
