package evidence

import (
	"fmt"

	"example.com/railbook/sizing/quantity"
)

// RailFinding is what the pulls of a log say of the rail pressure.
type RailFinding struct {
	Logged    bool                  `json:"logged"`
	Tolerance quantity.Ratio        `json:"tolerance"`     // of the set differential pressure
	Samples   int                   `json:"samples"`       // of pulls, whose cells could be read
	Sagged    int                   `json:"sagged"`        // of them
	Fall      quantity.PressureDiff `json:"greatest_fall"` // greatest mean of a window under the set point, zero for none
	FallAt    quantity.AngularSpeed `json:"fall_at"`       // speed of that window
	From      quantity.AngularSpeed `json:"from"`          // least speed of a window in which the rail sagged; zero for none
	FromFuel  quantity.MassFlow     `json:"from_fuel"`     // fuel flow in it
	Text      string                `json:"text"`
}

// railOf judges the rail over pulls.
func (a *analyst) railOf(pulls []Pull) RailFinding {
	sys := a.build.Job.Units
	f := RailFinding{Logged: a.tell, Tolerance: a.rules.RailTolerance}
	if !a.tell {
		f.Text = "Rail pressure is not logged: whether the rail held cannot be told, and the consumption is too high by half of any fall in its differential pressure. Log it before anything is sized on this."
		return f
	}
	for _, p := range pulls {
		f.Sagged += p.Aside[RailSagged]
		for _, w := range p.Windows {
			f.Samples += w.All
			if fall := -w.RailError; fall > f.Fall {
				f.Fall, f.FallAt = fall, w.Speed
			}
			if w.All > 2*w.Used && p.Aside[RailSagged] > 0 && -w.RailError > w.Tolerance && (f.From == 0 || w.Speed < f.From) {
				f.From, f.FromFuel = w.Speed, w.AllFuel
			}
		}
	}
	switch {
	case f.Samples == 0:
		f.Text = "No pull, so nothing can be said of the rail pressure."
	case f.Sagged == 0 && f.Fall <= 0:
		f.Text = "The rail held its set point throughout."
	case f.Sagged == 0:
		f.Text = fmt.Sprintf("The rail held: it lay at most %s under its set point, at %s.", quantity.Format(f.Fall, sys), quantity.Format(f.FallAt, sys))
	default:
		f.Text = fmt.Sprintf("The rail sagged: up to %s under its set point, at %s.", quantity.Format(f.Fall, sys), quantity.Format(f.FallAt, sys))
		if f.From > 0 {
			f.Text += fmt.Sprintf(" It began near %s and %s of fuel: what pumps, filter, wiring and feed line bring there is all they have.", quantity.Format(f.From, sys), quantity.Format(f.FromFuel, sys))
		}
		f.Text += fmt.Sprintf(" %d of %d samples are set aside for it.", f.Sagged, f.Samples)
	}
	return f
}
