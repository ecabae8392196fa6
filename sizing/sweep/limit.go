package sweep

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/internal/parallel"
	"example.com/railbook/sizing/internal/root"
)

// Ceiling is the largest value of a field that all parts of the fuel system still carry,
// as a surface over two others; it is made by [Most]. Its height is a gap where there is
// no such value.
type Ceiling struct {
	Surface
	Stops []Stop `json:"stops"` // why it is no more, in the order of Z.Values
}

// StopAt returns why the ceiling lies where it does at the i-th value of X and the j-th
// of Y.
func (c *Ceiling) StopAt(i, j int) Stop { return c.Stops[j*len(c.X.Values)+i] }

// MostOver is [Most] with the axes as text for [ParseAxis]: the field to raise, and
// those along X and Y.
//
//	sweep.MostOver(ctx, build, "boost = 5..40 psi in 15", "ethanol = 0..85 % by 5", "base pressure = 3..5 bar by 0.5")
func MostOver(ctx context.Context, b sizing.Build, of, x, y string) (*Ceiling, error) {
	var axes [3]Axis
	for k, text := range []string{of, x, y} {
		var err error
		if axes[k], err = ParseAxis(text); err != nil {
			return nil, err
		}
	}
	return Most(ctx, b, axes[0], Plan{Axes: axes[1:]})
}

// Most finds, at every point of a plan's two axes, the largest value of a further
// field at which all parts carry: none has less than the margin asked for, be it one
// that depends on power or one that does not, such as the regulator's return or the
// pulse at idle. The plan's results play no part.
//
// The parts are assessed at the values of the axis of, or at nine or more of equal
// spacing where it has fewer. The largest that is carried and the next, which is not,
// bracket the one looked for, which is then found to within 1e-9 of the axis' length;
// it is itself carried. In a field of whole numbers it is one of the axis' values.
//
// Where margins fall all the way, as they do with boost or power, that is the one value
// at which they run out. Where they do not, as with base pressure, of which too little
// starves the injectors and too much the pumps, values below the one found may not be
// carried, and [Stop] says so. Between values looked at, what can be carried is only found
// where they show margins to rise and fall again.
//
// The error is as of [Stream].
func Most(ctx context.Context, b sizing.Build, of Axis, p Plan) (*Ceiling, error) {
	if len(p.Axes) != 2 {
		return nil, fmt.Errorf("%w: a surface has two, not %d", ErrAxis, len(p.Axes))
	}
	x, y := p.Axes[0], p.Axes[1]
	model, err := newAnywhere(b, []Axis{x, y, of})
	if err != nil {
		return nil, err
	}
	l := &ladder{model: model}
	if l.whole = l.model.whole(2); !l.whole {
		of.Values = thicken(of.Values, leastRungs)
	}
	l.values = of.Values
	if l.v, err = (Plan{Axes: []Axis{x, y, of}}).vary(b); err != nil {
		return nil, err
	}
	n := len(x.Values) * len(y.Values)
	if n > mostPoints {
		return nil, fmt.Errorf("%w: %d points are too many for a surface; want at most %d", ErrAxis, n, mostPoints)
	}
	c := &Ceiling{Stops: make([]Stop, n), Surface: Surface{
		Title: "most " + of.Field + " that all parts carry",
		X:     Scale{Name: x.Field, Unit: x.Unit, Values: x.Values},
		Y:     Scale{Name: y.Field, Unit: y.Unit, Values: y.Values},
		Z:     Scale{Name: "most " + of.Field, Unit: of.Unit, Values: make(Numbers, n)},
	}}
	chunk := 32 * runtime.GOMAXPROCS(0)
	for first := 0; first < n; first += chunk {
		last := min(first+chunk, n)
		err := parallel.Each(ctx, last-first, func(k int) {
			k += first
			i, j := k%len(x.Values), k/len(x.Values)
			c.Z.Values[k], c.Stops[k] = l.climb(i*len(y.Values)+j, x.Values[i], y.Values[j])
		})
		if err != nil {
			return nil, err
		}
		if p.Progress != nil {
			p.Progress(last, n)
		}
	}
	return c, nil
}

// mostPoints bounds what a ceiling keeps in memory; 1 GB.
const mostPoints = 1 << 24

// leastRungs is the least number of values that are looked at.
const leastRungs = 9

// thicken puts values between those given so that there are n or more.
func thicken(values []float64, n int) []float64 {
	if len(values) < 2 || len(values) >= n {
		return values
	}
	parts := (n + len(values) - 3) / (len(values) - 1)
	var list []float64
	for k, v := range values[1:] {
		low := values[k]
		for i := range parts {
			list = append(list, low+(v-low)*float64(i)/float64(parts))
		}
	}
	return append(list, values[len(values)-1])
}

