package air

import (
	"errors"
	"math"

	"example.com/railbook/sizing/internal/check"
	"example.com/railbook/sizing/quantity"
)

// Air as an ideal gas of constant heat capacity.
const (
	heatRatio    = 1.4                                       // of the heat capacities at constant pressure and volume
	adiabatic    = (heatRatio - 1) / heatRatio               // exponent of the pressure ratio
	heatCapacity = heatRatio / (heatRatio - 1) * gasConstant // 1004.7 J/(kg K), at constant pressure
)

// Compressor is a supercharger or the compressor of a turbocharger at one
// operating point.
type Compressor struct {
	Ratio      quantity.Ratio // absolute outlet pressure over inlet pressure, 1 or more
	Efficiency quantity.Ratio // isentropic, above 0 to 1: ideal temperature rise over the real one
}

// Outlet returns the air that leaves the compressor:
//
//	T₂ = T₁ · (1 + (r^((γ-1)/γ) - 1) / η),  γ = 1.4
//
// for the pressure ratio r and the isentropic efficiency η. Heat lost through the
// housing is left out, and so are leakage and the speed of the air: pressures and
// temperatures are those of air at rest (total ones). The heat capacity is taken
// as constant; as it rises with temperature, real air leaves a little cooler: by
// 0.9 % of the absolute temperature at a ratio of 8 (a textbook's example, from
// memory), and less below. Source: the definition of isentropic efficiency, in any
// text on thermodynamics.
func (c Compressor) Outlet(in State) State {
	rise := (math.Pow(float64(c.Ratio), adiabatic) - 1) / float64(c.Efficiency)
	return State{
		Pressure:    quantity.Pressure(float64(in.Pressure) * float64(c.Ratio)),
		Temperature: quantity.Temperature(float64(in.Temperature) * (1 + rise)),
	}
}

// Power returns the power at the compressor's shaft for a mass flow of air, ṁ
// c_p (T₂ - T₁) with c_p = 1004.7 J/(kg K). A supercharger takes it from the
// crankshaft, and what its drive loses on top; a turbocharger from the exhaust.
func (c Compressor) Power(in State, flow quantity.MassFlow) quantity.CrankPower {
	return compression(in, c.Outlet(in), flow)
}

func compression(in, out State, flow quantity.MassFlow) quantity.CrankPower {
	return quantity.CrankPower(float64(flow) * heatCapacity * float64(out.Temperature.Less(in.Temperature)))
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (c Compressor) Validate() error {
	return errors.Join(
		check.Require(c.Ratio >= 1 && !math.IsInf(float64(c.Ratio), 0), "pressure ratio", c.Ratio, "must be 1 or more"),
		validEfficiency(c.Efficiency))
}

func validEfficiency(e quantity.Ratio) error {
	return check.Require(e > 0 && e <= 1, "isentropic efficiency", e, "must lie above 0 up to 1")
}

// Intercooler takes heat out of the charge. The zero value does nothing.
type Intercooler struct {
	Effectiveness quantity.Ratio        // share of the difference to the coolant that the charge loses, from 0 to 1
	Coolant       quantity.Temperature  // at its inlet: ambient air, or the water of its circuit
	Loss          quantity.PressureDiff // of the charge, from inlet to outlet
}

// Outlet returns the air that leaves the intercooler:
//
//	T₂ = T₁ - ε (T₁ - T_coolant)
//
// A coolant hotter than the charge heats it. Source: the definition of heat
// exchanger effectiveness, with the charge as the stream of the lower heat
// capacity flow; in any text on heat transfer.
func (i Intercooler) Outlet(in State) State {
	t := float64(in.Temperature)
	return State{
		Pressure:    in.Pressure.Plus(-i.Loss),
		Temperature: quantity.Temperature(t - float64(i.Effectiveness)*(t-float64(i.Coolant))),
	}
}

// Validate reports every field that makes no sense, each error named after its
// field. The coolant may be left out where the effectiveness is zero.
func (i Intercooler) Validate() error {
	return errors.Join(
		check.Require(i.Effectiveness >= 0 && i.Effectiveness <= 1, "intercooler effectiveness", i.Effectiveness, "must lie from 0 to 1"),
		check.Require(i.Effectiveness == 0 || i.Coolant > 0 && !math.IsInf(float64(i.Coolant), 0), "coolant temperature", i.Coolant, "must be positive"),
		check.Require(i.Loss >= 0 && !math.IsInf(float64(i.Loss), 0), "intercooler pressure loss", i.Loss, "must not be negative"))
}

// Charging is the way of the air from the surroundings to the manifold of a
// boosted engine.
type Charging struct {
	InletLoss   quantity.PressureDiff // from ambient to compressor inlet: filter and duct
	Efficiency  quantity.Ratio        // isentropic, of the compressor
	Intercooler Intercooler           // the zero value for none
}

// Charge is the air at the stations of a [Charging].
type Charge struct {
	Inlet     State          // at the compressor's inlet
	Discharge State          // at its outlet
	Manifold  State          // behind the intercooler
	Ratio     quantity.Ratio // of the compressor
}

// Charge follows ambient air to a manifold at the given absolute pressure. The
// compressor makes up for the losses before and behind it, so that its pressure
// ratio is
//
//	r = (p_manifold + intercooler loss) / (p_ambient - inlet loss)
//
// Where that is less than 1 the compressor is taken to idle at ratio 1 and a
// throttle to take the rest, which leaves the temperature as it is. An inlet loss
// that takes all the ambient pressure leaves no air: the result is then zero.
func (c Charging) Charge(ambient State, manifold quantity.Pressure) Charge {
	inlet := State{ambient.Pressure.Plus(-c.InletLoss), ambient.Temperature}
	if !(inlet.Pressure > 0) {
		return Charge{}
	}
	ratio := quantity.Ratio(float64(manifold.Plus(c.Intercooler.Loss) / inlet.Pressure))
	compressor := Compressor{Ratio: max(1, ratio), Efficiency: c.Efficiency}
	discharge := compressor.Outlet(inlet)
	out := c.Intercooler.Outlet(discharge)
	out.Pressure = manifold
	return Charge{Inlet: inlet, Discharge: discharge, Manifold: out, Ratio: compressor.Ratio}
}

// Power returns the power at the compressor's shaft for a mass flow of air; see
// [Compressor.Power].
func (c Charge) Power(flow quantity.MassFlow) quantity.CrankPower {
	return compression(c.Inlet, c.Discharge, flow)
}

// Validate reports every field that makes no sense, each error named after its
// field.
func (c Charging) Validate() error {
	return errors.Join(
		check.Require(c.InletLoss >= 0 && !math.IsInf(float64(c.InletLoss), 0), "inlet pressure loss", c.InletLoss, "must not be negative"),
		validEfficiency(c.Efficiency), c.Intercooler.Validate())
}
