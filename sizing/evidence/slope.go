package evidence

// slope follows how fast a quantity changes, by the least squares line through what it
// was over the last while.
type slope struct {
	span   float64 // of time
	points [slopePoints]struct{ t, x float64 }
	first  int
	n      int
	since  int // pushes since the sums were made anew

	t0               float64 // that times are counted from, to keep digits
	st, sx, stt, stx float64
}

// slopePoints is how many points are kept at most: more within the span are thinned.
const slopePoints = 256

// reset forgets everything.
func (s *slope) reset() { *s = slope{span: s.span} }

// push takes the next value in time.
func (s *slope) push(t, x float64) {
	if s.n > 0 {
		if t-s.at(s.n-1).t < s.span/(slopePoints-2) {
			return
		}
		for s.n > 0 && t-s.at(0).t > s.span {
			s.take(s.at(0).t, s.at(0).x, -1)
			s.first = (s.first + 1) % slopePoints
			s.n--
		}
	}
	if s.n == 0 || s.since >= slopePoints {
		// Sums that had much added and taken away lose digits.
		s.t0, s.since = t, 0
		s.st, s.sx, s.stt, s.stx = 0, 0, 0, 0
		for i := range s.n {
			s.take(s.at(i).t, s.at(i).x, 1)
		}
	}
	s.points[(s.first+s.n)%slopePoints] = struct{ t, x float64 }{t, x}
	s.n++
	s.since++
	s.take(t, x, 1)
}

func (s *slope) at(i int) struct{ t, x float64 } { return s.points[(s.first+i)%slopePoints] }

func (s *slope) take(t, x, sign float64) {
	t -= s.t0
	s.st += sign * t
	s.sx += sign * x
	s.stt += sign * t * t
	s.stx += sign * t * x
}

// rate returns the change in a second over the mean, zero where the past is too short
// to tell or the mean is not positive.
func (s *slope) rate() float64 {
	if s.n < 3 || s.at(s.n-1).t-s.at(0).t < s.span/2 || s.sx <= 0 {
		return 0
	}
	n := float64(s.n)
	d := n*s.stt - s.st*s.st
	if d <= 0 {
		return 0
	}
	return (n*s.stx - s.st*s.sx) / d / (s.sx / n)
}
