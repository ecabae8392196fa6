package evidence

// mostPoints is how many points of a pull are kept: beyond it, neighbours are averaged
// in pairs, so that memory does not grow with the rate of a log.
const mostPoints = 1 << 14

// point is one sample, or the mean of some in a row.
type point struct{ speed, fuel, power float64 }

// series is the samples of a pull that count, in order of time.
type series struct {
	points []point
	stride int // samples in a point
	held   point
	n      int // samples in held
}

func (s *series) add(p point) {
	s.held.speed += p.speed
	s.held.fuel += p.fuel
	s.held.power += p.power
	if s.n++; s.n < max(1, s.stride) {
		return
	}
	k := 1 / float64(s.n)
	s.points = append(s.points, point{k * s.held.speed, k * s.held.fuel, k * s.held.power})
	s.held, s.n = point{}, 0
	if len(s.points) < mostPoints {
		return
	}
	for i := range len(s.points) / 2 {
		a, b := s.points[2*i], s.points[2*i+1]
		s.points[i] = point{(a.speed + b.speed) / 2, (a.fuel + b.fuel) / 2, (a.power + b.power) / 2}
	}
	s.points = s.points[:len(s.points)/2]
	s.stride = 2 * max(1, s.stride)
}
