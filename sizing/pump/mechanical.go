package pump

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Mechanical is a positive-displacement pump that the engine drives, such as a gear
// or vane pump. It is a [Supply].
//
// Of what it displaces a part leaks back, in proportion to the pressure and
// whatever its speed:
//
//	Q = D n - (1 - η) D n_r · Δp/Δp_r
//
// with η its volumetric efficiency at the speed n_r and pressure Δp_r of a test.
// So its volumetric efficiency falls with pressure and rises with speed. That is
// the laminar slip of W. E. Wilson's model of such pumps (from memory); thin fuel
// leaks more nearly as the square root of pressure through wide gaps, which this
// does not show.
type Mechanical struct {
	Part         string
	Displacement quantity.Volume // per turn of its shaft
	Drive        quantity.Ratio  // turns of its shaft per turn of the crankshaft

	Efficiency    quantity.Ratio        // volumetric, in the test; zero: 1, no leakage
	TestSpeed     quantity.AngularSpeed // of its shaft
	TestPressure  quantity.PressureDiff // outlet over inlet
	Friction      quantity.Ratio        // of the power at the shaft, lost in the pump beside leakage
	Derate        quantity.Ratio        // allowance for wear: 0.05 takes 5 % off the flow, and -0.05 adds as much for a pump above its curve
	Relief        quantity.PressureDiff // at which its relief or bypass valve opens; zero: none stated
	GreatestSpeed quantity.AngularSpeed // of its shaft; zero: not stated
}

// ShaftSpeed returns the speed of the pump's shaft with the crankshaft at the given
// speed.
func (m Mechanical) ShaftSpeed(crank quantity.AngularSpeed) quantity.AngularSpeed {
	return quantity.AngularSpeed(float64(m.Drive) * max(0, float64(crank)))
}

// displaced is the theoretical flow with the crankshaft at the given speed, m³/s.
func (m *Mechanical) displaced(crank quantity.AngularSpeed) float64 {
	return float64(m.Displacement) * float64(m.Drive) * max(0, float64(crank)) / turn
}

// turn is that of a shaft in radians.
const turn = 2 * math.Pi

// leak is the leakage flow at dp, m³/s.
func (m *Mechanical) leak(dp quantity.PressureDiff) float64 {
	if m.Efficiency == 0 || m.TestPressure == 0 {
		return 0
	}
	tested := float64(m.Displacement) * float64(m.TestSpeed) / turn
	return (1 - float64(m.Efficiency)) * tested * max(0, float64(dp)) / float64(m.TestPressure)
}

// Flow returns the flow delivered against dp with the crankshaft at at.Speed. The
// valve takes its share above Relief as [Pump.Flow] says.
func (m Mechanical) Flow(dp quantity.PressureDiff, at Conditions) quantity.VolumeFlow {
	net := max(0, m.displaced(at.Speed)-m.leak(dp))
	return quantity.VolumeFlow(net * (1 - float64(m.Derate)) * keptBy(m.Relief, dp))
}

// VolumetricEfficiency returns the flow that does not leak back as a part of what
// is displaced, relief valve and wear left out of account, zero at standstill.
func (m Mechanical) VolumetricEfficiency(dp quantity.PressureDiff, at Conditions) quantity.Ratio {
	full := m.displaced(at.Speed)
	if !(full > 0) {
		return 0
	}
	return quantity.Ratio(max(0, full-m.leak(dp)) / full)
}

// Current returns zero: the engine drives it.
func (Mechanical) Current(quantity.PressureDiff, Conditions) quantity.Current { return 0 }

// Power returns the power at the pump's shaft, D n Δp over the part that friction
// leaves.
func (m Mechanical) Power(dp quantity.PressureDiff, at Conditions) quantity.Power {
	return quantity.Power(max(0, float64(dp)) * m.displaced(at.Speed) / (1 - float64(m.Friction)))
}

// Covers reports whether dp is not above the pressure of the test nor above Relief,
// where these are stated, and the speed not above GreatestSpeed.
func (m Mechanical) Covers(dp quantity.PressureDiff, at Conditions) bool {
	return dp >= 0 &&
		(m.Efficiency == 0 || dp <= m.TestPressure) &&
		(m.Relief == 0 || dp <= m.Relief) &&
		(m.GreatestSpeed == 0 || m.ShaftSpeed(at.Speed) <= m.GreatestSpeed)
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (m Mechanical) Validate() error {
	tested := m.Efficiency != 0
	return errors.Join(
		check.Require(m.Displacement > 0 && finite(m.Displacement), "displacement", m.Displacement, "must be greater than zero"),
		check.Require(m.Drive > 0 && finite(m.Drive), "drive ratio", m.Drive, "must be greater than zero"),
		check.Require(m.Efficiency == 0 || m.Efficiency > 0 && m.Efficiency <= 1, "volumetric efficiency", m.Efficiency, "must lie above 0 and not above 1"),
		check.Require(m.TestSpeed >= 0 && finite(m.TestSpeed) && (m.TestSpeed > 0 || !tested), "test speed", m.TestSpeed, "must be greater than zero beside a volumetric efficiency"),
		check.Require(m.TestPressure >= 0 && finite(m.TestPressure) && (m.TestPressure > 0 || !tested), "test pressure", m.TestPressure, "must be greater than zero beside a volumetric efficiency"),
		check.Require(m.Friction >= 0 && m.Friction < 1, "friction", m.Friction, "must lie from 0 to less than 1"),
		check.Require(m.Derate > -1 && m.Derate < 1, "derate", m.Derate, "must lie between -1 and 1"),
		check.Require(m.Relief >= 0 && finite(m.Relief), "relief", m.Relief, "must not be negative"),
		check.Require(m.GreatestSpeed >= 0 && finite(m.GreatestSpeed), "greatest speed", m.GreatestSpeed, "must not be negative"))
}
