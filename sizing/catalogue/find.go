package catalogue

import (
	"context"
	"math"
	"runtime"
	"slices"

	"example.com/railbook/sizing/internal/parallel"
)

// finding is what is found of the sets of some groups.
type finding struct {
	*survey
	costs   *costs
	carry   int
	tallies [reasons]tally
	best    podium
	misses  podium
	front   front
	pairs   []bits // of each number of each pump, the injectors that carry with it

	verdicts []verdict
	bests    []key // the best injectors of a group
}

// tally counts rejections for one reason.
type tally struct {
	sets   int
	margin float64 // of the nearest: the greatest, as all should have the same
	near   [2]int32
}

// add counts sets that have the margin, one of them with the supply side and injector.
func (t *tally) add(sets int, margin float64, supply, injector int32) {
	if sets == 0 {
		return
	}
	if t.sets == 0 || margin > t.margin || margin == t.margin && (supply < t.near[0] || supply == t.near[0] && injector < t.near[1]) {
		t.margin, t.near = margin, [2]int32{supply, injector}
	}
	t.sets += sets
}

func (s *survey) newFinding(c *costs) *finding {
	f := &finding{survey: s, costs: c, verdicts: make([]verdict, len(s.meters))}
	f.best.n, f.misses.n = s.top(), s.top()
	n := 0
	for _, a := range s.arrangements {
		n = max(n, s.pair(a)+1)
	}
	f.pairs = make([]bits, n)
	return f
}

// pair numbers the counts of the pumps.
func (s *survey) pair(a arrangement) int { return max(0, a.pump)*mostPumps + a.count - 1 }

// find looks at all groups.
func (s *survey) find(ctx context.Context, c *costs) (*finding, error) {
	workers := make([]*finding, runtime.GOMAXPROCS(0))
	for w := range workers {
		workers[w] = s.newFinding(c)
	}
	free := make(chan *finding, len(workers))
	for _, w := range workers {
		free <- w
	}
	err := parallel.Each(ctx, len(s.groups), func(g int) {
		w := <-free
		w.look(&s.groups[g])
		free <- w
	})
	if err != nil {
		return nil, err
	}
	f := workers[0]
	for _, w := range workers[1:] {
		f.merge(w)
	}
	for _, w := range workers[1:] {
		w.pairs = f.pairs
	}
	err = parallel.Each(ctx, len(s.groups), func(g int) {
		w := <-free
		w.nearMisses(&s.groups[g])
		free <- w
	})
	for _, w := range workers[1:] {
		for _, e := range w.misses.list {
			f.misses.offer(e)
		}
	}
	f.unfit()
	return f, err
}

// merge adds what another has found.
func (f *finding) merge(w *finding) {
	f.carry += w.carry
	for r := range w.tallies {
		t := &w.tallies[r]
		f.tallies[r].add(t.sets, t.margin, t.near[0], t.near[1])
	}
	for _, e := range w.best.list {
		f.best.offer(e)
	}
	for _, t := range w.front.list {
		f.front.offer(t)
	}
	for k, row := range w.pairs {
		if row != nil {
			f.join(k, row)
		}
	}
}

// join notes injectors that carry with a number of pumps.
func (f *finding) join(pair int, fit bits) {
	if f.pairs[pair] == nil {
		f.pairs[pair] = newBits(len(f.meters))
	}
	f.pairs[pair].join(fit)
}

// judge finds the verdicts on the injectors in a group.
func (f *finding) judge(g *group) {
	for i := range f.meters {
		f.verdicts[i] = f.meters[i].at(&f.setting, f.Options, g.target, g.idle)
	}
}

