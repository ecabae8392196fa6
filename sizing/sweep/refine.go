package sweep

import (
	"math"
	"slices"

	"example.com/railbook/sizing/internal/parallel"
)

// leaf is a cell with what is known of the surface around it: the greatest change from
// one corner to the next, and of that change, along either axis; infinite where unknown.
type leaf struct {
	cell
	rise, curve [2]float64
}

// scan picks the cells of the grid that a line may cross.
func (t *tracer) scan() ([]leaf, error) {
	rows := make([][]leaf, len(t.s.Y.Values)-1)
	err := parallel.Each(t.ctx, len(rows), func(j int) {
		for i := range len(t.s.X.Values) - 1 {
			l := leaf{cell: cell{node{i * fine, j * fine}, fine}}
			l.measure(t.around(i, j), 4, 1, 2)
			if t.crossed(l.cell) || t.unclear(l) {
				rows[j] = append(rows[j], l)
			}
		}
	})
	return slices.Concat(rows...), err
}

// heights are those at up to 4 by 4 points, in rows along X.
type heights [4][4]float64

// around is the heights at a cell of the grid and one point further to every side, NaN
// beyond the border.
func (t *tracer) around(i, j int) (z heights) {
	nx, ny := len(t.s.X.Values), len(t.s.Y.Values)
	for q := range z {
		for p := range z[q] {
			z[q][p] = math.NaN()
			if x, y := i+p-1, j+q-1; x >= 0 && y >= 0 && x < nx && y < ny {
				z[q][p] = t.s.Z.Values[y*nx+x]
			}
		}
	}
	return z
}

// measure finds rise and curve from n by n heights, those along an axis in the rows from
// first to last.
func (l *leaf) measure(z heights, n, first, last int) {
	for axis := range 2 {
		rise, curve := -1.0, -1.0
		for row := first; row <= last; row++ {
			before := math.NaN()
			for k := range n - 1 {
				d := z[row][k+1] - z[row][k]
				if axis == 1 {
					d = z[k+1][row] - z[k][row]
				}
				// Comparisons with a gap are false.
				if size := math.Abs(d); size > rise {
					rise = size
				}
				if change := math.Abs(d - before); change > curve {
					curve = change
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
	found := make([]float64, len(added))
	err := parallel.Each(t.ctx, len(added), func(k int) {
		p := t.place(added[k])
		found[k] = t.relative(t.f(p.X, p.Y))
	})
	if err != nil {
		return nil, err
	}
	for k, n := range added {
		t.inner[n] = found[k]
	}
	var parts []leaf
	for _, l := range list {
		half := l.size / 2
		var z heights
		for q := range 3 {
			for p := range 3 {
				z[q][p], _ = t.over(node{l.i + p*half, l.j + q*half})
			}
		}
		part := leaf{}
		part.measure(z, 3, 0, 2)
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
