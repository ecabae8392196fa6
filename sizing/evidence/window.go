package evidence

import (
	"math"

	"example.com/railbook/sizing/quantity"
)

// Window is the means of a pull over a part of its speed range. Quantities that are not
// known are zero.
type Window struct {
	Speed     quantity.AngularSpeed `json:"speed"` // mean of all its samples
	Used      int                   `json:"used"`  // samples that count
	All       int                   `json:"all"`   // samples whose cells could be read
	Power     quantity.CrankPower   `json:"power"` // this and the next ones over the samples that count
	Fuel      quantity.MassFlow     `json:"fuel"`
	Air       quantity.MassFlow     `json:"air"`
	Lambda    quantity.Ratio        `json:"lambda"`
	Duty      quantity.Ratio        `json:"duty"`
	BSFC      Consumption           `json:"bsfc"`
	RailError quantity.PressureDiff `json:"rail_error"` // rail less set point, over all samples; below zero it has fallen
	Tolerance quantity.PressureDiff `json:"rail_tolerance"`
	AllFuel   quantity.MassFlow     `json:"all_fuel"` // over all samples
}

// sums is what a window is made of.
type sums struct {
	used, all, lambdas               int
	speed, error, tolerance, allFuel float64 // over all
	reading                          reading // over used
	fuel, power, air, duty, energy   float64
}

func (w *sums) add(s *sample) {
	if s.fueling.fuel == nil { // could not be read
		return
	}
	w.all++
	w.speed += s.reading[speedChannel]
	w.error += s.railError()
	w.tolerance += s.tolerance
	w.allFuel += s.flow
	if s.reason != "" {
		return
	}
	w.used++
	for c := range s.reading {
		w.reading[c] += s.reading[c]
	}
	w.fuel += s.flow
	w.power += s.power
	w.duty += s.duty
	w.energy += s.flow * s.fueling.fuel.lhv
	if s.air > 0 {
		w.lambdas++
		w.air += s.air
	}
}

// mean returns the mean reading of the samples that count.
func (w *sums) mean() reading {
	r := w.reading
	for c := range r {
		r[c] /= float64(w.used)
	}
	if w.lambdas > 0 {
		r[lambdaChannel] = w.reading[lambdaChannel] / float64(w.lambdas)
	}
	return r
}

// window returns the means.
func (w *sums) window() Window {
	if w.all == 0 {
		return Window{}
	}
	n, all := float64(w.used), float64(w.all)
	out := Window{
		Speed: quantity.AngularSpeed(w.speed / all), Used: w.used, All: w.all,
		RailError: quantity.PressureDiff(w.error / all), Tolerance: quantity.PressureDiff(w.tolerance / all), AllFuel: quantity.MassFlow(w.allFuel / all),
	}
	if w.used == 0 {
		return out
	}
	out.Power, out.Fuel, out.Duty = quantity.CrankPower(w.power/n), quantity.MassFlow(w.fuel/n), quantity.Ratio(w.duty/n)
	if w.lambdas > 0 {
		out.Air = quantity.MassFlow(w.air / float64(w.lambdas))
		out.Lambda = quantity.Ratio(w.mean()[lambdaChannel])
	}
	return out
}

// consumption is fuel over power of the samples that count, zero where no power is known.
func (w *sums) consumption() float64 {
	if w.power <= 0 {
		return 0
	}
	return w.fuel / w.power
}

// windows sorts samples by speed.
type windows struct {
	width float64
	first int // number of the first
	list  []sums
}

func (w *windows) add(s *sample) {
	k := int(math.Floor(s.reading[speedChannel] / w.width))
	switch {
	case len(w.list) == 0:
		w.first = k
	case k < w.first:
		w.list = append(make([]sums, w.first-k), w.list...)
		w.first = k
	}
	for k-w.first >= len(w.list) {
		w.list = append(w.list, sums{})
	}
	w.list[k-w.first].add(s)
}
