package catalogue

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Options say what [Choose] looks for.
type Options struct {
	// Pressures are the base pressures to look at; none stands for the sheet's own.
	Pressures []quantity.PressureDiff
	// Top is how many sets and how many near misses to list; zero stands for 10.
	Top int
	// Counted is the share of the capability of a kind of part that is counted on, above
	// 0 and no more than 1: where a build has doubts, the share that is there with the
	// confidence asked for. Nil counts on all of it.
	Counted func(sizing.PartKind) quantity.Ratio
	// Progress is told of how many of all supply sides are looked at, from several
	// goroutines; nil for nobody.
	Progress func(done, all int)
}

func (o Options) top() int {
	if o.Top == 0 {
		return 10
	}
	return max(0, o.Top)
}

// Choice is what [Choose] found.
type Choice struct {
	Build      sizing.Build            `json:"-"` // that the parts are for
	Lists      *Lists                  `json:"-"`
	Pressures  []quantity.PressureDiff `json:"pressures"` // looked at, in rising order
	Sets       int                     `json:"sets"`      // looked at, each at each base pressure
	Carry      int                     `json:"carry"`     // of them
	Best       []Set                   `json:"best"`      // that carry, the best first
	Front      []Set                   `json:"front"`     // of the trade-off, in order of rising cost
	Rejections []Rejection             `json:"rejections"`
	Misses     []Miss                  `json:"misses"` // the nearest first
	Rule       string                  `json:"rule"`
}

// Set is one of the sets that carry.
type Set struct {
	Candidate
	Cost     Cost           `json:"cost"`
	Bill     []Line         `json:"bill"`
	Headroom quantity.Ratio `json:"headroom"` // least margin of what carries fuel
	Surplus  quantity.Ratio `json:"surplus"`  // see Rule
	// IdleMargin is the pulse at idle over the least that meters, less one; nil where
	// that is not stated.
	IdleMargin *quantity.Ratio         `json:"idle_margin"`
	AlsoAt     []quantity.PressureDiff `json:"also_at"` // further base pressures at which the same parts carry
	Assessment *sizing.Assessment      `json:"-"`       // of the build with these parts
}

// Rejection sums up the sets that fail at the same thing first.
type Rejection struct {
	Reason Reason `json:"reason"`
	Sets   int    `json:"sets"`
	// Nearest is one that comes nearest to what it fails at, and Short by how much it
	// fails there.
	Nearest Candidate `json:"nearest"`
	Short   Shortfall `json:"short"`
}

// Miss is a set that nearly carries, and whose injectors do not carry with that number
// of those pumps at all.
type Miss struct {
	Candidate
	Cost  Cost           `json:"cost"`
	Short []Shortfall    `json:"short"` // all it fails at, the first reason first
	By    quantity.Ratio `json:"by"`    // sum of the shortfalls, each as a share of what is asked for
}

// Choose finds the sets of parts that carry the target of a build with the margins that
// its policy asks for, and idle cleanly. See the package comment for what is looked at.
//
// The error is a [*sizing.BuildError] for a build that is not valid, wraps [ErrNothing]
// for empty lists, or tells of lists or pressures that do not suit the build, or that
// ctx is done. Sets that make no sense are rejections, not errors.
func Choose(ctx context.Context, b sizing.Build, l *Lists, o Options) (*Choice, error) {
	s, err := newSurvey(ctx, b, l, &o)
	if err != nil {
		return nil, err
	}
	f, err := s.find(ctx, s.costs(nil))
	if err != nil {
		return nil, err
	}
	return s.choice(f)
}

