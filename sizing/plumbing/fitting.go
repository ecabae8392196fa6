package plumbing

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// Fitting is a kind of fitting, told by how many bores of pipe lose as much as it
// does: its n in K = n fT. Add up [Fitting.LossCoefficient] of all the fittings of
// a line for [Line.LossCoefficient].
type Fitting float64

// Fittings of Crane, Flow of Fluids, Technical Paper 410, appendix A. The elbows
// and tees are as a pipe maker's page repeats them, the bends as the
// documentation of a simulation program does, the valves as the fluids library
// 1.0.22 has them: all secondary. Hose ends are not among them; a swept hose end
// is nearest to a bend, a forged or drilled one to an elbow (common practice, no
// source).
const (
	Elbow90    Fitting = 30 // standard elbow
	Elbow45    Fitting = 16
	TeeRun     Fitting = 20 // straight through
	TeeBranch  Fitting = 60 // into or out of the branch
	Bend90R1   Fitting = 20 // smooth bend, centreline radius 1 bore
	Bend90R1_5 Fitting = 14
	Bend90R2   Fitting = 12
	Bend90R4   Fitting = 14
	BallValve  Fitting = 3 // full bore, open
	GateValve  Fitting = 8 // full bore, open
)

// Loss coefficients that do not depend on the bore. Crane TP-410, appendix A, from
// memory.
const (
	SharpEntrance  quantity.Ratio = 0.5  // from a tank, flush with its wall
	InwardEntrance quantity.Ratio = 0.78 // from a tank, pipe end reaching into it
	Exit           quantity.Ratio = 1.0  // into a tank or rail of much larger bore
)

// LossCoefficient returns the loss coefficient K of f in a line of the given bore,
//
//	K = n fT,  fT = 0.25 / (log10(ε/D/3.7))²
//
// where fT is the friction factor of clean commercial steel pipe, ε = 0.0018 in,
// in fully turbulent flow, whatever the line itself is made of (Crane TP-410, as
// the documentation of fluids 1.0.22 quotes it). It holds for turbulent flow; in
// laminar flow a fitting loses more. Fittings of different make differ by tens of
// per cent. It is NaN for a bore that is not positive.
func (f Fitting) LossCoefficient(bore quantity.Length) quantity.Ratio {
	const steel = 0.0018 * quantity.Inch
	if !(bore > 0) {
		return quantity.Ratio(math.NaN())
	}
	x := math.Log10(float64(steel/bore) / 3.7)
	return quantity.Ratio(float64(f) * 0.25 / (x * x))
}