// ladder looks at a field's values at the points of two other axes.
type ladder struct {
	v      *sizing.Variation
	model  anywhere
	values []float64
	whole  bool
}

// rung is what is seen at one value.
type rung struct {
	at    float64
	spare float64         // least margin beyond what is asked for; NaN where there is no answer
	part  sizing.PartKind // that has it
	err   error
}

// plenty is more to spare than any part has, and finite.
const plenty = 1e300

func (r rung) carries() bool { return r.spare >= 0 }

// look reads a rung off an assessment.
func look(at float64, a *sizing.Assessment, err error) rung {
	if err != nil {
		return rung{at: at, spare: math.NaN(), err: err}
	}
	r := rung{at: at, spare: plenty}
	for _, p := range a.Parts {
		if s := float64(p.Margin - p.Wanted); s < r.spare {
			r.spare, r.part = s, p.Kind
		}
	}
	return r
}

// climb finds the largest value that is carried at a point of the two axes.
func (l *ladder) climb(point int, x, y float64) (float64, Stop) {
	var a sizing.Assessment
	rungs := make([]rung, len(l.values))
	top, lowest := -1, -1 // that is carried, and that has an answer
	for k, at := range l.values {
		err := l.v.Assess(point*len(l.values)+k, sizing.MarginsSection, &a)
		rungs[k] = look(at, &a, err)
		if rungs[k].carries() {
			top = k
		}
		if lowest < 0 && err == nil {
			lowest = k
		}
	}
	if lowest < 0 {
		return math.NaN(), Stop{Why: NoAnswer, Reason: reason(rungs[0].err)}
	}
	if top, rungs = l.insert(top, rungs, x, y); top < 0 {
		return math.NaN(), Stop{Why: NoneFits, Part: rungs[lowest].part}
	}
	found, stop := rungs[top], Stop{Why: EndStops, Part: rungs[top].part}
	if top < len(rungs)-1 {
		above := rungs[top+1]
		if !l.whole {
			found, above = l.between(found, above, x, y)
		}
		stop = Stop{Why: PartStops, Part: above.part}
		if above.err != nil {
			stop = Stop{Why: GapStops, Part: found.part, Reason: reason(above.err)}
		}
	}
	for _, r := range rungs[:top] {
		stop.Patchy = stop.Patchy || r.err == nil && !r.carries()
	}
	return found.at, stop
}

// insert looks between rungs above top, none of which is carried, where what is to
// spare goes up and down again, and puts in a rung there if it is carried.
func (l *ladder) insert(top int, rungs []rung, x, y float64) (int, []rung) {
	if l.whole {
		return top, rungs
	}
	for k := len(rungs) - 2; k > top && k > 0; k-- {
		before, here, after := rungs[k-1].spare, rungs[k].spare, rungs[k+1].spare
		if !(here >= before && here >= after && (here > before || here > after)) {
			continue
		}
		if r := l.peak(rungs[k-1].at, rungs[k+1].at, x, y); r.carries() {
			if r.at > rungs[k].at {
				k++
			}
			return k, slices.Insert(rungs, k, r)
		}
	}
	return top, rungs
}

// peak looks for the value with the most to spare between two, by golden sections, until
// one is carried.
func (l *ladder) peak(low, high, x, y float64) rung {
	const share = 1 / math.Phi
	enough := 1e-4 * (high - low)
	a, b := l.at(high-share*(high-low), x, y), l.at(low+share*(high-low), x, y)
	for !a.carries() && !b.carries() && high-low > enough {
		if a.spare > b.spare {
			high, b = b.at, a
			a = l.at(high-share*(high-low), x, y)
		} else {
			low, a = a.at, b
			b = l.at(low+share*(high-low), x, y)
		}
	}
	if a.spare > b.spare {
		return a
	}
	return b
}

// at looks at any value.
func (l *ladder) at(at, x, y float64) rung {
	var a sizing.Assessment
	err := l.model.assess(&a, sizing.MarginsSection, x, y, at)
	return look(at, &a, err)
}

// between closes in on where what is carried ends, from a value that is and one that is
// not.
func (l *ladder) between(low, high rung, x, y float64) (rung, rung) {
	try := func(at float64) float64 {
		r := l.at(at, x, y)
		if r.carries() {
			low = r
		} else {
			high = r
		}
		return r.spare
	}
	tolerance := accuracy * span(l.values)
	if high.err == nil {
		// Where there is no answer on the way, what is left is halved below.
		root.Within(try, low.at, low.spare, high.at, high.spare, tolerance/2)
	}
	for high.at-low.at > tolerance {
		middle := low.at + (high.at-low.at)/2
		if middle <= low.at || middle >= high.at {
			break
		}
		try(middle)
	}
	return low, high
}