// choice tells what was found.
func (s *survey) choice(f *finding) (*Choice, error) {
	c := &Choice{
		Build: s.build, Lists: s.lists, Pressures: s.pressures,
		Sets: len(s.supplies) * len(s.meters), Carry: f.carry, Rule: Rule,
	}
	for _, e := range f.best.list {
		set, err := s.set(e.key, nil)
		if err != nil {
			return nil, err
		}
		c.Best = append(c.Best, set)
	}
	slices.SortFunc(f.front.list, func(a, b trade) int { return a.key.compare(b.key) })
	for _, t := range f.front.list {
		set, err := s.set(t.key, nil)
		if err != nil {
			return nil, err
		}
		c.Front = append(c.Front, set)
	}
	for r, t := range f.tallies {
		if t.sets == 0 {
			continue
		}
		x := Rejection{Reason: Reason(r), Sets: t.sets, Nearest: s.candidate(int(t.near[0]), int(t.near[1]))}
		short, err := s.shortfalls(int(t.near[0]), int(t.near[1]))
		if err != nil {
			return nil, err
		}
		x.Short = short[0]
		c.Rejections = append(c.Rejections, x)
	}
	slices.SortStableFunc(c.Rejections, func(a, b Rejection) int { return b.Sets - a.Sets })
	for _, e := range f.misses.list {
		short, err := s.shortfalls(int(e.supply), int(e.injector))
		if err != nil {
			return nil, err
		}
		c.Misses = append(c.Misses, Miss{
			Candidate: s.candidate(int(e.supply), int(e.injector)), Cost: costOf(e.cost),
			Short: short, By: quantity.Ratio(1e-6 * float64(e.short)),
		})
	}
	return c, nil
}

// shortfalls are all that a set fails at, by reason.
func (s *survey) shortfalls(supply, injector int) ([]Shortfall, error) {
	side, m := &s.supplies[supply], &s.meters[injector]
	switch {
	case side.group < 0:
		return []Shortfall{side.short}, nil
	case m.fault != "":
		return []Shortfall{{Reason: DoesNotFit, Text: m.fault}}, nil
	}
	arr := s.arrangements[supply/len(s.pressures)]
	a, err := sizing.Assess(s.lists.Build(s.bare, arr.candidate(-1, s.pressures[supply%len(s.pressures)])))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errDisagree, err)
	}
	var list []Shortfall
	j := nothing()
	j.all = &list
	s.setting.judge(&j, m.at(&s.setting, s.Options, side.target, side.idle))
	s.judge(&j, arr, a)
	slices.SortStableFunc(list, func(a, b Shortfall) int { return int(a.Reason) - int(b.Reason) })
	return list, nil
}

// errDisagree is the error of a set that the search and an assessment judge
// differently: a mistake of this package.
var errDisagree = errors.New("the choice and the assessment disagree")

// set makes a set of its key, and assesses it.
func (s *survey) set(k key, owned *Candidate) (Set, error) {
	c := s.candidate(int(k.supply), int(k.injector))
	a, err := sizing.Assess(s.lists.Build(s.build, c))
	if err != nil {
		return Set{}, fmt.Errorf("%w: %w", errDisagree, err)
	}
	if status := a.Status(); status != sizing.Carries {
		return Set{}, fmt.Errorf("%w: %v is %v", errDisagree, c, status)
	}
	set := Set{Candidate: c, Bill: s.lists.Bill(s.build, c, owned), Assessment: a, Surplus: quantity.Ratio(1e-6 * float64(k.surplus))}
	set.Cost = total(set.Bill)
	side, m := &s.supplies[k.supply], &s.meters[k.injector]
	v := m.at(&s.setting, s.Options, side.target, side.idle)
	set.Headroom = quantity.Ratio(min(v.margin, side.head))
	if !math.IsNaN(v.idle) {
		margin := quantity.Ratio(v.idle)
		set.IdleMargin = &margin
	}
	arr := int(k.supply) / len(s.pressures)
	for i, p := range s.pressures {
		if p != c.Pressure && s.carries(arr*len(s.pressures)+i, int(k.injector)) {
			set.AlsoAt = append(set.AlsoAt, p)
		}
	}
	return set, nil
}

// carries reports whether a supply side and injectors carry together.
func (s *survey) carries(supply, injector int) bool {
	side := &s.supplies[supply]
	return side.short.Reason == Fits && s.setting.reason(s.meters[injector].at(&s.setting, s.Options, side.target, side.idle)) == Fits
}