// look finds what there is of the sets of one group.
func (f *finding) look(g *group) {
	f.judge(g)
	fit, carry, first := newBits(len(f.meters)), 0, int32(math.MaxInt32)
	worthy, sides := front{ranked: true}, front{ranked: true}
	f.bests = f.bests[:0]
	for _, i := range f.costs.ranked {
		v := f.verdicts[i]
		switch r := f.setting.reason(v); r {
		case Fits:
		case InjectorsShort:
			f.tallies[r].add(len(g.supplies), v.margin, g.supplies[0], i)
			continue
		case IdleShort:
			f.tallies[r].add(len(g.supplies), v.idle, g.supplies[0], i)
			continue
		default:
			f.tallies[r].add(len(g.supplies), 0, g.supplies[0], i)
			continue
		}
		carry++
		fit.set(int(i))
		first = min(first, i)
		k := key{cost: f.costs.injectors[i], surplus: millionths(v.margin - f.setting.wanted), injector: i}
		f.keepBest(k)
		worthy.offer(trade{k.cost, v.margin, idleTrade(v.idle), k})
	}
	for _, u := range g.supplies {
		side := &f.supplies[u]
		if r := side.short.Reason; r != Fits {
			f.tallies[r].add(carry, float64(side.short.Margin), u, first)
			continue
		}
		f.carry += carry
		if carry == 0 {
			continue
		}
		arr := int(u) / len(f.pressures)
		f.join(f.pair(f.arrangements[arr]), fit)
		k := key{cost: f.costs.arrangements[arr], surplus: side.surplus, supply: u}
		for _, i := range f.bests {
			set := key{cost: k.cost + i.cost, surplus: k.surplus + i.surplus, supply: u, injector: i.injector}
			if !f.best.takes(set) {
				break
			}
			f.best.offer(entry{set, [2]int32{int32(arr), i.injector}})
		}
		sides.offer(trade{k.cost, side.head, 0, k})
	}
	for _, i := range worthy.list {
		for _, u := range sides.list {
			t := trade{cost: i.cost + u.cost, head: min(i.head, u.head), idle: i.idle}
			t.key = key{cost: t.cost, surplus: i.surplus + u.surplus, supply: u.supply, injector: i.injector}
			f.front.offer(t)
		}
	}
}

// keepBest keeps the best injectors of a group, as many as can be among the best sets
// with one supply side.
func (f *finding) keepBest(k key) {
	n := f.best.n
	if n == 0 || len(f.bests) == n && k.compare(f.bests[n-1]) >= 0 {
		return
	}
	at, _ := slices.BinarySearchFunc(f.bests, k, key.compare)
	if len(f.bests) == n {
		f.bests = f.bests[:n-1]
	}
	f.bests = slices.Insert(f.bests, at, k)
}

// nearMisses looks in one group for sets that nearly carry.
func (f *finding) nearMisses(g *group) {
	near := func(u int32) bool { return f.supplies[u].total <= f.misses.bound() }
	if f.misses.n == 0 || !slices.ContainsFunc(g.supplies, near) {
		return
	}
	f.judge(g)
	for _, u := range g.supplies {
		if near(u) {
			f.missesOf(u)
		}
	}
}

// missesOf looks for sets of one supply side that nearly carry, once the injectors are
// judged.
func (f *finding) missesOf(u int32) {
	side, arr := &f.supplies[u], int(u)/len(f.pressures)
	pair := f.pair(f.arrangements[arr])
	carrying := f.pairs[pair]
	// What lies below these is further off than what is known, by more than rounding.
	far := func() (margin, idle float64) {
		left := 1e-6 * float64(f.misses.bound()-side.total+2)
		return (1+f.setting.wanted)*(1-left) - 1, -left
	}
	margin, idle := far()
	for i, v := range f.verdicts {
		if v.margin < margin || v.idle < idle || math.IsNaN(v.margin) || carrying != nil && carrying.has(i) {
			continue
		}
		j := judged{total: side.total}
		f.setting.judge(&j, v)
		if j.total == 0 {
			continue
		}
		k := key{short: j.total, cost: f.costs.injectors[i] + f.costs.arrangements[arr], supply: u, injector: int32(i)}
		if f.misses.takes(k) {
			f.misses.offer(entry{k, [2]int32{int32(pair), int32(i)}})
			margin, idle = far()
		}
	}
}

// unfit counts the supply sides whose parts do not go together.
func (f *finding) unfit() {
	for u := range f.supplies {
		if side := &f.supplies[u]; side.group < 0 {
			f.tallies[side.short.Reason].add(len(f.meters), 0, int32(u), 0)
		}
	}
}
