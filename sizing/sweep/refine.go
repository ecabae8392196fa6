package sweep

import "math"

// leaf is a cell with what is known of the surface around it: the greatest change from
// one corner to the next, and of that change, along either axis; infinite where unknown.
type leaf struct {
	cell
	rise, curve [2]float64
}

// scan picks the cells of the grid that a line may cross.
func (t *tracer) scan() []leaf {
	var list []leaf
	var z [4][4]float64
	for c := range t.cells {
		for q := range z {
			for p := range z[q] {
				z[q][p] = math.NaN()
				i, j := c.i/fine+p-1, c.j/fine+q-1
				if i >= 0 && j >= 0 && i < len(t.s.X.Values) && j < len(t.s.Y.Values) {
					z[q][p] = t.s.At(i, j)
				}
			}
		}
		l := leaf{cell: c}
		l.measure(func(p, q int) float64 { return z[q][p] }, 4, 1, 2)
		if t.crossed(c) || t.unclear(l) {
			list = append(list, l)
		}
	}
	return list
}

// measure finds rise and curve from n by n heights around a cell, those along an axis
// in the rows from first to last.
func (l *leaf) measure(z func(p, q int) float64, n, first, last int) {
	for axis := range 2 {
		rise, curve := -1.0, -1.0
		for row := first; row <= last; row++ {
			before := math.NaN()
			for k := range n - 1 {
				a, b := z(k, row), z(k+1, row)
				if axis == 1 {
					a, b = z(row, k), z(row, k+1)
				}
				d := b - a
				// Comparisons with a gap are false.
				if math.Abs(d) > rise {
					rise = math.Abs(d)
				}
				if math.Abs(d-before) > curve {
					curve = math.Abs(d - before)
				}
				before = d
			}
		}
		if rise < 0 {
			rise = math.Inf(1)
		}
		if curve < 0 {
			curve = rise
		}
		l.rise[axis], l.curve[axis] = rise, curve
	}
}

// crossed reports whether the corners of a cell lie on both sides of the height.
func (t *tracer) crossed(c cell) bool {
	high, low := false, false
	for _, n := range c.corners() {
		z, _ := t.over(n)
		high, low = high || z >= 0, low || z < 0
	}
	return high && low
}

// unclear reports whether a cell has to be divided to see where lines run: its corners
// do not tell, or some of them are gaps and a line may end there.
//
// Between corners that are all on one side of the height, a smooth surface comes closer
// to it than the closest of them by an eighth of its second differences at most, and
// one with an edge by half of them. How far that moves a line depends on the slope.
func (t *tracer) unclear(l leaf) bool {
	var z [4]float64
	gaps, least := 0, math.Inf(1)
	for k, n := range l.corners() {
		if z[k], _ = t.over(n); math.IsNaN(z[k]) {
			gaps++
		} else {
			least = min(least, math.Abs(z[k]))
		}
	}
	crossed := t.crossed(l.cell)
	switch {
	case gaps == 4:
		return false
	case gaps > 0:
		return crossed || least < l.rise[0]+l.rise[1]
	case (l.curve[0]+l.curve[1])/8*t.extent(l.cell) < resolution*max(l.rise[0], l.rise[1]):
		return false
	case !crossed:
		return least < (l.curve[0]+l.curve[1])/2
	}
	for k := range z {
		a, b := z[k], z[(k+1)%4]
		if (a >= 0) == (b >= 0) && min(math.Abs(a), math.Abs(b)) < l.curve[k%2]/2 {
			return true
		}
	}
	return false
}

// extent is the greater side of a cell, as a share of an axis.
func (t *tracer) extent(c cell) float64 {
	corners := c.corners()
	a, b := t.place(corners[0]), t.place(corners[2])
	return max((b.X-a.X)/t.width, (b.Y-a.Y)/t.depth)
}

// tiny reports whether a cell needs no dividing, whatever there is in it.
func (t *tracer) tiny(c cell) bool { return c.size == 1 || t.extent(c) <= resolution }

// mostAdded is how many corners dividing a cell may add.
const mostAdded = 5

// divide cuts cells in four.
func (t *tracer) divide(list []leaf) ([]leaf, error) {
	var added []node
	for _, l := range list {
		half := l.size / 2
		for _, n := range [mostAdded]node{{l.i + half, l.j}, {l.i, l.j + half}, {l.i + half, l.j + half}, {l.i + l.size, l.j + half}, {l.i + half, l.j + l.size}} {
			if _, known := t.inner[n]; !known {
				t.inner[n] = math.NaN()
				added = append(added, n)
			}
		}
	}
	t.room -= len(added)
	heights := make([]float64, len(added))
	err := each(t.ctx, len(added), func(k int) {
		p := t.place(added[k])
		heights[k] = t.relative(t.f(p.X, p.Y))
	})
	if err != nil {
		return nil, err
	}
	for k, n := range added {
		t.inner[n] = heights[k]
	}
	var parts []leaf
	for _, l := range list {
		half := l.size / 2
		part := leaf{}
		part.measure(func(p, q int) float64 {
			z, _ := t.over(node{l.i + p*half, l.j + q*half})
			return z
		}, 3, 0, 2)
		for _, n := range []node{{l.i, l.j}, {l.i + half, l.j}, {l.i, l.j + half}, {l.i + half, l.j + half}} {
			part.cell = cell{n, half}
			parts = append(parts, part)
		}
		delete(t.leaves, l.cell)
		if l.size == fine {
			t.divided[l.cell] = true
			t.disturb(l.cell)
		}
	}
	return parts, nil
}

// disturb sees to it that the neighbours of a divided cell of the grid are looked at:
// they have new corners on their sides.
func (t *tracer) disturb(c cell) {
	for _, n := range []node{{c.i - fine, c.j}, {c.i + fine, c.j}, {c.i, c.j - fine}, {c.i, c.j + fine}} {
		near := cell{n, fine}
		inside := n.i >= 0 && n.j >= 0 && n.i/fine < len(t.s.X.Values)-1 && n.j/fine < len(t.s.Y.Values)-1
		if _, known := t.leaves[near]; inside && !known && !t.divided[near] {
			t.leaves[near] = leaf{cell: near}
		}
	}
}
