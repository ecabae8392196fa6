package plumbing

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Tank is the fuel in a tank as one body of one temperature, which heat warms and the
// air around cools:
//
//	M c dT/dt = heat - U (T - T_ambient),  dM/dt = -draw
//
// What is drawn leaves at the temperature of the tank; what comes back and the heat it
// brings is in heat, as [Loop.ToTank] has it. The tank's own heat capacity is left
// out, so that it warms a little slower than this says.
type Tank struct {
	Mass         quantity.Mass     // of fuel at the start
	Draw         quantity.MassFlow // burnt, or for any other reason gone for good; zero: the mass stays
	SpecificHeat quantity.SpecificHeat
	// Cooling is the time in which the excess of Mass over ambient falls to 37 %, 1/e,
	// with no heat coming in: M c/U. Zero stands for a tank that loses no heat.
	Cooling quantity.Time
}

// Empty returns the time after which the tank is dry, +Inf where nothing is drawn.
func (t Tank) Empty() quantity.Time {
	if !(t.Draw > 0) {
		return quantity.Time(math.Inf(1))
	}
	return quantity.Time(float64(t.Mass) / float64(t.Draw))
}

// Balance returns the temperature at which the tank loses as much heat as it gets:
// T_ambient + heat/U. It is infinite for heat that it does not lose.
func (t Tank) Balance(ambient quantity.Temperature, heat quantity.Power) quantity.Temperature {
	switch {
	case heat == 0:
		return ambient
	case t.Cooling == 0:
		return quantity.Temperature(float64(heat) * math.Inf(1))
	}
	return ambient.Plus(quantity.TemperatureDiff(float64(heat) * float64(t.Cooling) / (float64(t.Mass) * float64(t.SpecificHeat))))
}

// After returns the temperature after the time at, with the fuel at start in the
// beginning. With a mass that stays it goes to [Tank.Balance] exponentially, or in a
// straight line where no heat is lost; as the mass falls it goes faster. It is exact
// for what Tank says, and has no break in any argument. The last drop is at
// [Tank.Balance]: after [Tank.Empty] that is what comes back, +Inf where no heat is
// lost.
func (t Tank) After(at quantity.Time, start, ambient quantity.Temperature, heat quantity.Power) quantity.Temperature {
	rate, loss := t.rates(start, ambient, heat)
	if rate == 0 {
		return start // in balance, or nothing to change it
	}
	return start.Plus(quantity.TemperatureDiff(rate * saturating(loss, t.perMass(at))))
}

// rates returns d T/dθ at the start and the constant of its decay, with θ = ∫dt/M.
func (t Tank) rates(start, ambient quantity.Temperature, heat quantity.Power) (rate, loss float64) {
	if t.Cooling > 0 {
		loss = float64(t.Mass) / float64(t.Cooling) // U/c
	}
	return float64(heat)/float64(t.SpecificHeat) - loss*float64(start.Less(ambient)), loss
}

// perMass is θ = ∫dt/M in s/kg, +Inf when the tank is dry.
func (t Tank) perMass(at quantity.Time) float64 {
	if !(t.Draw > 0) {
		return float64(at) / float64(t.Mass)
	}
	gone := min(1, float64(t.Draw)*float64(at)/float64(t.Mass))
	return -math.Log1p(-gone) / float64(t.Draw)
}

// saturating is (1 - exp(-k x))/k, and x where k is nothing.
func saturating(k, x float64) float64 {
	if k == 0 {
		return x
	}
	return -math.Expm1(-k*x) / k
}

// Until returns the time after which the fuel has the temperature target: the inverse
// of [Tank.After]. It is zero where the start already has it, and +Inf where it lies
// at or beyond [Tank.Balance], or the other way.
func (t Tank) Until(target, start, ambient quantity.Temperature, heat quantity.Power) quantity.Time {
	rate, loss := t.rates(start, ambient, heat)
	want := float64(target.Less(start))
	if want == 0 {
		return 0
	}
	x := want / rate // what saturating has to be
	if !(x > 0) || math.IsInf(x, 1) || loss*x >= 1 {
		return quantity.Time(math.Inf(1))
	}
	if loss > 0 {
		x = -math.Log1p(-loss*x) / loss
	}
	if t.Draw > 0 {
		x = -math.Expm1(-float64(t.Draw)*x) / float64(t.Draw) // the mass left is exp(-draw θ)
	}
	return quantity.Time(x * float64(t.Mass))
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (t Tank) Validate() error {
	return errors.Join(
		check.Require(t.Mass > 0 && finite(t.Mass), "mass of fuel", t.Mass, "must be greater than zero"),
		check.Require(t.Draw >= 0 && finite(t.Draw), "draw", t.Draw, "must not be negative"),
		requireHeat(t.SpecificHeat),
		check.Require(t.Cooling >= 0 && finite(t.Cooling), "cooling time", t.Cooling, "must not be negative"))
}
