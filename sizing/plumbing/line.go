package plumbing

import (
	"errors"
	"fmt"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// DefaultRoughness is the wall roughness that a [Line] has where none is given:
// drawn tubing, 0.0015 mm, as a reprint of Moody's chart (L. F. Moody,
// Transactions of the ASME 66, 1944) tabulates it. It stands for smooth-bore hose
// too: common practice, no source. A convoluted hose loses far more and has to be
// given a roughness or loss coefficient of its own.
const DefaultRoughness = 1.5 * quantity.Micrometre

// Velocities that fuel should keep in a line, from MIL-HDBK-1022,
// paragraph 9.1.1.1 (US Department of Defense, petroleum fuel facilities): 3 to
// 5 ft/s where a pump draws and 7 to 12 ft/s where it delivers. They are advice
// for installations on land; no test is cited with them.
const (
	SuctionVelocityLow   = 0.9 * quantity.MetrePerSecond
	SuctionVelocityHigh  = 1.5 * quantity.MetrePerSecond
	PressureVelocityLow  = 2.1 * quantity.MetrePerSecond
	PressureVelocityHigh = 3.7 * quantity.MetrePerSecond
)

// maxRelativeRoughness is the end of the range of the Colebrook equation.
const maxRelativeRoughness = 0.05

// Line is one run of hose or tube of constant bore. The zero value is no line at
// all: it loses nothing.
type Line struct {
	Bore            quantity.Length // inside diameter
	Length          quantity.Length // along the run
	Roughness       quantity.Length // of the wall; zero stands for DefaultRoughness
	LossCoefficient quantity.Ratio  // sum of the K of the fittings, referred to the bore
	Rise            quantity.Length // outlet above inlet; negative where it leads down
	Ahead           quantity.Length // outlet ahead of inlet in the vehicle; negative where it leads rearward
}

// Drop returns the pressure at the inlet less the pressure at the outlet, for
// flow q of a liquid with density rho and dynamic viscosity mu:
//
//	Δp = (f L/D + K) ρ V²/2 + ρ g z
//
// with f from [FrictionFactor]. A negative q flows backwards, so the first term
// turns its sign and the second does not. The drop is continuous in q and never
// falls as q rises. A line without length and fittings loses only its rise,
// whatever its bore. Source: Darcy and Weisbach, with minor losses, as in
// F. M. White, Fluid Mechanics, chapter 6.
func (l Line) Drop(q quantity.VolumeFlow, rho quantity.Density, mu quantity.Viscosity) quantity.PressureDiff {
	static := float64(rho) * float64(quantity.StandardGravity) * float64(l.Rise)
	return quantity.PressureDiff(static + l.loss(float64(q), float64(rho), float64(mu)))
}

// Inertia returns what has to be added to [Line.Drop] in a vehicle that accelerates
// forward with a: ρ a times the way that the line leads ahead. It is negative for a
// line that leads rearward, and under braking. Euler's equation for a liquid at rest
// in the vehicle.
func (l Line) Inertia(rho quantity.Density, a quantity.Acceleration) quantity.PressureDiff {
	return quantity.PressureDiff(float64(rho) * float64(a) * float64(l.Ahead))
}

// loss is the part of the drop that the flow causes, odd in q, in pascals. Taking a
// pointer halves its time.
func (l *Line) loss(q, rho, mu float64) float64 {
	length, k := float64(l.Length), float64(l.LossCoefficient)
	if q == 0 || length == 0 && k == 0 {
		return 0
	}
	d := float64(l.Bore)
	re := 4 / math.Pi * rho * math.Abs(q) / (d * mu)
	perBore := 1 / d
	v := 4 / math.Pi * q * perBore * perBore
	dynamic := rho * math.Abs(v) * v / 2
	if re <= LaminarLimit {
		return 32*mu*length*v*perBore*perBore + k*dynamic // 64/Re put in, so that Re = 0 does no harm
	}
	return (FrictionFactor(re, float64(l.roughness())*perBore)*length*perBore + k) * dynamic
}

func (l *Line) roughness() quantity.Length {
	if l.Roughness == 0 {
		return DefaultRoughness
	}
	return l.Roughness
}

func (l Line) relativeRoughness() float64 { return float64(l.roughness() / l.Bore) }

// Velocity returns the mean velocity of flow q in the bore, zero where there is no
// bore. Compare it with [SuctionVelocityHigh] or [PressureVelocityHigh].
func (l Line) Velocity(q quantity.VolumeFlow) quantity.Velocity {
	if l.Bore == 0 {
		return 0
	}
	d := float64(l.Bore)
	return quantity.Velocity(float64(q) / (math.Pi / 4 * d * d))
}

// Reynolds returns the Reynolds number of flow q in the bore: ρ V D/µ, negative for
// a negative flow.
func (l Line) Reynolds(q quantity.VolumeFlow, rho quantity.Density, mu quantity.Viscosity) float64 {
	return float64(rho) * float64(l.Velocity(q)) * float64(l.Bore) / float64(mu)
}

// ErrNoFlow is returned by [Line.Capacity] where the allowed drop is used up by
// the rise of the line, so that no fuel flows.
var ErrNoFlow = errors.New("the allowed drop does not lift the fuel")

// Capacity returns the flow at which the line loses the allowed pressure: the
// inverse of [Line.Drop], to about 1 part in 1e12. It is +Inf for a line without
// length and fittings. The error is [ErrNoFlow], with a flow of zero, where
// allowed is less than the rise alone costs, and tells of an argument or a line
// that [Line.Validate] would refuse.
func (l Line) Capacity(allowed quantity.PressureDiff, rho quantity.Density, mu quantity.Viscosity) (quantity.VolumeFlow, error) {
	err := errors.Join(l.Validate(),
		check.Require(rho > 0 && finite(rho), "density", rho, "must be greater than zero"),
		check.Require(mu > 0 && finite(mu), "viscosity", mu, "must be greater than zero"),
		check.Require(finite(allowed), "allowed drop", allowed, "must be finite"))
	if err != nil {
		return 0, err
	}
	want := float64(allowed) - float64(l.Drop(0, rho, mu))
	switch {
	case want < 0:
		return 0, fmt.Errorf("%w: %v allowed, %v needed", ErrNoFlow, allowed, l.Drop(0, rho, mu))
	case l.Length == 0 && l.LossCoefficient == 0:
		return quantity.VolumeFlow(math.Inf(1)), nil
	case want == 0:
		return 0, nil
	}
	edge := LaminarLimit * math.Pi / 4 * float64(mu) * float64(l.Bore) / float64(rho) // of laminar flow
	return quantity.VolumeFlow(flowAt(want, edge, func(q float64) float64 { return l.loss(q, float64(rho), float64(mu)) })), nil
}

// flowAt solves loss(q) = want for want > 0, from a start above zero. The loss goes with a
// power of the flow that changes slowly: 1 when laminar, 2 in fittings and filters, near
// that when turbulent, up to about 4 in between. So the secant in logarithms settles in a
// few steps; the bracket catches it where it does not. The flow is right to some 1e-13.
func flowAt(want, start float64, loss func(q float64) float64) float64 {
	q := start
	miss := math.Log(want / loss(q)) // of ln loss
	lo, hi := 0.0, math.Inf(1)
	exponent, before := 1.5, 1.0
	for range 200 {
		if miss > 0 {
			lo = q
		} else {
			hi = q
		}
		step := miss / exponent // of ln q
		next := q * math.Exp(step)
		if math.Abs(step*before) <= 1e-14 {
			return next // what a secant leaves goes with the product of its last two steps
		}
		if !(next > lo && next < hi) { // the secant left the bracket
			next = (lo + hi) / 2
			if next == lo || next == hi {
				return next
			}
			step = math.Log(next / q)
		}
		missed := math.Log(want / loss(next))
		exponent, before = min(5, max(1, (miss-missed)/step)), step
		q, miss = next, missed
	}
	return q
}

// Validate reports every field that makes no sense, each error named after its
// field. The zero value is valid.
func (l Line) Validate() error {
	if l == (Line{}) {
		return nil
	}
	bore := check.Require(l.Bore > 0 && finite(l.Bore), "bore", l.Bore, "must be greater than zero")
	roughness := check.Require(l.Roughness >= 0 && finite(l.Roughness), "roughness", l.Roughness, "must not be negative")
	if bore == nil && roughness == nil {
		roughness = check.Require(l.relativeRoughness() <= maxRelativeRoughness,
			"roughness", l.roughness(), "must not exceed a twentieth of the bore")
	}
	return errors.Join(bore,
		check.Require(l.Length >= 0 && finite(l.Length), "length", l.Length, "must not be negative"),
		roughness,
		check.Require(l.LossCoefficient >= 0 && finite(l.LossCoefficient), "loss coefficient", l.LossCoefficient, "must not be negative"),
		check.Require(finite(l.Rise), "rise", l.Rise, "must be finite"),
		check.Require(finite(l.Ahead), "way ahead", l.Ahead, "must be finite"))
}

func finite[Q quantity.Quantity](q Q) bool {
	return !math.IsNaN(float64(q)) && !math.IsInf(float64(q), 0)
}
