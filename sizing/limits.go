package sizing

import (
	"math"

	"example.com/railbook/sizing/internal/root"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/regulator"
)

// limit is how the power is found at which a part runs out. It is no function, as that
// would take the system to the heap at every point of a sweep.
type limit struct {
	way      way
	capacity quantity.VolumeFlow // of a straight line
	added    quantity.MassFlow   // that it has to carry at any power
}

// limits are those of the parts, by kind.
type limits [IdleInjectionPart + 1]limit

// way is a way to find a power.
type way uint8

const (
	never    way = iota // the part does not depend on power
	straight            // its capacity does not, and what it has to carry moves in proportion
	solved              // by finding where nothing is to spare
)

// flowLimit is the limit of a capacity of pumps or lines that does not depend on power.
func (s *system) flowLimit(capacity quantity.VolumeFlow) limit {
	return limit{way: straight, capacity: capacity, added: s.injected + s.nozzle}
}

// injectorLimit is the limit of the injectors. As long as what they can pass does not
// move with power it follows from a straight line too.
func (s *system) injectorLimit(capacity quantity.VolumeFlow) limit {
	still := !s.creeps && s.regAtRail() && (!s.boosted || s.reg.Kind == regulator.ManifoldReferenced && s.reg.Rate() == 1)
	if !still {
		return limit{way: solved}
	}
	return limit{way: straight, capacity: capacity, added: s.injected}
}

// runOut finds the powers at which a part runs out and at which its margin is gone.
func (s *system) runOut(p *Part, l limit) {
	if l.way == never {
		return
	}
	share, found := s.limitAt(p.Kind, l, 1, float64(1+p.Margin))
	if !found {
		return
	}
	m := 1 + float64(p.Wanted)
	kept, _ := s.limitAt(p.Kind, l, m, share/m)
	p.Limited, p.Limit, p.Keeps = true, quantity.CrankPower(float64(s.power)*share), quantity.CrankPower(float64(s.power)*kept)
}

// firstOut does so for the parts that run out or lose their margin first, and for those
// that it takes to know. Straight lines cost little. What is left has to be solved only
// where it has nothing to spare where the first one so far gives out, for the more power,
// the less there is.
func (s *system) firstOut(list []Part, limits *limits) {
	limit, keeps := math.Inf(1), math.Inf(1) // least so far
	for _, w := range [...]way{straight, solved} {
		for i := range list {
			p := &list[i]
			l := limits[p.Kind]
			if l.way != w || w == solved && s.outlasts(p.Kind, limit, 1) && s.outlasts(p.Kind, keeps, 1+float64(p.Wanted)) {
				continue
			}
			if s.runOut(p, l); p.Limited {
				limit, keeps = min(limit, float64(p.Limit)), min(keeps, float64(p.Keeps))
			}
		}
	}
}

// outlasts reports whether a part whose limit is solved for surely has something to spare
// beyond m times the demand at a power and a little above.
func (s *system) outlasts(kind PartKind, power, m float64) bool {
	x := power / float64(s.power) * (1 + 1e-9)
	return x > 0 && x < most && s.spare(kind, x, m) > 0
}

// limitAt returns the share of the target power at which nothing is to spare beyond m
// times the demand: zero where it lies below a thousandth, and not found where it lies
// above a thousandfold. Where it has to be solved for it is looked for around a guess.
func (s *system) limitAt(kind PartKind, l limit, m, guess float64) (share float64, found bool) {
	switch {
	case l.way == solved:
		return shareAt(func(x float64) float64 { return s.spare(kind, x, m) }, guess)
	case s.engine <= 0:
		return 0, float64(l.capacity.Mass(s.density)) < m*float64(l.added)
	}
	share = (float64(l.capacity.Mass(s.density))/m - float64(l.added)) / float64(s.engine)
	switch {
	case share < 1./most:
		return 0, true
	case share > most:
		return 0, false
	}
	return share, true
}

// spare is what a part whose limit is solved for has to spare at the share x of the
// target power beyond m times the demand.
func (s *system) spare(kind PartKind, x, m float64) float64 {
	if kind == PumpsPart {
		return s.pumpSpare(x, m)
	}
	return s.injectorSpare(x, m)
}

// most is the multiple of the target power up to which a limit is looked for.
const most = 1024

// shareAt returns the share of the target power at which nothing is to spare, which falls
// with it: zero where it lies below a thousandth, and not found where it lies above a
// thousandfold. The nearer the guess, the sooner it is found.
func shareAt(spare func(x float64) float64, guess float64) (share float64, found bool) {
	left := func(logx float64) float64 { return spare(math.Exp2(logx)) }
	const end = 10 // log2(most)
	low := 0.0
	if guess > 0 {
		low = min(max(math.Log2(guess), -end), end)
	}
	high, atLow := low, left(low)
	atHigh := atLow
	if atLow < 0 {
		for step := 0.0625; atLow < 0; step *= 4 {
			if low == -end {
				return 0, true
			}
			high, atHigh = low, atLow
			low = max(low-step, -end)
			atLow = left(low)
		}
	} else {
		for step := 0.0625; atHigh > 0; step *= 4 {
			if high == end {
				return 0, false
			}
			low, atLow = high, atHigh
			high = min(high+step, end)
			atHigh = left(high)
		}
	}
	logx, err := root.Within(left, low, atLow, high, atHigh, 1e-12)
	if err != nil {
		logx = low
	}
	return math.Exp2(logx), true
}
