package evidence

import "math"

// scatter is what the samples of a pull say of the uncertainty of their mean by
// themselves: type A (GUM 4.2).
//
// Consumption moves along a pull, which is no scatter: a parabola over speed is taken
// out first. What is left is correlated in time, by filters and by combustion, so that n
// samples count for fewer. The GUM warns of that (4.2.7) and leaves it open; here the
// variance of the mean is
//
//	u² = s²/n_eff,  n_eff = n/τ,  τ = 1 + 2 Σ ρ(k)
//
// with the sum over pairs of neighbouring autocorrelations for as long as they are
// positive (C. J. Geyer, Practical Markov Chain Monte Carlo, Statistical Science 7,
// 1992, the initial positive sequence; from memory), and s² unbiased for n_eff (A. Zięba,
// Metrology and Measurement Systems 17, 2010, from memory).
//
// Taking out a trend of m coefficients takes a share q = m/n_eff of the variance with it,
// and as much off every autocovariance; both are put back.
type scatter struct {
	s   float64 // standard deviation of a sample
	tau float64 // samples that count for one, at least 1
	n   float64 // samples
	fit int     // coefficients of the trend
}

// scatterOf finds the scatter of residuals around a trend over x. Both are in order of
// time and of the same length; stride is how many samples are in each.
func scatterOf(x, y []float64, stride int) scatter {
	n := len(y)
	degree := 2
	if n < 8 {
		degree = 0
	}
	r := detrend(x, y, degree)
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	sc := scatter{n: float64(n), tau: 1, fit: degree + 1}
	tau, lags := autocorrelation(r)
	lost := 0.0
	for range 2 {
		sc.tau = tau*(1-lost) + lost*float64(1+2*lags)
		lost = min(float64(sc.fit)/sc.effective(), mostLost)
	}
	sc.s = math.Sqrt(sum / float64(n) / (1 - lost))
	// A point of some samples scatters less than each, and is as correlated as they are.
	sc.tau *= float64(stride)
	sc.n *= float64(stride)
	return sc
}

// mostLost is the largest share of the variance that is put back: a pull that is shorter
// than the memory of its noise tells little of it.
const mostLost = 0.75

// effective is how many independent samples there are.
func (sc scatter) effective() float64 { return max(1, sc.n/sc.tau) }

// mean returns the standard uncertainty of the mean of n samples, and its degrees of
// freedom.
func (sc scatter) mean(n float64) (u float64, df Degrees) {
	return sc.s / math.Sqrt(max(1, n/sc.tau)), Degrees(max(1, sc.effective()-float64(sc.fit)))
}

// autocorrelation returns the integrated autocorrelation time of residuals with the mean
// zero, in samples and at least 1, and up to which lag it was summed.
func autocorrelation(r []float64) (tau float64, lags int) {
	n := len(r)
	c0 := 0.0
	for _, v := range r {
		c0 += v * v
	}
	if c0 == 0 {
		return 1, 0
	}
	rho := func(k int) float64 {
		c := 0.0
		for i := k; i < n; i++ {
			c += r[i] * r[i-k]
		}
		return c / c0
	}
	// Pairs ρ(2m) + ρ(2m+1), the first of which begins with ρ(0) = 1.
	sum := 0.0
	for k := 0; k+1 < n; k += 2 {
		pair := rho(k) + rho(k+1)
		if pair <= 0 {
			break
		}
		sum += pair
		lags = k + 1
	}
	return min(max(1, 2*sum-1), float64(n)), lags
}

// detrend returns y less its polynomial of least squares over x, of degree 0 to 2, built
// of polynomials that are orthogonal over the points so that no digits are lost.
func detrend(x, y []float64, degree int) []float64 {
	n := len(y)
	r := append([]float64(nil), y...)
	previous, current := make([]float64, n), make([]float64, n)
	for i := range current {
		current[i] = 1
	}
	norm := 1.0
	for d := 0; ; d++ {
		square, product, shift := 0.0, 0.0, 0.0
		for i, p := range current {
			square += p * p
			product += p * r[i]
			shift += x[i] * p * p
		}
		if square < 1e-12*norm*float64(n) { // x has too few different values
			return r
		}
		for i, p := range current {
			r[i] -= product / square * p
		}
		if d == degree {
			return r
		}
		// The recurrence of Stieltjes: p(d+1) = (x - a) p(d) - b p(d-1).
		a, b := shift/square, 0.0
		if d > 0 {
			last := 0.0
			for _, p := range previous {
				last += p * p
			}
			b = square / last
		}
		most := 0.0
		for i := range current {
			previous[i], current[i] = current[i], (x[i]-a)*current[i]-b*previous[i]
			most = max(most, math.Abs((x[i]-a)*previous[i]))
		}
		norm = most * most
		if norm == 0 {
			return r
		}
	}
}
