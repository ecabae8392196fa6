package catalogue

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/parallel"
	"example.com/railbook/sizing/quantity"
)

// survey is what all parts of the lists do in one build.
type survey struct {
	*Options
	build        sizing.Build
	bare         sizing.Build // with wide injectors
	lists        *Lists
	setting      setting
	ambient      quantity.Pressure
	idlePressure quantity.Pressure
	pressures    []quantity.PressureDiff // base pressures

	meters       []metering    // of each injector, or of the sheet's own
	arrangements []arrangement // in the order in which they rank where all else is equal
	supplies     []supply      // of each arrangement at each pressure
	groups       []group

	done atomic.Int64 // supply sides looked at
}

// group is the supply sides under which injectors see the same pressures.
type group struct {
	target, idle quantity.PressureDiff
	supplies     []int32
}

// ErrNothing is wrapped by the error of [Choose] where there is nothing to choose from.
var ErrNothing = errors.New("nothing to choose from")

// maxSets keeps the number of sets countable.
const maxSets = 1 << 52

// newSurvey finds what every supply side does, and prepares the injectors.
func newSurvey(ctx context.Context, b sizing.Build, l *Lists, o *Options) (*survey, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	if err := errors.Join(suits(b, l), o.check()); err != nil {
		return nil, err
	}
	s := &survey{Options: o, build: b, bare: bare(b), lists: l, arrangements: l.arrangements()}
	var err error
	if s.pressures, err = pressures(b, o.Pressures); err != nil {
		return nil, err
	}
	if n := float64(len(s.arrangements)) * float64(len(s.pressures)) * float64(max(1, len(l.Injectors))); n > maxSets || float64(len(s.arrangements))*float64(len(s.pressures)) > math.MaxInt32 {
		return nil, fmt.Errorf("%.3g sets are too many; want shorter lists", n)
	}
	a, err := sizing.Assess(s.bare)
	if err != nil {
		return nil, err
	}
	s.setting, s.ambient, s.idlePressure = settingOf(a), a.Build.Induction.Barometer, a.Build.Engine.IdlePressure
	s.supplies = make([]supply, len(s.arrangements)*len(s.pressures))
	runs := s.runs()
	s.meters = make([]metering, max(1, len(l.Injectors)))
	const batch = 64
	batches := (len(s.meters) + batch - 1) / batch
	err = parallel.Each(ctx, len(runs)+batches, func(k int) {
		if k < batches {
			for i := k * batch; i < min(len(s.meters), (k+1)*batch); i++ {
				s.meters[i] = s.meter(i)
			}
			return
		}
		r := runs[k-batches]
		s.hydraulics(s.arrangements[r[0]:r[1]], s.supplies[r[0]*len(s.pressures):])
		s.tell((r[1] - r[0]) * len(s.pressures))
	})
	s.gather()
	return s, err
}

// tell counts what is done.
func (s *survey) tell(n int) {
	done := int(s.done.Add(int64(n)))
	if s.Progress != nil {
		s.Progress(done, len(s.supplies))
	}
}

// suits wants lists from which something can be chosen for the build.
func suits(b sizing.Build, l *Lists) error {
	switch {
	case len(l.Injectors)+len(l.Pumps)+len(l.Hoses)+len(l.Filters)+len(l.Regulators) == 0:
		return fmt.Errorf("%w: all lists are empty; want one or more of %s", ErrNothing, fileNames)
	case len(l.Hoses) > 0 && b.FeedLine.Length == 0:
		return errors.New("feed_line.length is missing in the build sheet, without which no hose can be chosen; want the length of the feed line, or no list of hoses")
	case len(l.Regulators) > 0 && b.Regulator.Control == sizing.ByPumpSpeed:
		return errors.New("the build sheet holds the pressure by pump speed, which takes no regulator valve; want no list of regulators beside it")
	}
	return nil
}

// check wants shares of capability that can be counted on.
func (o *Options) check() error {
	if o.Counted == nil {
		return nil
	}
	for k := sizing.SuctionPart; k <= sizing.IdleInjectionPart; k++ {
		if share := o.Counted(k); !(share > 0 && share <= 1) {
			return fmt.Errorf("counted share of the %v: %v; want a share above 0 and no more than 1", k, share)
		}
	}
	return nil
}

// pressures are the base pressures to look at, in rising order, each once; the sheet's
// own where none are given.
func pressures(b sizing.Build, given []quantity.PressureDiff) ([]quantity.PressureDiff, error) {
	list := slices.Clone(given)
	if len(list) == 0 {
		return []quantity.PressureDiff{b.Regulator.BasePressure}, nil
	}
	for _, p := range list {
		if err := b.WithBasePressure(p).Validate(); err != nil || math.IsNaN(float64(p)) {
			return nil, fmt.Errorf("base pressure %s: %s", quantity.Format(p, b.Job.Units), brief(err))
		}
	}
	slices.Sort(list)
	return slices.Compact(list), nil
}

// runs are the stretches of arrangements that differ in the number of pumps alone.
func (s *survey) runs() [][2]int {
	var list [][2]int
	from := 0
	for k := 1; k <= len(s.arrangements); k++ {
		if k == len(s.arrangements) || s.arrangements[k].count == 1 {
			list = append(list, [2]int{from, k})
			from = k
		}
	}
	return list
}

// meter prepares the i-th injector of the list.
func (s *survey) meter(i int) metering {
	b := s.build
	if len(s.lists.Injectors) > 0 {
		b.Injectors = s.lists.Injectors[i].put(b.Injectors)
	}
	var a sizing.Assessment
	t, err := sizing.NewTrials(b)
	if err == nil {
		err = t.Assess(nil, sizing.InjectionSection, &a)
	}
	var m metering
	if err == nil {
		m, err = meteringOf(s.setting, b, a.Injection.Voltage)
	}
	if err != nil {
		return metering{fault: brief(err)}
	}
	return m
}

// gather puts supply sides into groups.
func (s *survey) gather() {
	type key [2]quantity.PressureDiff
	at := map[key]int32{}
	for k := range s.supplies {
		u := &s.supplies[k]
		if u.short.Reason == PressureRange || u.short.Reason == DoesNotFit {
			continue
		}
		x := key{u.target, u.idle}
		g, known := at[x]
		if !known {
			g = int32(len(s.groups))
			at[x] = g
			s.groups = append(s.groups, group{target: u.target, idle: u.idle})
		}
		u.group = g
		s.groups[g].supplies = append(s.groups[g].supplies, int32(k))
	}
}

// place is the place of the injector in its list that a candidate names.
func (s *survey) place(i int) int {
	if len(s.lists.Injectors) == 0 {
		return -1
	}
	return i
}

// candidate is the set of a supply side and injectors.
func (s *survey) candidate(supply, injector int) Candidate {
	n := len(s.pressures)
	return s.arrangements[supply/n].candidate(s.place(injector), s.pressures[supply%n])
}
