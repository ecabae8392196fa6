package demand

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// QuarterMile is the distance of the usual standing-start run, 1320 ft.
const QuarterMile quantity.Length = 402.336 * quantity.Metre

// StripRule relates the power and the mass of a vehicle to its speed at the end of
// a standing-start run over a quarter of a mile:
//
//	v = Speed · ((P/m) / (hp/lb))^(1/3)
//
// with the mass m of the vehicle as it runs, driver and fuel included, and the
// speed v as timing lights average it over the last stretch. The constant is
// experience of whole vehicles, so that the power is the engine's, at the crank. A
// rule without a constant gives no power.
type StripRule struct {
	Speed quantity.Velocity // at the end of the run, at 1 hp/lb
}

// EmpiricalStrip returns Huntington's rule, 225 mph at 1 hp/lb, as given in Nahin,
// In Praise of Simple Physics, page 33.
//
// Power goes with the third power of the constant: one percent of it is three
// percent of power. The rule knows nothing of traction, gearing, drag and wind: it
// is a check on a claimed power, not a measurement.
func EmpiricalStrip() StripRule { return StripRule{Speed: 225 * quantity.MilePerHour} }

// horsepowerPerPound is 1 hp/lb in watts per kilogram.
const horsepowerPerPound = float64(quantity.Horsepower) / float64(quantity.Pound)

// PowerFromSpeed returns the crank power of a vehicle that ends the run at v.
func (r StripRule) PowerFromSpeed(m quantity.Mass, v quantity.Velocity) quantity.CrankPower {
	if !(m > 0 && v > 0 && r.Speed > 0) {
		return 0
	}
	return quantity.CrankPower(float64(m) * horsepowerPerPound * cube(float64(v/r.Speed)))
}

// FinalSpeed returns the speed at the end of the run of a vehicle with the crank
// power p: the inverse of PowerFromSpeed. It is zero where mass or power is not
// positive.
func (r StripRule) FinalSpeed(m quantity.Mass, p quantity.CrankPower) quantity.Velocity {
	if !(m > 0 && p > 0) {
		return 0
	}
	return quantity.Velocity(float64(r.Speed) * math.Cbrt(float64(p)/float64(m)/horsepowerPerPound))
}

// SteadyRun is a standing-start run over a distance in which a constant power does
// nothing but accelerate the mass:
//
//	v³ = 3 P x / m,  t³ = 9 m x² / (8 P)
//
// so that v t = 3 x/2. A real vehicle loses power to drag, tyres, wheel spin and
// gear changes on the way: the power found is the mean that reached the road as
// acceleration, a lower bound on that at the wheels. Huntington's 225 mph means
// that a little over half of the crank power does. Source: the theory of G. T. Fox, Am.
// J. Phys. 41, 311 (1973), from memory, as derived in Nahin, In Praise of Simple
// Physics.
type SteadyRun struct{ Distance quantity.Length }

// PowerFromSpeed returns the power that brings the mass to v.
func (s SteadyRun) PowerFromSpeed(m quantity.Mass, v quantity.Velocity) quantity.WheelPower {
	if !(m > 0 && v > 0 && s.Distance > 0) {
		return 0
	}
	return quantity.WheelPower(float64(m) * cube(float64(v)) / (3 * float64(s.Distance)))
}

// PowerFromTime returns the power that brings the mass over the distance in t.
func (s SteadyRun) PowerFromTime(m quantity.Mass, t quantity.Time) quantity.WheelPower {
	if !(m > 0 && t > 0 && s.Distance > 0) {
		return 0
	}
	x := float64(s.Distance)
	return quantity.WheelPower(9 * float64(m) * x * x / (8 * cube(float64(t))))
}

// Run returns the final speed and the time of the mass under the power p. Both are
// zero where an argument is not positive.
func (s SteadyRun) Run(m quantity.Mass, p quantity.WheelPower) (quantity.Velocity, quantity.Time) {
	if !(m > 0 && p > 0 && s.Distance > 0) {
		return 0, 0
	}
	v := math.Cbrt(3 * float64(p) * float64(s.Distance) / float64(m))
	return quantity.Velocity(v), quantity.Time(1.5 * float64(s.Distance) / v)
}

func cube(x float64) float64 { return x * x * x }
