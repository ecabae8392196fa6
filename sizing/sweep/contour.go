package sweep

import "math"

// Contour returns the lines along which the surface has the given height, by
// marching squares with linear interpolation along the sides of each cell. A
// saddle is decided by the mean of its corners. Cells that touch a gap have no
// line. Lines are joined end to end; a closed one repeats its first point.
func (s Surface) Contour(height float64) [][]Point {
	var c contour
	c.s, c.height = s, height
	nx, ny := len(s.X.Values), len(s.Y.Values)
	for j := range ny - 1 {
		for i := range nx - 1 {
			c.cell(i, j)
		}
	}
	return c.join()
}

// side names a side between two neighbouring grid points: from (i, j) along x,
// or along y.
type side struct {
	i, j   int
	alongY bool
}

type contour struct {
	s        Surface
	height   float64
	segments [][2]side
}

// cell adds the segments that cross the cell whose lower corner is (i, j).
func (c *contour) cell(i, j int) {
	// Corners counter-clockwise from the lower left; sides between them.
	z := [4]float64{c.s.At(i, j), c.s.At(i+1, j), c.s.At(i+1, j+1), c.s.At(i, j+1)}
	sides := [4]side{{i, j, false}, {i + 1, j, true}, {i, j + 1, false}, {i, j, true}}
	var crossed []side
	sum := 0.0
	for k := range 4 {
		if math.IsNaN(z[k]) {
			return
		}
		sum += z[k]
		if (z[k] >= c.height) != (z[(k+1)%4] >= c.height) {
			crossed = append(crossed, sides[k])
		}
	}
	switch len(crossed) {
	case 2:
		c.segments = append(c.segments, [2]side{crossed[0], crossed[1]})
	case 4:
		// A saddle: the two corners on the middle's side of the height are one
		// region, the others are cut off.
		if (sum/4 >= c.height) == (z[0] >= c.height) {
			c.segments = append(c.segments, [2]side{crossed[0], crossed[1]}, [2]side{crossed[2], crossed[3]})
		} else {
			c.segments = append(c.segments, [2]side{crossed[3], crossed[0]}, [2]side{crossed[1], crossed[2]})
		}
	}
}

// at is the point on a side where the surface has the height.
func (c *contour) at(e side) Point {
	i, j := e.i, e.j
	if e.alongY {
		t := c.share(c.s.At(i, j), c.s.At(i, j+1))
		y := c.s.Y.Values
		return Point{c.s.X.Values[i], y[j] + t*(y[j+1]-y[j])}
	}
	t := c.share(c.s.At(i, j), c.s.At(i+1, j))
	x := c.s.X.Values
	return Point{x[i] + t*(x[i+1]-x[i]), c.s.Y.Values[j]}
}

func (c *contour) share(a, b float64) float64 { return (c.height - a) / (b - a) }

// join strings the segments together: each side is shared by two cells at most,
// so every end has one continuation or none.
func (c *contour) join() [][]Point {
	touching := map[side][]int{}
	for k, seg := range c.segments {
		touching[seg[0]] = append(touching[seg[0]], k)
		touching[seg[1]] = append(touching[seg[1]], k)
	}
	used := make([]bool, len(c.segments))
	follow := func(from side) []side {
		var path []side
		for {
			k := -1
			for _, t := range touching[from] {
				if !used[t] {
					k = t
				}
			}
			if k < 0 {
				return path
			}
			used[k] = true
			if from == c.segments[k][0] {
				from = c.segments[k][1]
			} else {
				from = c.segments[k][0]
			}
			path = append(path, from)
		}
	}
	var lines [][]Point
	for k, seg := range c.segments {
		if used[k] {
			continue
		}
		used[k] = true
		ahead, behind := follow(seg[1]), follow(seg[0])
		var line []Point
		for i := len(behind) - 1; i >= 0; i-- {
			line = append(line, c.at(behind[i]))
		}
		line = append(line, c.at(seg[0]), c.at(seg[1]))
		for _, e := range ahead {
			line = append(line, c.at(e))
		}
		lines = append(lines, line)
	}
	return lines
}
