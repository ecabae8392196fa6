// Package figure describes the pictures of the trade as data, so that the same
// figure can be drawn live in a notebook and still on paper. It draws nothing
// itself: package draw below makes pictures of figures, and the notebook's
// display makes live charts of them.
package figure

import (
	"fmt"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// Figure is one picture. Exactly one of Surface, Headroom and Chart is set.
type Figure struct {
	ID       string    `json:"id"`    // for links; letters, digits and hyphens
	Title    string    `json:"title"` // what it shows, with units in words
	Alt      string    `json:"alt"`   // what a reader who cannot see it has to know
	Surface  *Surface  `json:"surface,omitempty"`
	Headroom *Headroom `json:"headroom,omitempty"`
	Chart    *Chart    `json:"chart,omitempty"`
}

// Surface is a result over two axes.
type Surface struct {
	sweep.Surface
	View View         `json:"view"`
	Here *sweep.Point `json:"here,omitempty"` // where the build itself lies, in the units of the axes
}

// View is how a surface is looked at.
type View string

const (
	Relief View = "relief" // from a corner, as a solid shape
	Map    View = "map"    // from above, with contour lines and the limit line
)

// Headroom shows the power at which each part runs out, against the target.
type Headroom struct {
	Unit   string  `json:"unit"`
	Target float64 `json:"target"`
	Bars   []Bar   `json:"bars"`
}

// Bar is one part of a [Headroom].
type Bar struct {
	Name   string        `json:"name"`
	Limit  float64       `json:"limit"` // power at which the part runs out
	Keeps  float64       `json:"keeps"` // power up to which it keeps the wanted margin
	Status sizing.Status `json:"status"`
}

// Chart is a set of lines and marks over common axes. The values of X and Y are
// empty; the series hold the points.
type Chart struct {
	X      sweep.Scale `json:"x"`
	Y      sweep.Scale `json:"y"`
	Series []Series    `json:"series"`
}

// Series is one line of a [Chart], or loose marks.
type Series struct {
	Name   string        `json:"name"`
	Points []sweep.Point `json:"points"`
	Style  Style         `json:"style"`
}

// Style tells series apart without colour.
type Style string

const (
	Solid  Style = "solid"
	Dashed Style = "dashed"
	Dotted Style = "dotted"
	Marks  Style = "marks" // no line, a mark at each point
)

// OfSurface makes a figure of a surface.
func OfSurface(id string, s sweep.Surface, view View) Figure {
	low, high := s.Range()
	alt := fmt.Sprintf("%s over %s and %s, from %s to %s %s.", s.Z.Name, s.X.Title(), s.Y.Title(),
		quantity.Digits(low, 3), quantity.Digits(high, 3), s.Z.Unit)
	if s.Limit != nil {
		if len(s.Limit.Lines) == 0 {
			alt += " The limit, " + s.Limit.Label + ", is not met anywhere on it."
		} else {
			alt += " A line marks the limit: " + s.Limit.Label + "."
		}
	}
	return Figure{ID: id, Title: s.Title, Alt: alt, Surface: &Surface{Surface: s, View: view}}
}

// OfHeadroom makes the headroom figure of an assessment.
func OfHeadroom(id string, a *sizing.Assessment) Figure {
	sys := a.Build.Job.Units
	h := &Headroom{Unit: quantity.UnitSymbol[quantity.CrankPower](sys), Target: quantity.Number(a.Power, sys)}
	alt := "Power at which each part runs out, against the target of " + quantity.Format(a.Power, sys)
	separator := ": "
	for _, p := range a.Parts {
		if !p.Limited {
			continue
		}
		h.Bars = append(h.Bars, Bar{Name: p.Kind.String(), Limit: quantity.Number(p.Limit, sys), Keeps: quantity.Number(p.Keeps, sys), Status: p.Status})
		alt += separator + p.Kind.String() + " " + quantity.Format(p.Limit, sys)
		separator = ", "
	}
	alt += "."
	return Figure{ID: id, Title: "Power at which each part runs out", Alt: alt, Headroom: h}
}
