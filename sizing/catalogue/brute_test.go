package catalogue_test

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// looked is a set as an assessment of it alone sees it.
type looked struct {
	catalogue.Candidate
	place      int // in the order of the lists
	reason     catalogue.Reason
	short      int64
	cost       catalogue.Cost
	surplus    int64
	head, idle float64
	known      bool // the shortfall tells
	first      float64
}

func millionths(x float64) int64 { return int64(math.Round(1e6 * max(-1000, min(1000, x)))) }

// bruteForce assesses every set, one by one.
func bruteForce(t *testing.T, b sizing.Build, l *catalogue.Lists, pressures []quantity.PressureDiff) []looked {
	t.Helper()
	indices := func(n int) []int {
		if n == 0 {
			return []int{-1}
		}
		list := make([]int, n)
		for i := range list {
			list[i] = i
		}
		return list
	}
	var all []looked
	for _, p := range indices(len(l.Pumps)) {
		for _, h := range indices(len(l.Hoses)) {
			for _, f := range indices(len(l.Filters)) {
				for _, g := range indices(len(l.Regulators)) {
					most := 1
					if p >= 0 {
						most = max(1, l.Pumps[p].Most)
					}
					for n := 1; n <= most; n++ {
						for _, base := range pressures {
							for _, i := range indices(len(l.Injectors)) {
								c := catalogue.Candidate{Injector: i, Pump: p, Count: n, Hose: h, Filter: f, Regulator: g, Pressure: base}
								s := look(t, b, l, c)
								s.place = len(all)
								all = append(all, s)
							}
						}
					}
				}
			}
		}
	}
	return all
}

var reasonOf = map[sizing.PartKind]catalogue.Reason{
	sizing.SuctionPart: catalogue.SuctionShort, sizing.LiftPart: catalogue.LiftShort, sizing.PumpsPart: catalogue.PumpsShort,
	sizing.FeedLinePart: catalogue.FeedLineShort, sizing.RegulatorPart: catalogue.RegulatorShort,
	sizing.InjectorsPart: catalogue.InjectorsShort, sizing.IdleInjectionPart: catalogue.IdleShort,
}

func look(t *testing.T, b sizing.Build, l *catalogue.Lists, c catalogue.Candidate) looked {
	t.Helper()
	s := looked{Candidate: c, known: true, head: math.Inf(1), idle: math.Inf(-1)}
	for _, line := range l.Bill(b, c, nil) {
		if line.Price == catalogue.Unpriced {
			s.cost.Unpriced++
		} else {
			s.cost.Sum += line.Price
		}
	}
	if c.Regulator >= 0 {
		if r := l.Regulators[c.Regulator]; c.Pressure < r.Least || r.Most != 0 && c.Pressure > r.Most {
			s.reason, s.known = catalogue.PressureRange, false
			return s
		}
	}
	a, err := sizing.Assess(l.Build(b, c))
	if err != nil {
		s.reason, s.known = catalogue.DoesNotFit, false
		return s
	}
	parts := map[catalogue.Reason][2]float64{}
	for _, p := range a.Parts {
		parts[reasonOf[p.Kind]] = [2]float64{float64(p.Margin), float64(p.Wanted)}
	}
	rate := func(rating quantity.PressureDiff) {
		need := a.Delivery.PumpOutlet.Above(a.Build.Induction.Barometer)
		if c.Pump >= 0 {
			need = max(need, l.Pumps[c.Pump].Relief)
		}
		if old, ok := parts[catalogue.RatingShort]; rating != 0 && (!ok || float64(rating/need)-1 < old[0]) {
			parts[catalogue.RatingShort] = [2]float64{float64(rating/need) - 1, 0}
		}
	}
	if c.Hose >= 0 {
		rate(l.Hoses[c.Hose].Rating)
	}
	if c.Filter >= 0 {
		rate(l.Filters[c.Filter].Rating)
	}
	for r := catalogue.PressureRange; r <= catalogue.RegulatorShort; r++ {
		p, ok := parts[r]
		if !ok {
			continue
		}
		margin, wanted := p[0], p[1]
		switch r {
		case catalogue.InjectorsShort, catalogue.PumpsShort, catalogue.FeedLineShort:
			s.surplus += millionths(margin - wanted)
			s.head = min(s.head, margin)
		case catalogue.SuctionShort, catalogue.LiftShort:
			s.head = min(s.head, margin)
		case catalogue.IdleShort:
			s.idle = margin
		}
		if margin < wanted {
			by := max(1, millionths(1-(1+margin)/(1+wanted)))
			if s.reason == catalogue.Fits {
				s.reason, s.first = r, float64(by)
			}
			s.short += by
		}
	}
	return s
}

