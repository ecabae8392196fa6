package montecarlo

import "math"

// Summary sums up a result over many draws. The zero value is ready; values are added in
// order by one goroutine.
type Summary struct {
	moments
	quantiles
	none int
}

// Add adds a column of values. Those that are no number are counted apart.
func (s *Summary) Add(column []float64) {
	s.moments.add(column)
	for _, v := range column {
		if finite(v) {
			s.quantiles.add(v)
		} else {
			s.none++
		}
	}
}

// Count returns how many values there are, and None how many draws had none.
func (s *Summary) Count() int { return s.count }

// None returns how many draws had no value.
func (s *Summary) None() int { return s.none }

// Least is the least of the values, NaN where there is none.
func (s *Summary) Least() float64 { return s.Quantile(0) }

// Most is the greatest of the values, NaN where there is none.
func (s *Summary) Most() float64 { return s.Quantile(1) }

// moments are the mean and the squares around it, exact but for rounding.
type moments struct {
	count         int
	mean, squares float64
}

// add adds a column: its own moments first, then joined to those before (Chan, Golub,
// LeVeque, Updating formulae and a pairwise algorithm for computing sample variances,
// 1979, from memory).
func (m *moments) add(column []float64) {
	var n, sum float64
	least, most := math.Inf(1), math.Inf(-1)
	for _, v := range column {
		if finite(v) {
			n++
			sum += v
			least, most = min(least, v), max(most, v)
		}
	}
	if n == 0 {
		return
	}
	mean, squares := sum/n, 0.0
	if least == most {
		mean = least // to the last bit
	}
	for _, v := range column {
		if finite(v) {
			squares += (v - mean) * (v - mean)
		}
	}
	if m.count == 0 {
		*m = moments{count: int(n), mean: mean, squares: squares}
		return
	}
	before := float64(m.count)
	all, step := before+n, mean-m.mean
	m.mean += step * n / all
	m.squares += squares + step*step*before*n/all
	m.count += int(n)
}

// Mean is the arithmetic mean, NaN where there is no value.
func (m *moments) Mean() float64 {
	if m.count == 0 {
		return math.NaN()
	}
	return m.mean
}

// SD is the standard deviation of the values: the standard uncertainty of the result
// (JCGM 101:2008, 7.6). It is zero for one value, and NaN for none.
func (m *moments) SD() float64 {
	switch m.count {
	case 0:
		return math.NaN()
	case 1:
		return 0
	}
	return math.Sqrt(m.squares / float64(m.count-1))
}
