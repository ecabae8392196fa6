package predict

import (
	"math"

	"example.com/railbook/sizing/internal/root"
)

// mixture is a mixture of normal distributions. The weights add up to one.
type mixture struct{ weight, mean, sd []float64 }

func (m *mixture) add(weight, mean, sd float64) {
	m.weight = append(m.weight, weight)
	m.mean = append(m.mean, mean)
	m.sd = append(m.sd, sd)
}

// Mean returns the mean.
func (m *mixture) Mean() float64 { return dot(m.weight, m.mean) }

// SD returns the standard deviation.
func (m *mixture) SD() float64 {
	mean, v := m.Mean(), 0.0
	for i, w := range m.weight {
		v += w * (square(m.sd[i]) + square(m.mean[i]-mean))
	}
	return math.Sqrt(v)
}

// CDF returns the probability of a value up to x.
func (m *mixture) CDF(x float64) float64 {
	sum := 0.0
	for i, w := range m.weight {
		sum += w * math.Erfc((m.mean[i]-x)/(m.sd[i]*math.Sqrt2)) / 2
	}
	return sum
}

// Quantile returns the value below which the share p lies, for p between 0 and 1; at and
// outside these it is infinite.
func (m *mixture) Quantile(p float64) float64 {
	if !(p > 0) {
		return math.Inf(-1)
	}
	if !(p < 1) {
		return math.Inf(1)
	}
	// Doubling the reach from the mean always brackets, whatever the components.
	mean, reach := m.Mean(), m.SD()
	for {
		x, err := root.Find(func(x float64) float64 { return m.CDF(x) - p }, mean-reach, mean+reach, 1e-9*m.SD())
		if err == nil {
			return x
		}
		reach *= 2
	}
}