// rank is the order of the rule, and of misses.
func rank(a, b *looked) int {
	return cmp.Or(cmp.Compare(a.short, b.short), a.cost.Compare(b.cost), cmp.Compare(a.surplus, b.surplus), cmp.Compare(a.place, b.place))
}

// without is the candidate but for its base pressure.
func without(c catalogue.Candidate) catalogue.Candidate { c.Pressure = 0; return c }

func TestChoiceIsThatOfEverySetAssessed(t *testing.T) {
	list := sheets(t)
	var names []string
	for name := range list {
		names = append(names, name)
	}
	slices.Sort(names)
	carried, rejected := 0, map[catalogue.Reason]int{}
	for seed := range uint64(160) {
		r := draw{rand.New(rand.NewPCG(seed, 6))}
		name := names[int(seed)%len(names)]
		b := list[name]
		if r.IntN(3) == 0 && b.Regulator.Control == sizing.ByValve && len(b.ReturnLine) == 0 {
			b.Regulator.Kind = regulator.Kind(1 + r.IntN(3))
			if b.Regulator.Kind != regulator.ManifoldReferenced {
				b.Regulator.Rise = 0
			}
		}
		if r.IntN(3) == 0 {
			b.Policy.InletMargin = quantity.Of(r.around(20, 95), quantity.KilopascalDiff)
		}
		if b.SurgeTank != nil && r.IntN(2) == 0 {
			surge := *b.SurgeTank
			surge.LiftRise, surge.Return = quantity.Of(r.around(20, 90), quantity.KilopascalDiff), sizing.ReturnTo(r.IntN(2))
			b.SurgeTank = &surge
		}
		if r.IntN(4) == 0 && b.Injectors.Firing == sizing.Sequential {
			second := sizing.Secondary{Flow: b.Injectors.Flow, Count: r.IntN(9), Start: 0.5, Spread: 0.02}
			if r.IntN(2) == 0 {
				second.DeadTime = []injector.DeadTimePoint{{Time: quantity.Of(r.around(0.4, 2), quantity.Millisecond)}}
			}
			b.Secondary = &second
		}
		l, o := r.lists(b)
		c, err := catalogue.Choose(context.Background(), b, l, o)
		if err != nil {
			t.Errorf("seed %d, %s: %v", seed, name, err)
			continue
		}
		all := bruteForce(t, b, l, c.Pressures)
		counts, carry := map[catalogue.Reason]int{}, 0
		for i := range all {
			if counts[all[i].reason]++; all[i].reason == catalogue.Fits {
				carry++
			}
		}
		carried += carry
		if c.Sets != len(all) || c.Carry != carry {
			t.Errorf("seed %d, %s: %d of %d sets carry, want %d of %d", seed, name, c.Carry, c.Sets, carry, len(all))
		}
		for _, x := range c.Rejections {
			rejected[x.Reason] += x.Sets
			if counts[x.Reason] != x.Sets {
				t.Errorf("seed %d, %s: %d sets fail at %v, want %d", seed, name, x.Sets, x.Reason, counts[x.Reason])
			}
			delete(counts, x.Reason)
			checkNearest(t, seed, all, x)
		}
		delete(counts, catalogue.Fits)
		if len(counts) > 0 {
			t.Errorf("seed %d, %s: missing rejections %v", seed, name, counts)
		}
		checkBest(t, seed, all, c, o.Top)
		checkFront(t, seed, all, c)
		checkMisses(t, seed, b, l, all, c, o.Top)
	}
	if carried == 0 {
		t.Error("no set carries")
	}
	for r := catalogue.PressureRange; r <= catalogue.RegulatorShort; r++ {
		if rejected[r] == 0 {
			t.Errorf("no set fails at %v", r)
		}
	}
}

func checkNearest(t *testing.T, seed uint64, all []looked, x catalogue.Rejection) {
	t.Helper()
	least := math.Inf(1)
	for i := range all {
		if all[i].reason == x.Reason {
			least = min(least, all[i].first)
		}
	}
	for i := range all {
		if all[i].Candidate == x.Nearest {
			if all[i].reason != x.Reason || all[i].first != least || x.Short.Reason != x.Reason {
				t.Errorf("seed %d: nearest to %v is short by %v of %v there, want %v", seed, x.Reason, all[i].first, all[i].reason, least)
			}
			return
		}
	}
	t.Errorf("seed %d: nearest to %v is no set: %+v", seed, x.Reason, x.Nearest)
}

