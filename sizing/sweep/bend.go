package sweep

import (
	"math"

	"example.com/railbook/sizing/internal/parallel"
	"example.com/railbook/sizing/internal/root"
)

// bend is what a line does between two of its points.
type bend struct {
	points []Point
	state  bendState
}

type bendState uint8

const (
	followed    bendState = iota
	lost                  // the line goes too far from the straight way between its ends
	interrupted           // by a gap
)

// bendAll follows those pieces that have not been followed yet.
func (t *tracer) bendAll(found [][]piece) error {
	var todo [][2]side
	for _, list := range found {
		for _, p := range list {
			key := [2]side{p.from, p.to}
			if _, known := t.bends[key]; !known {
				t.bends[key] = bend{}
				todo = append(todo, key)
			}
		}
	}
	bends := make([]bend, len(todo))
	err := parallel.Each(t.ctx, len(todo), func(k int) {
		a, b := t.crossings[todo[k][0]], t.crossings[todo[k][1]]
		if a.gap || b.gap {
			bends[k].state = interrupted
			return
		}
		bends[k].points, bends[k].state = t.follow(a.at, b.at, 0, nil)
	})
	for k, key := range todo {
		t.bends[key] = bends[k]
	}
	return err
}

// solve finds where the height is reached between two points, which lie on both sides
// of it.
func (m *mesh) solve(a Point, za float64, b Point, zb float64) crossing {
	length := math.Hypot((b.X-a.X)/m.width, (b.Y-a.Y)/m.depth)
	gap := false
	share, err := root.Within(func(share float64) float64 {
		p := between(a, b, share)
		z := m.relative(m.f(p.X, p.Y))
		gap = gap || math.IsNaN(z)
		return z
	}, 0, za, 1, zb, min(accuracy/2/length, 0.1))
	return crossing{at: between(a, b, share), gap: gap || err != nil}
}

// mostCuts bounds how often the line between two sides of a cell is cut in two.
const mostCuts = 16

// follow appends the points that a line needs between two of its points to be straight
// from each to the next. The higher ground lies on the right.
func (t *tracer) follow(a, b Point, cuts int, list []Point) ([]Point, bendState) {
	// A line that swings to both sides may well be on the straight way in its middle.
	tries := []float64{0.4}
	if cuts == 0 {
		tries = []float64{1. / 3, 2. / 3}
	}
	for _, share := range tries {
		on, straight, state := t.beside(a, b, share)
		if state != followed {
			return list, state
		}
		if straight || cuts == mostCuts {
			continue
		}
		if list, state = t.follow(a, on, cuts+1, list); state != followed {
			return list, state
		}
		return t.follow(on, b, cuts+1, append(list, on))
	}
	return list, followed
}

// beside looks for the line beside a point at a share of the way from a to b, at right
// angles to it, with both axes taken as equally long. The line is straight where it
// is no further off than the resolution.
func (t *tracer) beside(a, b Point, share float64) (on Point, straight bool, state bendState) {
	dx, dy := (b.X-a.X)/t.width, (b.Y-a.Y)/t.depth
	length := math.Hypot(dx, dy)
	if length <= resolution {
		return on, true, followed
	}
	from := between(a, b, share)
	z := t.relative(t.f(from.X, from.Y))
	if math.IsNaN(z) {
		return on, false, interrupted
	}
	// On high ground the line lies to the left.
	right := Point{dy / length * t.width, -dx / length * t.depth}
	if z >= 0 {
		right = Point{-right.X, -right.Y}
	}
	most := min(length, t.reach(from, right))
	if most < resolution {
		// The line runs along the border of the grid, or beyond it.
		return on, true, followed
	}
	near, znear := 0.0, z
	for far := resolution; ; {
		p := Point{from.X + far*right.X, from.Y + far*right.Y}
		zfar := t.relative(t.f(p.X, p.Y))
		switch {
		case math.IsNaN(zfar):
			return on, false, interrupted
		case (zfar >= 0) != (z >= 0):
			if far <= resolution {
				return on, true, followed
			}
			c := t.solve(Point{from.X + near*right.X, from.Y + near*right.Y}, znear, p, zfar)
			if c.gap {
				return on, false, interrupted
			}
			return c.at, false, followed
		case far >= most:
			return on, false, lost
		}
		// Go on to a little beyond where a straight slope would have the line.
		next := 8 * far
		if reached := near + (far-near)*znear/(znear-zfar); reached > far {
			next = min(next, far+1.5*(reached-far))
		}
		near, znear, far = far, zfar, min(max(next, 1.5*far), most)
	}
}

// reach is how far one can go from a point in a direction without leaving the grid.
func (t *tracer) reach(from, direction Point) float64 {
	most := math.Inf(1)
	for _, a := range []struct {
		at, by float64
		values []float64
	}{{from.X, direction.X, t.s.X.Values}, {from.Y, direction.Y, t.s.Y.Values}} {
		switch {
		case a.by > 0:
			most = min(most, (a.values[len(a.values)-1]-a.at)/a.by)
		case a.by < 0:
			most = min(most, (a.values[0]-a.at)/a.by)
		}
	}
	return max(most, 0)
}
