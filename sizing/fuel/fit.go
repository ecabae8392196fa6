package fuel

import (
	"errors"
	"math"
)

// point is one tabulated value y at the abscissa x.
type point struct{ x, y float64 }

// parabola is c[0] + c[1] u + c[2] u² with u = x - x0.
type parabola struct {
	x0 float64
	c  [3]float64
}

// at returns the value at x.
func (p *parabola) at(x float64) float64 {
	u := x - p.x0
	return p.c[0] + u*(p.c[1]+u*p.c[2])
}

// fit returns the least-squares parabola about x0 through the points, or a
// straight line where there are only two.
func fit(x0 float64, points []point) (parabola, error) {
	order := min(len(points), 3)
	if order < 2 {
		return parabola{}, errors.New("at least two temperatures are needed")
	}
	// The abscissa is scaled so that the normal equations are well conditioned.
	var scale float64
	for _, p := range points {
		scale = max(scale, math.Abs(p.x-x0))
	}
	if scale == 0 {
		return parabola{}, errors.New("the temperatures are all the same")
	}
	var a [3][4]float64
	for _, p := range points {
		u := (p.x - x0) / scale
		basis := [3]float64{1, u, u * u}
		for i := range order {
			for j := range order {
				a[i][j] += basis[i] * basis[j]
			}
			a[i][3] += basis[i] * p.y
		}
	}
	for i := range order { // Gauss-Jordan elimination with pivoting
		pivot := i
		for k := i + 1; k < order; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[pivot][i]) {
				pivot = k
			}
		}
		a[i], a[pivot] = a[pivot], a[i]
		if math.Abs(a[i][i]) < 1e-12*float64(len(points)) {
			return parabola{}, errors.New("the temperatures do not differ enough")
		}
		for k := range order {
			if k == i {
				continue
			}
			f := a[k][i] / a[i][i]
			for j := i; j < 4; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	p := parabola{x0: x0}
	unit := 1.0
	for i := range order {
		p.c[i] = a[i][3] / a[i][i] / unit
		unit *= scale
	}
	return p, nil
}
