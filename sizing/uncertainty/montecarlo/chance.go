package montecarlo

import "math"

// Chance is how often something came about in draws.
type Chance struct {
	Count int `json:"count"`
	Of    int `json:"of"`
}

// Share is the estimate of the chance, NaN where nothing was drawn.
func (c Chance) Share() float64 { return float64(c.Count) / float64(c.Of) }

// StandardError is that of Share for independent draws: √(p(1-p)/n), of the binomial
// distribution. Draws of a Latin hypercube scatter less as a rule. Where all draws agree
// it is zero; see [Chance.Bound].
func (c Chance) StandardError() float64 {
	p := c.Share()
	return math.Sqrt(p * (1 - p) / float64(c.Of))
}

// Bound tells how far from Share the chance may be where all draws agree: by 3/n with 95 %
// confidence (rule of three; Hanley and Lippman-Hand, J. Amer. Med. Assoc. 249, 1983, from
// memory). It is zero where they do not.
func (c Chance) Bound() float64 {
	if c.Of == 0 || c.Count != 0 && c.Count != c.Of {
		return 0
	}
	return min(1, 3/float64(c.Of))
}
