package predict

import "math"

// whitener takes the correlation out of values with the covariance
//
//	C = diag(d) + a aᵀ + b bᵀ + …
//
// Its matrix W has W C Wᵀ = 1. Each of the shared vectors costs one pass: I + aaᵀ has the
// inverse square root I - γaaᵀ with γ = (1 - 1/sqrt(1+|a|²))/|a|².
type whitener struct {
	scale   []float64
	along   [][]float64
	gamma   []float64
	halfDet float64 // ln of the root of det C
}

// newWhitener makes the whitener of diag(d) plus the outer products of the shared
// vectors. The elements of d are above zero.
func newWhitener(d []float64, shared ...[]float64) *whitener {
	w := &whitener{scale: make([]float64, len(d))}
	for i, v := range d {
		w.scale[i] = 1 / math.Sqrt(v)
		w.halfDet += math.Log(v) / 2
	}
	for _, a := range shared {
		a = append([]float64(nil), a...)
		w.apply(a)
		norm := dot(a, a)
		if norm == 0 {
			continue
		}
		w.along = append(w.along, a)
		w.gamma = append(w.gamma, (1-1/math.Sqrt(1+norm))/norm)
		w.halfDet += math.Log1p(norm) / 2
	}
	return w
}

// apply turns x into Wx.
func (w *whitener) apply(x []float64) {
	for i, s := range w.scale {
		x[i] *= s
	}
	for k, a := range w.along {
		take(x, a, w.gamma[k])
	}
}

// applyT turns x into Wᵀx.
func (w *whitener) applyT(x []float64) {
	for k := len(w.along) - 1; k >= 0; k-- {
		take(x, w.along[k], w.gamma[k])
	}
	for i, s := range w.scale {
		x[i] *= s
	}
}

// take turns x into (I - γaaᵀ)x.
func take(x, a []float64, gamma float64) {
	f := gamma * dot(a, x)
	for i := range x {
		x[i] -= f * a[i]
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
