package uncertainty

import (
	"math"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// Outcome is how a result is spread, counted in its unit.
type Outcome struct {
	Name   string
	Unit   string
	Middle float64 // with every doubt at its middle; NaN for none
	Lacks  int     // how many of the draws that made sense had no such result

	sum *montecarlo.Summary
}

// Count is how many draws had the result.
func (o Outcome) Count() int { return o.sum.Count() }

// Mean is the mean of the draws, NaN where none had the result.
func (o Outcome) Mean() float64 { return o.sum.Mean() }

// SD is the standard deviation of the draws: the standard uncertainty of the result.
func (o Outcome) SD() float64 { return o.sum.SD() }

// Quantile is the value below which a share p of the draws lies; 0 and 1 give the least
// and the greatest. It is exact to [Outcome.Resolution].
func (o Outcome) Quantile(p float64) float64 { return o.sum.Quantile(p) }

// Resolution is how far a quantile may be off by the way that draws are counted.
func (o Outcome) Resolution() float64 { return o.sum.Resolution() }

// Bars divides the range of the draws into n parts of equal width.
func (o Outcome) Bars(n int) []montecarlo.Bar { return o.sum.Bars(n) }

// Part is what becomes of a part of the fuel system.
type Part struct {
	sizing.Part                   // with every doubt at its middle
	Short       montecarlo.Chance // that it does not carry the demand
	Kept        montecarlo.Chance // that it keeps the margin wanted
	First       montecarlo.Chance // that it is the first to give out as power rises

	margin     *montecarlo.Summary
	confidence quantity.Ratio
}

// MarginAt is the margin below which a share p of the draws lies; NaN for none.
func (p Part) MarginAt(share float64) quantity.Ratio {
	return quantity.Ratio(p.margin.Quantile(share))
}

// Factor is how many times what it can carry the part has to carry, for it to carry the
// demand with the study's confidence: the quantile of the demand over the capability. It
// is below 1 for a part that is larger than that. It is NaN for the injectors at idle,
// where more is worse, and +Inf where a part carries nothing.
func (p Part) Factor() float64 {
	if p.Capability == 0 && p.Demand == 0 {
		return math.NaN()
	}
	// The demand over the capability is 1/(1+margin), which falls as the margin rises.
	return 1 / (1 + float64(p.MarginAt(1-float64(p.confidence))))
}

// Needed is what the part has to carry for it, with every doubt at its middle: fuel by
// volume at the rail.
func (p Part) Needed() quantity.VolumeFlow {
	return quantity.VolumeFlow(p.Factor() * float64(p.Capability))
}

// Aim is the margin that the part has to show with every doubt at its middle for it.
func (p Part) Aim() quantity.Ratio { return quantity.Ratio(p.Factor()*(1+float64(p.Margin)) - 1) }

// PowerCarried is the power that all parts carry with the study's confidence; NaN where
// no part ever gives out.
func (s *Study) PowerCarried() quantity.CrankPower {
	return quantity.FromNumber[quantity.CrankPower](s.Limit.Quantile(1-float64(s.Confidence)), s.Middle.Build.Job.Units)
}

// Sized is the flow that the injectors have to be rated at to carry the demand with the
// study's confidence, in the conditions of their rating; of a second set too, both grown
// in proportion. It is empty where there is none.
func (s *Study) Sized() (first, second string) {
	b := s.Middle.Build
	for _, p := range s.Parts {
		if p.Kind != sizing.InjectorsPart || !(p.Factor() < unbounded) {
			continue
		}
		first = sized(b.Injectors.Flow, p.Factor(), b.Job.Units)
		if b.Secondary != nil {
			second = sized(b.Secondary.Flow, p.Factor(), b.Job.Units)
		}
	}
	return first, second
}

// unbounded is a factor beyond any that makes sense.
const unbounded = 1e6

// sized prints the flow of a rating times a factor, by volume or by mass as it is rated.
func sized(r injector.Rating, factor float64, sys quantity.System) string {
	if strings.HasPrefix(r.Format(sys), quantity.FormatIn(r.Volume(), quantity.CCPerMinute)) {
		return quantity.FormatIn(quantity.VolumeFlow(factor*float64(r.Volume())), quantity.CCPerMinute)
	}
	return quantity.Format(quantity.MassFlow(factor*float64(r.Mass())), sys)
}
