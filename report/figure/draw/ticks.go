package draw

import (
	"math"

	"gonum.org/v1/plot"

	"example.com/railbook/sizing/quantity"
)

// round returns the round numbers, multiples of 1, 2, 2.5 or 5 times a power of
// ten, that lie from low to high, as many as wanted or fewer (one more where both
// ends are round), and their distance.
// It returns none where the range is empty or too fine for its size.
func round(low, high float64, wanted int) (values []float64, step float64) {
	span := high - low
	if !(span > 1e-9*max(math.Abs(low), math.Abs(high))) || math.IsInf(span, 0) {
		return nil, 0
	}
	raw := span / float64(max(1, wanted))
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	step = 10 * power
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*power >= raw*0.999 {
			step = m * power
			break
		}
	}
	const slack = 1e-9
	for i := math.Ceil(low/step - slack); i <= math.Floor(high/step+slack); i++ {
		values = append(values, i*step+0) // no minus zero
	}
	return values, step
}

// ticks puts about as many round numbers on an axis.
type ticks int

// Ticks implements [plot.Ticker].
func (n ticks) Ticks(low, high float64) []plot.Tick {
	values, _ := round(low, high, int(n))
	list := make([]plot.Tick, len(values))
	for i, v := range values {
		list[i] = plot.Tick{Value: v, Label: number(v)}
	}
	return list
}

// number prints a tick. Multiples of a binary fraction of a step carry noise in
// the last digits, which six digits drop.
func number(v float64) string {
	text := quantity.Digits(v, 6)
	if v < 0 && text[0] == '-' {
		return "−" + text[1:]
	}
	return text
}
