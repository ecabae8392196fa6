package sweep

import "math"

// Contour returns the lines along which the surface has the given height, by
// marching squares with linear interpolation along the sides of each cell; see
// [Grid.Contour] for lines of the model itself. A saddle is decided by the mean of
// its corners. Cells that touch a gap have no line. Lines are joined end to end, with
// the higher ground on their right; a closed one repeats its first point.
func (s Surface) Contour(height float64) [][]Point {
	m := newMesh(s, height, nil)
	var pieces []piece
	for c := range m.cells {
		list, _ := m.pieces(c)
		for _, p := range list {
			m.crossings[p.from], m.crossings[p.to] = m.crossing(p.from), m.crossing(p.to)
			pieces = append(pieces, p)
		}
	}
	return m.join(pieces)
}

// mesh is a surface cut into cells, and what is known of a line through them.
type mesh struct {
	s            Surface
	width, depth float64                    // of the whole surface
	height       float64                    // of the line
	f            func(x, y float64) float64 // the surface anywhere; nil where only its grid is known

	inner     map[node]float64 // heights at corners of parts of cells
	crossings map[side]crossing
}

func newMesh(s Surface, height float64, f func(x, y float64) float64) *mesh {
	return &mesh{
		s: s, width: span(s.X.Values), depth: span(s.Y.Values), height: height, f: f,
		inner: map[node]float64{}, crossings: map[side]crossing{},
	}
}

// span is the length of an axis.
func span(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	return values[len(values)-1] - values[0]
}

// node is a point of the lattice that divides every cell of the grid into fine by fine.
type node struct{ i, j int }

// fine is how often a cell's side can be halved, as a power of two.
const fine = 1 << 20

// cell is a cell of the grid, or a part of one.
type cell struct {
	node     // lower left
	size int // in steps of the lattice
}

// corners are counter-clockwise from the lower left.
func (c cell) corners() [4]node {
	return [4]node{c.node, {c.i + c.size, c.j}, {c.i + c.size, c.j + c.size}, {c.i, c.j + c.size}}
}

// cells yields the cells of the grid, row by row.
func (m *mesh) cells(yield func(cell) bool) {
	for j := range len(m.s.Y.Values) - 1 {
		for i := range len(m.s.X.Values) - 1 {
			if !yield(cell{node{i * fine, j * fine}, fine}) {
				return
			}
		}
	}
}

// over is the height of the surface over that of the line, NaN in a gap. Nodes off the
// grid are only known where cells have been split there.
func (m *mesh) over(n node) (z float64, known bool) {
	if n.i%fine == 0 && n.j%fine == 0 {
		return m.relative(m.s.At(n.i/fine, n.j/fine)), true
	}
	z, known = m.inner[n]
	return z, known
}

// relative is a height over that of the line, kept finite.
func (m *mesh) relative(z float64) float64 {
	const most = 1e300
	return max(-most, min(z-m.height, most))
}

// place is where a node lies, in the units of the axes.
func (m *mesh) place(n node) Point { return Point{along(m.s.X.Values, n.i), along(m.s.Y.Values, n.j)} }

func along(values []float64, i int) float64 {
	k, part := i/fine, i%fine
	if part == 0 {
		return values[k]
	}
	return values[k] + (values[k+1]-values[k])*(float64(part)/fine)
}

// side is what lies between two neighbouring corners, the left or lower one first.
type side struct{ a, b node }

func sideOf(a, b node) side {
	if a.i > b.i || a.j > b.j {
		a, b = b, a
	}
	return side{a, b}
}

// crossing is where a line crosses a side.
type crossing struct {
	at  Point
	gap bool // the side is interrupted between its ends: there is no crossing
}

// crossing finds where the height is reached on a side: linearly between its ends where
// only they are known.
func (m *mesh) crossing(s side) crossing {
	za, _ := m.over(s.a)
	zb, _ := m.over(s.b)
	a, b := m.place(s.a), m.place(s.b)
	if m.f != nil {
		return m.solve(a, za, b, zb)
	}
	return crossing{at: between(a, b, za/(za-zb))}
}

