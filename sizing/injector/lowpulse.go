package injector

import (
	"fmt"
	"math"
	"slices"

	"example.com/railbook/sizing/quantity"
)

// LowPulse corrects for injectors that do not meter in proportion when the pulse is
// short. It is made by [NewLowPulse] and does not change. The zero value is none.
//
// With the dead time taken off, a pulse has a net time, fuel over static flow, and
// an open time, which it takes for that fuel. Without a correction they are the
// same. A table gives one of two corrections in rows of rising pulse, the last of
// them none:
//
//	added time    open = net + added(net)      "0.08 ms at 0.6 ms; 0.03 ms at 1.2 ms; 0 ms at 2 ms"
//	flow factor   net = open · factor(open)    "82 % at 0.6 ms; 95 % at 1.2 ms; 100 % at 2 ms"
//
// where the pulse of a row is the net time in the first and the open time in the
// second. Between the rows the correction is a straight line, below the first row
// it stays.
type LowPulse struct{ rows []LowPulsePoint }

const lowPulseAccepted = `added times or flow factors in order of rising pulse, the last of them none, such as "0.08 ms at 0.6 ms; 0 ms at 2 ms" or "82 % at 0.6 ms; 100 % at 2 ms"`

// NewLowPulse makes a correction of at least two rows, all of the same kind, in
// order of rising pulse. The last row says where it ends: no added time, or the
// factor 1. It refuses a table by which more fuel would take no more time. The
// error names the first row at fault, counted from 1, and wraps a
// [*quantity.ParseError].
func NewLowPulse(rows ...LowPulsePoint) (LowPulse, error) {
	if len(rows) < 2 {
		return LowPulse{}, &quantity.ParseError{Reason: "a correction has at least two rows", Accepted: lowPulseAccepted, Err: quantity.ErrRange}
	}
	for i, p := range rows {
		why := p.fault()
		switch {
		case why != "":
		case (p.Factor == 0) != (rows[0].Factor == 0):
			why = "added times and flow factors do not mix"
		case i > 0 && !(p.Pulse-rows[i-1].Pulse >= minPulseStep):
			why = fmt.Sprintf("the pulse must exceed that of the row before, %v", rows[i-1])
		case !p.follows(rows[max(0, i-1)]):
			why = "more fuel would take no more time than at the row before"
		case i == len(rows)-1 && !p.none():
			why = "the last row must be none, 0 ms or 100 %, so that the correction ends there"
		}
		if why != "" {
			return LowPulse{}, fmt.Errorf("row %d: %w", i+1, &quantity.ParseError{
				Text: p.String(), Reason: why, Accepted: lowPulseAccepted, Err: quantity.ErrRange,
			})
		}
	}
	return LowPulse{rows: slices.Clone(rows)}, nil
}

// follows reports whether the open time rises with the net time from a to p.
func (p LowPulsePoint) follows(a LowPulsePoint) bool {
	if p.Factor == 0 {
		return p == a || p.Pulse+p.Added > a.Pulse+a.Added
	}
	if p == a {
		return true
	}
	// net = open·factor is a parabola between the rows; it rises where its slope is
	// positive at both.
	slope := float64(p.Factor-a.Factor) / float64(p.Pulse-a.Pulse)
	return float64(a.Factor)+slope*float64(a.Pulse) > 0 && float64(p.Factor)+slope*float64(p.Pulse) > 0
}

// Open returns the open time that a net time takes: what to add the dead time to.
// It never falls as net rises and has no break. An added time that is negative and
// longer than the pulse leaves nothing.
func (l LowPulse) Open(net quantity.Time) quantity.Time {
	n := len(l.rows)
	switch {
	case n == 0:
		return net
	case l.rows[0].Factor == 0:
		return max(0, net+l.added(net))
	}
	for i := n - 1; i > 0; i-- {
		a, b := l.rows[i-1], l.rows[i]
		switch {
		case net >= b.net():
			return net // only of the last row, which corrects nothing
		case net >= a.net():
			// s·open² + c·open - net = 0, its rising branch
			s := float64(b.Factor-a.Factor) / float64(b.Pulse-a.Pulse)
			c := float64(a.Factor) - s*float64(a.Pulse)
			return quantity.Time(2 * float64(net) / (c + math.Sqrt(max(0, c*c+4*s*float64(net)))))
		}
	}
	return quantity.Time(float64(net) / float64(l.rows[0].Factor))
}

// Net returns the net time of an open time: the inverse of [LowPulse.Open], but
// that an open time shorter than any gives none.
func (l LowPulse) Net(open quantity.Time) quantity.Time {
	n := len(l.rows)
	if n == 0 {
		return open
	}
	if l.rows[0].Factor != 0 {
		return quantity.Time(float64(open) * l.factor(open))
	}
	for i := n - 1; i > 0; i-- {
		a, b := l.rows[i-1], l.rows[i]
		switch {
		case open >= b.open():
			return open
		case open >= a.open():
			t := float64((open - a.open()) / (b.open() - a.open()))
			return quantity.Time((1-t)*float64(a.Pulse) + t*float64(b.Pulse))
		}
	}
	return max(0, open-l.rows[0].Added)
}

func (p LowPulsePoint) open() quantity.Time { return p.Pulse + p.Added }
func (p LowPulsePoint) net() quantity.Time {
	return quantity.Time(float64(p.Pulse) * float64(p.Factor))
}

// added is the added time at a net time.
func (l LowPulse) added(net quantity.Time) quantity.Time {
	return quantity.Time(l.line(net, func(p *LowPulsePoint) float64 { return float64(p.Added) }))
}

// factor is the flow factor at an open time.
func (l LowPulse) factor(open quantity.Time) float64 {
	return l.line(open, func(p *LowPulsePoint) float64 { return float64(p.Factor) })
}

// line is the straight line through the rows, held at both ends.
func (l LowPulse) line(at quantity.Time, of func(*LowPulsePoint) float64) float64 {
	hi := 0
	for hi < len(l.rows) && l.rows[hi].Pulse < at {
		hi++
	}
	switch hi {
	case 0:
		return of(&l.rows[0])
	case len(l.rows):
		return of(&l.rows[hi-1])
	}
	a, b := &l.rows[hi-1], &l.rows[hi]
	t := float64((at - a.Pulse) / (b.Pulse - a.Pulse))
	return (1-t)*of(a) + t*of(b)
}

// Ends returns the pulse, dead time not counted, from which on nothing is
// corrected.
func (l LowPulse) Ends() quantity.Time {
	if l.IsZero() {
		return 0
	}
	return l.rows[len(l.rows)-1].Pulse
}

// Covers reports whether a net time lies at or above the first row, below which the
// correction is that of the first. Without a correction every one is covered.
func (l LowPulse) Covers(net quantity.Time) bool {
	switch {
	case l.IsZero():
		return true
	case l.rows[0].Factor == 0:
		return net >= l.rows[0].Pulse
	}
	return net >= l.rows[0].net()
}

// IsZero reports whether there is no correction.
func (l LowPulse) IsZero() bool { return len(l.rows) == 0 }

// Rows returns a copy of the rows.
func (l LowPulse) Rows() []LowPulsePoint { return slices.Clone(l.rows) }
