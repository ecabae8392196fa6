package sweep

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
)

// Surface is one result over two axes, ready to be drawn: Z holds len(X)·len(Y)
// numbers, X running fastest, NaN for a gap.
type Surface struct {
	Title string `json:"title"`
	X     Scale  `json:"x"`
	Y     Scale  `json:"y"`
	Z     Scale  `json:"z"` // Values in rows of constant Y
	Limit *Limit `json:"limit,omitempty"`
}

// Scale is a named, counted direction of a surface.
type Scale struct {
	Name   string  `json:"name"`
	Unit   string  `json:"unit"`
	Values Numbers `json:"values"`
}

// Numbers are plain numbers of which NaN, a gap, is null in JSON.
type Numbers []float64

// MarshalJSON writes the numbers as an array, every digit kept.
func (n Numbers) MarshalJSON() ([]byte, error) {
	list := make([]*float64, len(n))
	for i := range n {
		if !math.IsNaN(n[i]) {
			list[i] = &n[i]
		}
	}
	return json.Marshal(list)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (n *Numbers) UnmarshalJSON(data []byte) error {
	var list []*float64
	if err := json.Unmarshal(data, &list); err != nil {
		return err
	}
	*n = make(Numbers, len(list))
	for i, v := range list {
		if (*n)[i] = math.NaN(); v != nil {
			(*n)[i] = *v
		}
	}
	return nil
}

// Title is the name with its unit.
func (s Scale) Title() string {
	if s.Unit == "" {
		return s.Name
	}
	return s.Name + " in " + s.Unit
}

// Limit is a line on a surface along which it has a value that matters.
type Limit struct {
	Value float64   `json:"value"`
	Label string    `json:"label"`
	Lines [][]Point `json:"lines"` // in the units of the axes
}

// Point is a point of a line on a surface.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// At returns the height at the i-th value of X and the j-th of Y.
func (s Surface) At(i, j int) float64 { return s.Z.Values[j*len(s.X.Values)+i] }

// Surface returns a result over the grid's first two axes, the first along X, with its
// limit line, which is one of the model; see [Grid.Contour]. Further axes are held at
// the values whose indices are given, at their first value where none is. It panics on
// a grid of one axis or an index that an axis does not have.
func (g *Grid) Surface(r Result, held ...int) Surface {
	s := g.plane(r, held)
	if v, label, ok := r.Limit(g.Build); ok {
		// The error is that of the context, which is never done.
		lines, _ := trace(context.Background(), s, v, g.model(r, held))
		s.Limit = &Limit{Value: v, Label: label, Lines: lines}
	}
	return s
}

// plane is a surface without its limit line.
func (g *Grid) plane(r Result, held []int) Surface {
	if len(g.Axes) < 2 || len(held) > len(g.Axes)-2 {
		panic("sweep: a surface needs two axes and at most one index for each further one")
	}
	ax, ay := g.Axes[0], g.Axes[1]
	s := Surface{
		Title: r.Name,
		X:     Scale{Name: ax.Field, Unit: ax.Unit, Values: ax.Values},
		Y:     Scale{Name: ay.Field, Unit: ay.Unit, Values: ay.Values},
		Z:     Scale{Name: r.Name, Unit: r.Unit(g.Build.Job.Units)},
	}
	rest, stride := 0, 1
	for k := len(g.Axes) - 1; k >= 2; k-- {
		j := 0
		if k-2 < len(held) {
			j = held[k-2]
		}
		if j < 0 || j >= len(g.Axes[k].Values) {
			panic("sweep: index outside an axis")
		}
		rest += j * stride
		stride *= len(g.Axes[k].Values)
	}
	for k := 2; k < len(g.Axes); k++ {
		j := 0
		if k-2 < len(held) {
			j = held[k-2]
		}
		a := g.Axes[k]
		s.Title += fmt.Sprintf(", %s %.4g %s", a.Field, a.Values[j], a.Unit)
	}
	column := g.Column(r)
	s.Z.Values = make(Numbers, 0, len(ax.Values)*len(ay.Values))
	for j := range ay.Values {
		for i := range ax.Values {
			s.Z.Values = append(s.Z.Values, column[(i*len(ay.Values)+j)*stride+rest])
		}
	}
	return s
}

// Range returns the least and the greatest height, gaps left out.
func (s Surface) Range() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, z := range s.Z.Values {
		if !math.IsNaN(z) {
			low, high = min(low, z), max(high, z)
		}
	}
	return low, high
}
