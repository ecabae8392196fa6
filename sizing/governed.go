package sizing

import (
	"math"
	"slices"
)

// chunk is how many numbers of a column share their bounds.
const chunk = 64

// bounds are the least and the greatest number of each chunk of a column, from which
// those of any stretch of it follow at little cost.
type bounds struct{ low, high []float64 }

func boundsOf(column []float64) bounds {
	var b bounds
	for c := range slices.Chunk(column, chunk) {
		low, high := c[0], c[0]
		for _, x := range c {
			low, high = min(low, x), max(high, x)
		}
		b.low, b.high = append(b.low, low), append(b.high, high)
	}
	return b
}

// over returns bounds of the run numbers from the i-th on, no wider than those of the
// chunks that they touch. They are no numbers where one of the column is none.
func (b bounds) over(i, run int) (low, high float64) {
	first, end := i/chunk, (i+run-1)/chunk+1
	low, high = b.low[first], b.high[first]
	for c := first + 1; c < end; c++ {
		low, high = min(low, b.low[c]), max(high, b.high[c])
	}
	return low, high
}

// rivals tell where the air route asks for more fuel than the other two: where the air
// drawn for each unit of power exceeds what the fuel's consumption by power or energy
// would have needed.
type rivals struct {
	drawn  bounds // air over power, where the same axes move both; empty where not
	needed bounds // consumption over fuel for each unit of air
}

// certain is by how much two numbers have to differ for rounding not to decide which is
// the greater.
const certain = 1e-12

// governor says what the greatest of the three routes is along a whole stretch, where
// that is the same one: the consumption and what it is multiplied by.
func (g *algebra) governor(f *factors, l, a, run int, lMoves, aMoves bool) (of, by side, found bool) {
	if len(g.rivals.drawn.low) == 0 {
		return side{}, side{}, false
	}
	drawnLow, drawnHigh := g.rivals.drawn.over(a, moving(run, aMoves))
	neededLow, neededHigh := g.rivals.needed.over(l, moving(run, lMoves))
	switch {
	case drawnHigh < neededLow*(1-certain):
		return onSide(g.worst, l, run, lMoves), f.power, true
	case drawnLow > neededHigh*(1+certain):
		return f.perAir, f.air, true
	}
	return side{}, side{}, false
}

// moving is how many numbers of a column a stretch takes.
func moving(run int, moves bool) int {
	if moves {
		return run
	}
	return 1
}

// compete prepares to tell which route governs, and finds whether fuel flows at every
// point, each pulse being a positive number. It is called with all else prepared.
func (g *algebra) compete(together bool) {
	g.worst = make([]float64, len(g.powerBSFC))
	needed := make([]float64, len(g.powerBSFC))
	for i := range g.worst {
		// Power being positive, the greater product is that with the greater consumption,
		// rounded or not.
		g.worst[i] = max(g.powerBSFC[i], g.energyBSFC[i])
		needed[i] = g.worst[i] / g.perAir[i]
	}
	g.rivals.needed = boundsOf(needed)
	if together {
		drawn := make([]float64, len(g.power))
		for i := range drawn {
			drawn[i] = g.air[i] / g.power[i]
		}
		g.rivals.drawn = boundsOf(drawn)
	}
	if g.meters.rate == nil {
		return
	}
	least := slices.Min(g.power) * slices.Min(g.worst) * slices.Min(g.surplus) * slices.Min(g.meters.perFlow) * slices.Min(g.meters.rate)
	flow := max(slices.Max(g.power)*slices.Max(g.worst), slices.Max(g.air)*slices.Max(g.perAir)) * slices.Max(g.surplus)
	greatest := (flow*slices.Max(g.meters.perFlow) + slices.Max(g.meters.dead)) * slices.Max(g.meters.rate)
	g.flows = g.plain && least > 1e-200 && greatest < math.MaxFloat64/2 && slices.Min(g.meters.dead) >= 0
}

// governedByFuel finds the duty along an axis that moves the fuel, of which one route
// governs. Four at a time cost the processor less than one by one.
func governedByFuel(duty, of, perFlow []float64, by, surplus, dead, rate float64) {
	for len(duty) >= 4 && len(of) >= 4 && len(perFlow) >= 4 {
		to, x, p := (*[4]float64)(duty), (*[4]float64)(of), (*[4]float64)(perFlow)
		to[0] = (float64(float64(float64(x[0]*by)*surplus)*p[0]) + dead) * rate
		to[1] = (float64(float64(float64(x[1]*by)*surplus)*p[1]) + dead) * rate
		to[2] = (float64(float64(float64(x[2]*by)*surplus)*p[2]) + dead) * rate
		to[3] = (float64(float64(float64(x[3]*by)*surplus)*p[3]) + dead) * rate
		duty, of, perFlow = duty[4:], of[4:], perFlow[4:]
	}
	for k := range duty {
		duty[k] = (float64(float64(float64(of[k]*by)*surplus)*perFlow[k]) + dead) * rate
	}
}

// governedByAir does so along an axis that moves the air and the target.
func governedByAir(duty, by, surplus []float64, of, perFlow, dead, rate float64) {
	for len(duty) >= 4 && len(by) >= 4 && len(surplus) >= 4 {
		to, x, s := (*[4]float64)(duty), (*[4]float64)(by), (*[4]float64)(surplus)
		to[0] = (float64(float64(float64(of*x[0])*s[0])*perFlow) + dead) * rate
		to[1] = (float64(float64(float64(of*x[1])*s[1])*perFlow) + dead) * rate
		to[2] = (float64(float64(float64(of*x[2])*s[2])*perFlow) + dead) * rate
		to[3] = (float64(float64(float64(of*x[3])*s[3])*perFlow) + dead) * rate
		duty, by, surplus = duty[4:], by[4:], surplus[4:]
	}
	for k := range duty {
		duty[k] = (float64(float64(float64(of*by[k])*surplus[k])*perFlow) + dead) * rate
	}
}
