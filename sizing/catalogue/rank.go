package catalogue

import (
	"cmp"
	"math"
	"slices"
)

// Rule says how sets are ranked.
const Rule = "cost, the least first, and sets with parts without a price last; then surplus, the least first: " +
	"the margins of injectors, pumps and feed line over those asked for, added up; then the order of the lists. " +
	"Sets that differ in base pressure alone stand as one, at the pressure that ranks first."

// key is the rank of a set: less is better. A set that carries is short of nothing. It
// grows with what injectors and supply side have of each, so that the best of a sum are
// among the sums of the best.
type key struct {
	short    int64 // in millionths
	cost     int64 // by Cost.order
	surplus  int64 // in millionths; of sets that are short it does not count
	supply   int32
	injector int32
}

func (k key) compare(l key) int {
	switch {
	case k.short != l.short:
		return cmp.Compare(k.short, l.short)
	case k.cost != l.cost:
		return cmp.Compare(k.cost, l.cost)
	case k.surplus != l.surplus:
		return cmp.Compare(k.surplus, l.surplus)
	case k.supply != l.supply:
		return cmp.Compare(k.supply, l.supply)
	}
	return cmp.Compare(k.injector, l.injector)
}

// podium keeps the n best of the sets it is offered, one of each kind.
type podium struct {
	n    int
	list []entry
}

type entry struct {
	key
	kind [2]int32
}

func (p *podium) full() bool { return len(p.list) == p.n }

// bound is the shortfall beyond which nothing is taken in.
func (p *podium) bound() int64 {
	if p.n == 0 || !p.full() {
		return math.MaxInt64 / 4
	}
	return p.list[p.n-1].short
}

// takes reports whether a set could be among the best.
func (p *podium) takes(k key) bool {
	return !p.full() || p.n > 0 && k.compare(p.list[p.n-1].key) < 0
}

func (p *podium) offer(e entry) {
	if !p.takes(e.key) {
		return
	}
	at, _ := slices.BinarySearchFunc(p.list, e.key, func(f entry, k key) int { return f.key.compare(k) })
	for i := range p.list {
		if p.list[i].kind != e.kind {
			continue
		}
		if i < at || p.list[i].key == e.key {
			return // as good already
		}
		p.list = slices.Delete(p.list, i, i+1)
		break
	}
	if p.full() {
		p.list = p.list[:p.n-1]
	}
	p.list = slices.Insert(p.list, at, e)
}

// sortBy sorts places by a number, equal ones in their own order.
func sortBy(list []int32, of func(int32) int64) {
	slices.SortFunc(list, func(a, b int32) int {
		return cmp.Or(cmp.Compare(of(a), of(b)), cmp.Compare(a, b))
	})
}

// bits is a set of small numbers.
type bits []uint64

func newBits(n int) bits { return make(bits, (n+63)/64) }

func (b bits) set(i int)      { b[i/64] |= 1 << (i % 64) }
func (b bits) has(i int) bool { return b[i/64]>>(i%64)&1 != 0 }

// join adds the numbers of another.
func (b bits) join(c bits) {
	for k, word := range c {
		b[k] |= word
	}
}
