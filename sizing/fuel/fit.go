package fuel

import (
	"errors"
	"math"
)

// point is one tabulated value y at the abscissa x.
type point struct{ x, y float64 }

// order is the number of coefficients of a polynomial.
const order = 4

// polynomial is the sum of c[i] u^i with u = x - x0.
type polynomial struct {
	x0 float64
	c  [order]float64
}

// at returns the value at x.
func (p *polynomial) at(x float64) float64 {
	u := x - p.x0
	return p.c[0] + u*(p.c[1]+u*(p.c[2]+u*p.c[3]))
}

// fit returns the least-squares polynomial about x0 through the points, of the
// given degree or of one less than there are points.
func fit(x0 float64, points []point, degree int) (polynomial, error) {
	n := min(len(points), degree+1, order)
	if n < 2 {
		return polynomial{}, errors.New("at least two temperatures are needed")
	}
	// The abscissa is scaled so that the normal equations are well conditioned.
	var scale float64
	for _, p := range points {
		scale = max(scale, math.Abs(p.x-x0))
	}
	if scale == 0 {
		return polynomial{}, errors.New("the temperatures are all the same")
	}
	var a [order][order + 1]float64
	for _, p := range points {
		u := (p.x - x0) / scale
		basis := [order]float64{1, u, u * u, u * u * u}
		for i := range n {
			for j := range n {
				a[i][j] += basis[i] * basis[j]
			}
			a[i][order] += basis[i] * p.y
		}
	}
	for i := range n { // Gauss-Jordan elimination with pivoting
		pivot := i
		for k := i + 1; k < n; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[pivot][i]) {
				pivot = k
			}
		}
		a[i], a[pivot] = a[pivot], a[i]
		if math.Abs(a[i][i]) < 1e-12*float64(len(points)) {
			return polynomial{}, errors.New("the temperatures do not differ enough")
		}
		for k := range n {
			if k == i {
				continue
			}
			f := a[k][i] / a[i][i]
			for j := i; j <= order; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	p := polynomial{x0: x0}
	unit := 1.0
	for i := range n {
		p.c[i] = a[i][order] / a[i][i] / unit
		unit *= scale
	}
	return p, nil
}