func checkBest(t *testing.T, seed uint64, all []looked, c *catalogue.Choice, top int) {
	t.Helper()
	var fit []*looked
	for i := range all {
		if all[i].reason == catalogue.Fits {
			fit = append(fit, &all[i])
		}
	}
	slices.SortFunc(fit, rank)
	seen := map[catalogue.Candidate]bool{}
	var want []*looked
	for _, s := range fit {
		if !seen[without(s.Candidate)] && len(want) < top {
			seen[without(s.Candidate)] = true
			want = append(want, s)
		}
	}
	if len(c.Best) != len(want) {
		t.Errorf("seed %d: %d best sets, want %d", seed, len(c.Best), len(want))
		return
	}
	for k, s := range c.Best {
		w := want[k]
		if s.Candidate != w.Candidate || s.Cost != w.cost || float64(s.Headroom) != w.head || millionths(float64(s.Surplus)) != w.surplus {
			t.Errorf("seed %d: set %d is %+v at %v, headroom %v, want %+v at %v, headroom %v", seed, k+1, s.Candidate, s.Cost, s.Headroom, w.Candidate, w.cost, w.head)
		}
		also := 0
		for _, f := range fit {
			if without(f.Candidate) == without(s.Candidate) && f.Candidate != s.Candidate {
				if !slices.Contains(s.AlsoAt, f.Pressure) {
					t.Errorf("seed %d: set %d carries at %v too, and is not said to", seed, k+1, f.Pressure)
				}
				also++
			}
		}
		if also != len(s.AlsoAt) {
			t.Errorf("seed %d: set %d also at %d pressures, want %d", seed, k+1, len(s.AlsoAt), also)
		}
	}
}

func checkFront(t *testing.T, seed uint64, all []looked, c *catalogue.Choice) {
	t.Helper()
	covers := func(a, b *looked) bool { return a.cost.Compare(b.cost) <= 0 && a.head >= b.head && a.idle >= b.idle }
	var want []*looked
	for i := range all {
		s := &all[i]
		if s.reason != catalogue.Fits {
			continue
		}
		beaten := false
		for k := range all {
			if u := &all[k]; u.reason == catalogue.Fits && covers(u, s) && (!covers(s, u) || rank(u, s) < 0) {
				beaten = true
				break
			}
		}
		if !beaten {
			want = append(want, s)
		}
	}
	slices.SortFunc(want, rank)
	if len(c.Front) != len(want) {
		t.Errorf("seed %d: %d sets on the front, want %d", seed, len(c.Front), len(want))
		return
	}
	for k, s := range c.Front {
		if s.Candidate != want[k].Candidate {
			t.Errorf("seed %d: front %d is %+v, want %+v", seed, k+1, s.Candidate, want[k].Candidate)
		}
	}
}

func checkMisses(t *testing.T, seed uint64, b sizing.Build, l *catalogue.Lists, all []looked, c *catalogue.Choice, top int) {
	t.Helper()
	type pair struct{ injector, pump, count int }
	of := func(c catalogue.Candidate) pair { return pair{c.Injector, c.Pump, c.Count} }
	carries := map[pair]bool{}
	for i := range all {
		if all[i].reason == catalogue.Fits {
			carries[of(all[i].Candidate)] = true
		}
	}
	// Whatever the injectors pass, the supply side is judged by injectors that pass
	// the demand: by the sheet's own, made wide.
	wide := b
	wide.Injectors.Flow, _ = b.Injectors.Flow.Resized(quantity.Of(100, b.Injectors.Flow.Volume()))
	var short []*looked
	for i := range all {
		s := all[i]
		if !s.known || s.reason == catalogue.Fits || carries[of(s.Candidate)] {
			continue
		}
		own := s.Candidate
		own.Injector = -1
		side := look(t, wide, l, own)
		a, _ := sizing.Assess(l.Build(b, s.Candidate))
		w, _ := sizing.Assess(l.Build(wide, own))
		s.short = injectorShort(a) + side.short - injectorShort(w)
		s.surplus = 0
		short = append(short, &s)
	}
	slices.SortFunc(short, rank)
	seen := map[pair]bool{}
	var want []*looked
	for _, s := range short {
		if !seen[of(s.Candidate)] && len(want) < top {
			seen[of(s.Candidate)] = true
			want = append(want, s)
		}
	}
	if len(c.Misses) != len(want) {
		t.Errorf("seed %d: %d misses, want %d", seed, len(c.Misses), len(want))
		return
	}
	for k, m := range c.Misses {
		if m.Candidate != want[k].Candidate || millionths(float64(m.By)) != want[k].short {
			t.Errorf("seed %d: miss %d is %+v by %v, want %+v by %v", seed, k+1, m.Candidate, m.By, want[k].Candidate, want[k].short)
		}
	}
}

// injectorShort is what the injectors alone are short of.
func injectorShort(a *sizing.Assessment) int64 {
	var sum int64
	for _, p := range a.Parts {
		if (p.Kind == sizing.InjectorsPart || p.Kind == sizing.IdleInjectionPart) && p.Margin < p.Wanted {
			sum += max(1, millionths(float64(1-(1+p.Margin)/(1+p.Wanted))))
		}
	}
	return sum
}
