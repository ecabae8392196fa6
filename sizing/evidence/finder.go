package evidence

// finder finds the pulls among samples that come in order of time, by [Rules].
type finder struct {
	*analyst
	take func(*builder) // gets every pull

	open    *builder
	pending []sample // since speed last rose, not yet known to belong to the pull
	high    float64  // speed, the middle of three samples
	highAt  float64  // time
	lostAt  float64  // time at which load was lost; below zero: it is not
	last    [3]float64
	seen    int // speeds in last
}

// mostPending is how many samples wait at most.
const mostPending = 1 << 14

// lostFor is how long load may be gone, in seconds: a cell that is off is no end.
const lostFor = 0.2

func (f *finder) add(s *sample) {
	if s.afresh {
		f.close()
	}
	t := s.reading[timeChannel]
	loaded, known := f.atLoad(s)
	unknown := s.missing.has(speedChannel) || !known
	loaded = loaded && !unknown
	if unknown && f.open == nil {
		return
	}
	speed := f.middle(s)
	if f.open != nil {
		switch {
		case t-f.highAt > float64(f.rules.Patience), speed < f.high-float64(f.rules.GreatestFall), len(f.pending) >= mostPending:
			f.close()
		case !loaded && !unknown:
			if f.lostAt < 0 {
				f.lostAt = t
			}
			if t-f.lostAt > lostFor {
				f.close()
			}
		case loaded:
			f.lostAt = -1
		}
	}
	switch {
	case f.open != nil:
		f.pending = append(f.pending, *s)
		if loaded && speed > f.high {
			f.high, f.highAt = speed, t
			f.commit()
		}
	case loaded:
		f.open = newBuilder(s, float64(f.rules.Window))
		f.high, f.highAt, f.lostAt = speed, t, -1
		f.pending = append(f.pending[:0], *s)
		f.commit()
	}
}

// middle is the middle of the last three speeds, so that one which is off does no harm.
func (f *finder) middle(s *sample) float64 {
	if !s.missing.has(speedChannel) {
		f.last[f.seen%3] = s.reading[speedChannel]
		f.seen++
	}
	if f.seen < 3 {
		return f.last[max(0, f.seen-1)]
	}
	a, b, c := f.last[0], f.last[1], f.last[2]
	return max(min(a, b), min(max(a, b), c))
}

func (f *finder) commit() {
	for i := range f.pending {
		f.open.add(&f.pending[i])
	}
	f.pending = f.pending[:0]
}

// close ends the pull, if there is one, and hands it on if it is one.
func (f *finder) close() {
	b := f.open
	f.open, f.pending, f.seen = nil, f.pending[:0], 0
	if b != nil && b.end-b.start >= float64(f.rules.LeastTime) && f.high-b.firstSpeed >= float64(f.rules.LeastRise) {
		f.take(b)
	}
}
