package live

import "math"

// ticks returns round ends and a round step for an axis that holds the values
// from low to high with about n steps. The ends lie on multiples of the step,
// as little as possible outside low and high. Equal values get an axis around
// them.
func ticks(low, high float64, n int) (from, to, step float64) {
	if low == high {
		spread := math.Abs(low) / 10
		if spread == 0 {
			spread = 1
		}
		low, high = low-spread, high+spread
	}
	best := math.Inf(1)
	for s := roundStep((high - low) / float64(2*n)); s <= 2*(high-low)/float64(n); s = roundStep(s * 1.01) {
		f, t := math.Floor(low/s+1e-9)*s, math.Ceil(high/s-1e-9)*s
		waste := (t - f) / (high - low)
		count := (t - f) / s
		if cost := waste + 0.3*math.Abs(math.Log2(count/float64(n))); cost < best {
			best, from, to, step = cost, significant(f, 12), significant(t, 12), s
		}
	}
	return from, to, step
}

// roundStep returns the least of 1, 2, 2.5, 5 and 10 times a power of ten that
// is not below v, which is above zero.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if v <= m*power*(1+1e-9) {
			return rounded(m * power)
		}
	}
	return rounded(10 * power)
}

// levels returns the round heights between low and high at which contour lines
// are drawn.
func levels(low, high float64) []float64 {
	if !(high > low) {
		return nil
	}
	var list []float64
	step := roundStep((high - low) / 9)
	for i := math.Ceil(low/step + 1e-6); i*step < high-1e-6*step; i++ {
		list = append(list, rounded(i*step))
	}
	return list
}
