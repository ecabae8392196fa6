package catalogue

import (
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// Item is what every part of a list has.
type Item struct {
	Maker string
	Part  string // the maker's name for it
	Price Price  // of one; of a hose, of a metre

	given map[string]string // the row as it stands in the list, by column
}

// Name is maker and part together, as it goes into a build sheet.
func (i Item) Name() string { return strings.TrimSpace(i.Maker + " " + i.Part) }

func (i *Item) item() *Item { return i }

// Injector is one kind of injector that can be bought.
type Injector struct {
	Item
	Flow         injector.Rating
	DeadTime     []injector.DeadTimePoint
	LowPulse     injector.LowPulse
	MinimumPulse quantity.Time  // zero: not stated, and idle is not checked
	Spread       quantity.Ratio // flow of the weakest of a set below the rating
	Coil         injector.Coil
}

// put returns the injectors of a build with these in their place. How many there are,
// how they fire and how they are wired stays.
func (i *Injector) put(b sizing.Injectors) sizing.Injectors {
	b.Part, b.Flow, b.DeadTime, b.LowPulse = i.Name(), i.Flow, i.DeadTime, i.LowPulse
	b.MinimumPulse, b.Spread, b.Coil = i.MinimumPulse, i.Spread, i.Coil
	return b
}

// Pump is one kind of electric pump that can be bought.
type Pump struct {
	Item
	Curves []sizing.PumpCurve // of one
	Relief quantity.PressureDiff
	Most   int // of them in parallel; zero stands for 1
}

func (p *Pump) most() int { return max(1, p.Most) }

// put returns the main pumps of a build with count of these in the place of its first,
// and no other. Wear and wiring stay as the first has them.
func (p *Pump) put(pumps []sizing.Pump, count int) []sizing.Pump {
	var list []sizing.Pump
	placed := false
	for _, old := range pumps {
		switch {
		case old.Role != sizing.Main:
			list = append(list, old)
		case !placed:
			placed = true
			old.Part, old.Count, old.Curves, old.Relief, old.Mechanical = p.Name(), count, p.Curves, p.Relief, nil
			list = append(list, old)
		}
	}
	return list
}

// Hose is one kind of feed line that can be bought by the metre.
type Hose struct {
	Item
	Bore      quantity.Length // inner diameter; or
	Dash      plumbing.Dash
	Roughness quantity.Length
	Rating    quantity.PressureDiff // greatest working pressure; zero: not stated
}

func (h *Hose) put(s sizing.Segment) sizing.Segment {
	s.Part, s.Bore, s.Dash, s.Roughness = h.Name(), h.Bore, h.Dash, h.Roughness
	return s
}

// Filter is one kind of filter for the feed line.
type Filter struct {
	Item
	Loss   plumbing.Filter
	Rating quantity.PressureDiff // greatest working pressure; zero: not stated
}

func (f *Filter) put(s sizing.Segment) sizing.Segment {
	s.Filter = f.Loss
	if s.Part != "" {
		s.Part += ", "
	}
	s.Part += f.Name()
	return s
}

// Regulator is one kind of regulator valve that can be bought.
type Regulator struct {
	Item
	Kind        regulator.Kind
	Rise        quantity.Ratio
	Least, Most quantity.PressureDiff // base pressures it can be set to; zero: not stated
	LeastReturn quantity.VolumeFlow
	MaxReturn   quantity.VolumeFlow
	Slope       regulator.Slope
	SetFlow     quantity.VolumeFlow
	OpenDrop    quantity.PressureDiff
}

func (r *Regulator) put(b sizing.Regulator) sizing.Regulator {
	b.Part, b.Kind, b.Rise, b.LeastReturn, b.MaxReturn = r.Name(), r.Kind, r.Rise, r.LeastReturn, r.MaxReturn
	b.Slope, b.SetFlow, b.OpenDrop = r.Slope, r.SetFlow, r.OpenDrop
	return b
}

// Lists are the parts to choose from. An empty list leaves the sheet's own part in
// place.
type Lists struct {
	Injectors  []Injector
	Pumps      []Pump
	Hoses      []Hose
	Regulators []Regulator
	Filters    []Filter
	Currency   string // of all prices; empty: not stated
}

// Candidate names one part of each list by its place there, and -1 where the sheet's
// own part stays.
type Candidate struct {
	Injector  int                   `json:"injector"`
	Pump      int                   `json:"pump"`
	Count     int                   `json:"count"` // of pumps
	Hose      int                   `json:"hose"`
	Filter    int                   `json:"filter"`
	Regulator int                   `json:"regulator"`
	Pressure  quantity.PressureDiff `json:"pressure"` // base pressure
}

// Build returns b with the parts of the candidate. A place that a list does not have is
// a programmer's error and panics.
func (l *Lists) Build(b sizing.Build, c Candidate) sizing.Build {
	if c.Injector >= 0 {
		b.Injectors = l.Injectors[c.Injector].put(b.Injectors)
	}
	if c.Pump >= 0 {
		b.Pumps = l.Pumps[c.Pump].put(b.Pumps, c.Count)
	}
	if c.Hose >= 0 {
		b.FeedLine = l.Hoses[c.Hose].put(b.FeedLine)
	}
	if c.Filter >= 0 {
		b.FeedLine = l.Filters[c.Filter].put(b.FeedLine)
	}
	if c.Regulator >= 0 {
		b.Regulator = l.Regulators[c.Regulator].put(b.Regulator)
	}
	return b.WithBasePressure(c.Pressure)
}