// between is the point at a share of the way from a to b.
func between(a, b Point, share float64) Point {
	if share == 1 {
		return b
	}
	return Point{a.X + share*(b.X-a.X), a.Y + share*(b.Y-a.Y)}
}

// outline is the corners around a cell, counter-clockwise, with those of smaller
// neighbours on its sides.
func (m *mesh) outline(c cell) []node {
	list := make([]node, 0, 8)
	corners := c.corners()
	for k, a := range corners {
		list = m.edge(list, a, corners[(k+1)%4])
	}
	return list
}

// edge appends a, and what lies between a and b.
func (m *mesh) edge(list []node, a, b node) []node {
	if len(m.inner) > 0 {
		middle := node{(a.i + b.i) / 2, (a.j + b.j) / 2}
		if _, known := m.inner[middle]; known && middle != a && middle != b {
			return m.edge(m.edge(list, a, middle), middle, b)
		}
	}
	return append(list, a)
}

// piece is the part of a line in one cell: from one side to another, the higher ground
// on its right.
type piece struct {
	from, to side
	within   []Point // between the two
}

// pieces are the lines through a cell, straight. A cell that touches a gap has none; it
// is broken if its corners lie on both sides of the height.
func (m *mesh) pieces(c cell) (list []piece, broken bool) {
	ring := m.outline(c)
	// Around the cell the ground rises over the height as often as it falls below it.
	var ups, downs []side
	upFirst, gap, high, low := false, false, false, false
	for k, a := range ring {
		b := ring[(k+1)%len(ring)]
		za, _ := m.over(a)
		zb, _ := m.over(b)
		gap, high, low = gap || math.IsNaN(za), high || za >= 0, low || za < 0
		switch {
		case math.IsNaN(za) || math.IsNaN(zb) || (za >= 0) == (zb >= 0):
		case zb >= 0:
			upFirst = upFirst || len(downs) == 0
			ups = append(ups, sideOf(a, b))
		default:
			downs = append(downs, sideOf(a, b))
		}
	}
	if gap || len(ups) == 0 {
		return nil, gap && high && low
	}
	// What is not on the middle's side of the height is cut off: a stretch of high
	// ground lies from an up to the next down, one of low ground from a down to the
	// next up.
	sum := 0.0
	for _, n := range c.corners() {
		z, _ := m.over(n)
		sum += z / 4
	}
	shift := 0
	switch middle := sum >= 0; {
	case middle && upFirst:
		shift = len(ups) - 1
	case !middle && !upFirst:
		shift = 1
	}
	list = make([]piece, len(ups))
	for k, up := range ups {
		list[k] = piece{from: up, to: downs[(k+shift)%len(downs)]}
	}
	return list, false
}

// join strings pieces together. Each side that a line crosses starts at most one piece
// and ends at most one.
func (m *mesh) join(pieces []piece) [][]Point {
	starts, ends := make(map[side]int, len(pieces)), make(map[side]int, len(pieces))
	for k, p := range pieces {
		starts[p.from], ends[p.to] = k, k
	}
	used := make([]bool, len(pieces))
	var lines [][]Point
	for k := range pieces {
		if used[k] {
			continue
		}
		first := k
		for {
			before, ok := ends[pieces[first].from]
			if !ok || before == k {
				break
			}
			first = before
		}
		line := []Point{m.crossings[pieces[first].from].at}
		for at, ok := first, true; ok && !used[at]; at, ok = starts[pieces[at].to] {
			used[at] = true
			line = append(line, pieces[at].within...)
			// A line through a corner crosses two sides in one point.
			if end := m.crossings[pieces[at].to].at; end != line[len(line)-1] {
				line = append(line, end)
			}
		}
		if len(line) > 1 {
			lines = append(lines, line)
		}
	}
	return lines
}
