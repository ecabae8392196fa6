package predict

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestWhitener holds W C Wᵀ = 1 and the determinant against a covariance written out, by
// independent arithmetic.
func TestWhitener(t *testing.T) {
	d := []float64{0.5, 1, 2, 0.1}
	a := []float64{1, 1, 1, 1}
	b := []float64{0.3, -0.2, 5, 0}
	none := make([]float64, 4)
	w := newWhitener(d, a, none, b)

	n := len(d)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := a[i]*a[j] + b[i]*b[j]
			if i == j {
				v += d[i]
			}
			c.SetSym(i, j, v)
		}
	}
	if got, want := 2*w.halfDet, math.Log(mat.Det(c)); math.Abs(got-want) > 1e-12 {
		t.Errorf("ln det: got %v, want %v", got, want)
	}
	for i := range n {
		// The i-th row of W C Wᵀ: W applied to C applied to the i-th column of Wᵀ.
		x := unit(n, i)
		w.applyT(x)
		var y mat.VecDense
		y.MulVec(c, mat.NewVecDense(n, x))
		got := y.RawVector().Data
		w.apply(got)
		for j, v := range got {
			if want := unit(n, i)[j]; math.Abs(v-want) > 1e-12 {
				t.Errorf("W C Wᵀ at %d, %d: got %v, want %v", i, j, v, want)
			}
		}
	}
}
