package predict

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// system is a least-squares problem |Ab - y|² brought to as many rows as there are
// unknowns by Householder's QR, which squares no condition number:
// |Ab - y|² = |Rb - q|² + rest. R is upper triangular.
type system struct {
	n    int
	rq   blas64.General // R, with q as a further column; below the diagonal is anything
	rest float64
}

// newMatrix returns a matrix of zeros.
func newMatrix(rows, cols int) blas64.General {
	return blas64.General{Rows: rows, Cols: cols, Stride: cols, Data: make([]float64, rows*cols)}
}

// reduce brings a problem, with y as the last column behind those of A, to its system. It
// works in place. There are at least as many rows as columns.
func reduce(ay blas64.General) *system {
	n := ay.Cols - 1
	tau, work := make([]float64, ay.Cols), make([]float64, 32*ay.Cols)
	lapack64.Geqrf(ay, tau, work, len(work))
	s := &system{n: n, rq: ay}
	s.rest = square(s.at(n, n))
	return s
}

func (s *system) at(i, j int) float64 { return s.rq.Data[i*s.rq.Stride+j] }

// solution is the solution of a system.
type solution struct {
	coef    []float64
	root    [][]float64 // upper triangular; root·rootᵀ is the inverse of AᵀA
	rss     float64     // sum of squares of what the solution leaves over
	halfDet float64     // ln of the root of det(AᵀA)
}

var errDependent = errors.New("the columns of the regression are as good as dependent")

// dependent is the sine of the angle between a column and those before it below which
// rounding has eaten what the data tell.
const dependent = 1e-12

// solve solves the system.
func (s *system) solve() (*solution, error) {
	n := s.n
	cells := make([]float64, n*(n+1))
	out := &solution{coef: cells[:n], root: make([][]float64, n), rss: s.rest}
	for j := range n {
		out.root[j] = cells[n*(j+1) : n*(j+2)]
		norm := 0.0
		for i := range j + 1 {
			norm += square(s.at(i, j))
		}
		d := math.Abs(s.at(j, j))
		if !(d > dependent*math.Sqrt(norm)) {
			return nil, errDependent
		}
		out.halfDet += math.Log(d)
	}
	for i := n - 1; i >= 0; i-- {
		d, v := s.at(i, i), s.at(i, n)
		for j := i + 1; j < n; j++ {
			v -= s.at(i, j) * out.coef[j]
		}
		out.coef[i] = v / d
		// A row of the inverse, from those below it.
		out.root[i][i] = 1 / d
		for j := i + 1; j < n; j++ {
			v := 0.0
			for k := i + 1; k <= j; k++ {
				v -= s.at(i, k) * out.root[k][j]
			}
			out.root[i][j] = v / d
		}
	}
	return out, nil
}

// variance returns the i-th element on the diagonal of the inverse of AᵀA.
func (s *solution) variance(i int) float64 { return dot(s.root[i], s.root[i]) }

// form returns cᵀ(AᵀA)⁻¹c.
func (s *solution) form(c []float64) float64 {
	v := s.rootT(c)
	return dot(v, v)
}

// inverseTimes returns (AᵀA)⁻¹c.
func (s *solution) inverseTimes(c []float64) []float64 {
	v := s.rootT(c)
	w := make([]float64, len(c))
	for i, row := range s.root {
		w[i] = dot(row, v)
	}
	return w
}

// rootT returns rootᵀc.
func (s *solution) rootT(c []float64) []float64 {
	v := make([]float64, len(c))
	for i, row := range s.root {
		for j, x := range row {
			v[j] += x * c[i]
		}
	}
	return v
}

func unit(n, i int) []float64 {
	c := make([]float64, n)
	c[i] = 1
	return c
}
