package figure

import (
	"fmt"
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// mostPulls is how many pulls of a figure can be told apart.
const mostPulls = 6

// pullStyles tell pulls apart beside their colours. Dashes are left for what they are
// held against.
var pullStyles = []Style{Solid, Dotted}

// OfConsumption makes the figure of measured consumption over speed, with the band of
// common practice for the first pull's fuel. The error tells of logs without a pull in
// which consumption was measured.
func OfConsumption(id string, a *sizing.Assessment, logs ...*evidence.Log) (Figure, error) {
	sys := a.Build.Job.Units
	unit := quantity.UnitSymbol[quantity.SpecificConsumption](sys)
	f, shown := overSpeed("brake specific fuel consumption", unit, sys, logs, func(w evidence.Window) (float64, bool) {
		return quantity.Number(w.BSFC.Value, sys), w.BSFC.Measured()
	})
	var first *evidence.Finding
	for _, p := range shown {
		if p.Finding != nil {
			first = p.Finding
			break
		}
	}
	if first == nil {
		return Figure{}, fmt.Errorf("no pull in which consumption was measured")
	}
	low, high := quantity.Number(first.Low, sys), quantity.Number(first.High, sys)
	f.level(fmt.Sprintf("band, %s to %s", quantity.Digits(low, 3), quantity.Digits(high, 3)), Dashed, low, high)
	f.ID, f.Title = id, "Measured consumption over engine speed"
	f.Alt = fmt.Sprintf("%s. Dashed lines mark the band of common practice, %s to %s %s.%s",
		f.Alt, quantity.Digits(low, 3), quantity.Digits(high, 3), unit, f.more())
	return f.Figure, nil
}

// OfRail makes the figure of rail pressure over speed, less its set point, with the
// tolerance below which samples are set aside. The error tells of logs without a pull, or
// without rail pressure.
func OfRail(id string, a *sizing.Assessment, logs ...*evidence.Log) (Figure, error) {
	sys := a.Build.Job.Units
	unit := quantity.UnitSymbol[quantity.PressureDiff](sys)
	var logged []*evidence.Log
	for _, l := range logs {
		if l.Rail.Logged {
			logged = append(logged, l)
		}
	}
	f, shown := overSpeed("rail pressure less set point", unit, sys, logged, func(w evidence.Window) (float64, bool) {
		return quantity.Number(w.RailError, sys), w.All > 0
	})
	if len(shown) == 0 {
		return Figure{}, fmt.Errorf("no pull with rail pressure logged")
	}
	var tolerance []sweep.Point
	for _, w := range shown[0].Windows {
		if w.All > 0 {
			tolerance = append(tolerance, sweep.Point{X: quantity.Number(w.Speed, sys), Y: -quantity.Number(w.Tolerance, sys)})
		}
	}
	f.Chart.Series = append(f.Chart.Series, Series{Name: "tolerance", Points: tolerance, Style: Dashed})
	f.ID, f.Title = id, "Rail pressure against its set point over engine speed"
	f.Alt = fmt.Sprintf("%s. Samples under the dashed line, at %s %s, are set aside for a sagging rail.%s",
		f.Alt, quantity.Digits(tolerance[len(tolerance)-1].Y, 3), unit, f.more())
	return f.Figure, nil
}

// speedFigure is a figure over engine speed in the making.
type speedFigure struct {
	Figure
	from, to float64 // speed
	left     int     // pulls not shown
}

// overSpeed draws a line for each pull of what value reads off its windows.
func overSpeed(name, unit string, sys quantity.System, logs []*evidence.Log, value func(evidence.Window) (float64, bool)) (*speedFigure, []evidence.Pull) {
	f := &speedFigure{from: math.Inf(1), to: math.Inf(-1)}
	f.Chart = &Chart{X: sweep.Scale{Name: "engine speed", Unit: quantity.UnitSymbol[quantity.AngularSpeed](sys)}, Y: sweep.Scale{Name: name, Unit: unit}}
	low, high := math.Inf(1), math.Inf(-1)
	var shown []evidence.Pull
	for _, l := range logs {
		for i, p := range l.Pulls {
			var points []sweep.Point
			for _, w := range p.Windows {
				if y, ok := value(w); ok {
					points = append(points, sweep.Point{X: quantity.Number(w.Speed, sys), Y: y})
				}
			}
			if points == nil {
				continue
			}
			if len(shown) == mostPulls {
				f.left++
				continue
			}
			shown = append(shown, p)
			label := fmt.Sprintf("pull %d", i+1)
			if len(logs) > 1 {
				label = l.Name + ", " + label
			}
			f.Chart.Series = append(f.Chart.Series, Series{Name: label, Points: points, Style: pullStyles[(len(shown)-1)%len(pullStyles)]})
			for _, q := range points {
				low, high = min(low, q.Y), max(high, q.Y)
				f.from, f.to = min(f.from, q.X), max(f.to, q.X)
			}
		}
	}
	f.Alt = fmt.Sprintf("%s over engine speed, a line for each pull, from %s to %s %s", name, quantity.Digits(low, 3), quantity.Digits(high, 3), unit)
	return f, shown
}

// level draws level lines under one name.
func (f *speedFigure) level(name string, style Style, at ...float64) {
	for _, y := range at {
		f.Chart.Series = append(f.Chart.Series, Series{Name: name, Style: style, Points: []sweep.Point{{X: f.from, Y: y}, {X: f.to, Y: y}}})
	}
}

// more says how many pulls are not shown.
func (f *speedFigure) more() string {
	if f.left == 0 {
		return ""
	}
	return fmt.Sprintf(" %d further pulls are not shown.", f.left)
}
