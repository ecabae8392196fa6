package catalogue

import "math"

// trade is what a set, its injectors or its supply side stand for in the trade-off.
type trade struct {
	cost int64   // by Cost.order; less is better
	head float64 // headroom; more is better
	idle float64 // pulse at idle over the least that meters, less one; more is better, and -Inf not known
	key
}

// covers reports whether t is no worse than u in any of the three.
func (t *trade) covers(u *trade) bool {
	return t.cost <= u.cost && t.head >= u.head && t.idle >= u.idle
}

// front keeps those of the trades it is offered that no other is better than: of equal
// ones that which ranks first.
type front struct {
	list []trade
	// ranked wants of the better one that it ranks first too. Of the parts of sets this
	// keeps those that the first ranked of equal sets may hold.
	ranked bool
}

// beats reports whether u has no place beside t.
func (f *front) beats(t, u *trade) bool {
	if !t.covers(u) {
		return false
	}
	if !f.ranked && (t.cost < u.cost || t.head > u.head || t.idle > u.idle) {
		return true
	}
	return t.key.compare(u.key) < 0
}

func (f *front) offer(t trade) {
	for i := range f.list {
		if f.beats(&f.list[i], &t) {
			// What beats much is looked at first.
			f.list[i/2], f.list[i] = f.list[i], f.list[i/2]
			return
		}
	}
	kept := f.list[:0]
	for i := range f.list {
		if !f.beats(&t, &f.list[i]) {
			kept = append(kept, f.list[i])
		}
	}
	f.list = append(kept, t)
}

// idleTrade is a margin at idle as the trade-off has it.
func idleTrade(margin float64) float64 {
	if math.IsNaN(margin) {
		return math.Inf(-1)
	}
	return margin
}
