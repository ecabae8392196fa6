package sweep_test

import (
	"math"
	"testing"

	"example.com/railbook/sizing/sweep"
)

// grid is a function on n by n points of the square from -2 to 2.
func grid(f func(x, y float64) float64, n int) sweep.Surface {
	var s sweep.Surface
	for i := range n {
		v := -2 + 4*float64(i)/float64(n-1)
		s.X.Values, s.Y.Values = append(s.X.Values, v), append(s.Y.Values, v)
	}
	for _, y := range s.Y.Values {
		for _, x := range s.X.Values {
			s.Z.Values = append(s.Z.Values, f(x, y))
		}
	}
	return s
}

func TestContour(t *testing.T) {
	circle := grid(func(x, y float64) float64 { return math.Hypot(x, y) }, 81).Contour(1)
	if len(circle) != 1 {
		t.Fatalf("a circle came in %d pieces", len(circle))
	}
	line := circle[0]
	if line[0] != line[len(line)-1] {
		t.Error("a circle is not closed")
	}
	length := 0.0
	for i := range line[1:] {
		length += math.Hypot(line[i+1].X-line[i].X, line[i+1].Y-line[i].Y)
		if r := math.Hypot(line[i].X, line[i].Y); math.Abs(r-1) > 1e-3 {
			t.Errorf("radius %v", r)
		}
	}
	if math.Abs(length-2*math.Pi) > 0.01 {
		t.Errorf("circumference %v, want 2 pi", length)
	}
	// A plane is followed exactly.
	for _, p := range grid(func(x, y float64) float64 { return x + 2*y }, 7).Contour(0.3)[0] {
		if math.Abs(p.X+2*p.Y-0.3) > 1e-12 {
			t.Errorf("off the plane at %v", p)
		}
	}
	// One cell of a saddle, high corners on one diagonal or the other: the mean of the
	// corners, 0.25, decides whether the high ones are joined across it.
	for _, corners := range [][]float64{{0.5, 0, 0, 0.5}, {0, 0.5, 0.5, 0}} {
		cell := sweep.Surface{X: sweep.Scale{Values: []float64{0, 1}}, Y: sweep.Scale{Values: []float64{0, 1}}, Z: sweep.Scale{Values: corners}}
		for height, joined := range map[float64]bool{0.2: true, 0.3: false} {
			lines := cell.Contour(height)
			if len(lines) != 2 {
				t.Fatalf("height %v: %d lines across a saddle, want 2", height, len(lines))
			}
			for _, line := range lines {
				// A line cuts off the corner nearest to its middle.
				x, y := (line[0].X+line[1].X)/2, (line[0].Y+line[1].Y)/2
				highCorner := (x < 0.5) == (y < 0.5) == (corners[0] > 0)
				if highCorner == joined {
					t.Errorf("corners %v, height %v: the line at (%.2f, %.2f) cuts off the wrong corner", corners, height, x, y)
				}
				// The higher ground is on the right.
				right := (line[1].X-line[0].X)*(0.5-line[0].Y)-(line[1].Y-line[0].Y)*(0.5-line[0].X) < 0
				if right != joined {
					t.Errorf("corners %v, height %v: the line at (%.2f, %.2f) has the lower ground on its right", corners, height, x, y)
				}
			}
		}
	}
	if lines := grid(func(x, y float64) float64 { return 0 }, 5).Contour(1); len(lines) != 0 {
		t.Errorf("%d lines on a flat surface", len(lines))
	}
	holed := grid(func(x, y float64) float64 {
		if x > 0.5 {
			return math.NaN()
		}
		return y
	}, 9).Contour(0.1)
	for _, p := range holed[0] {
		if p.X > 0.5 {
			t.Errorf("a line runs into a gap at %v", p)
		}
	}
}
