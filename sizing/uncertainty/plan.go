// Package uncertainty says what follows from what is not known exactly of a build: how
// results are spread, how likely each part falls short, which doubt matters most, and how
// large a part has to be to carry the demand with a confidence.
//
//	study, err := uncertainty.Propagate(ctx, build, uncertainty.Plan{})
//
// The doubts are those of the build: its sheet gives a field as a range, with a tolerance
// or as a distribution, see [sizing.Doubt]. Every draw is a full assessment of the build
// with the fields at values drawn.
package uncertainty

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/uncertainty/montecarlo"
)

// Plan says what to find and how much to draw. The zero value is ready.
type Plan struct {
	Results    []sweep.Result // to sum up; default [Usual]
	Draws      int            // default [DefaultDraws]
	Seed       uint64
	Sampling   montecarlo.Sampling
	Confidence quantity.Ratio // with which parts are to carry, from 0.5 to below 1; default [DefaultConfidence]

	// Base is how many pairs of draws the sensitivities are found from; each costs as many
	// assessments as there are doubts, and two. Default [DefaultBase], or an eighth of Draws
	// where that is less; below zero they are not found.
	Base int

	// Progress, if not nil, is told now and then how many of all assessments are done, in
	// the goroutine that called.
	Progress func(done, all int)
}

// What a plan takes where it says nothing.
const (
	DefaultDraws                     = 100_000
	DefaultBase                      = 4096
	DefaultConfidence quantity.Ratio = 0.95

	leastBase = 32
)

// Usual lists the results that are summed up where none are asked for.
var Usual = []sweep.Result{sweep.FuelVolume, sweep.Duty, sweep.PumpMargin, sweep.LeastMargin, sweep.MostPower}

// ErrPlan is wrapped by the error of a plan that cannot be carried out.
var ErrPlan = errors.New("cannot study the doubts")

// filled returns p with its defaults.
func (p Plan) filled() (Plan, error) {
	p.Draws = cmp.Or(p.Draws, DefaultDraws)
	p.Base = cmp.Or(p.Base, min(DefaultBase, max(leastBase, p.Draws/8)))
	p.Confidence = cmp.Or(p.Confidence, DefaultConfidence)
	if len(p.Results) == 0 {
		p.Results = Usual
	}
	if p.Draws < 1 || p.Draws > montecarlo.MaxDraws {
		return p, fmt.Errorf("%w with %d draws; want a number from 1 to %d", ErrPlan, p.Draws, montecarlo.MaxDraws)
	}
	if !(p.Confidence >= 0.5 && p.Confidence < 1) {
		return p, fmt.Errorf("%w with a confidence of %s; want one from 50 %% to below 100 %%", ErrPlan, p.Confidence.Percent(1))
	}
	return p, nil
}

// inOrder returns the doubts in an order that does not depend on that of the sheet, so
// that the draws do not either. The blend comes last, since it carries over a measured
// consumption, which may be in doubt itself.
func inOrder(d sizing.Doubts) sizing.Doubts {
	d.List = slices.SortedFunc(slices.Values(d.List), func(a, b sizing.Doubt) int {
		last := func(d sizing.Doubt) int {
			if d.Path == "fuel.blend" {
				return 1
			}
			return 0
		}
		return cmp.Or(last(a)-last(b), cmp.Compare(a.Path, b.Path))
	})
	return d
}
