package whatif

import (
	"cmp"
	"math"
	"slices"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// Slider describes one control. It moves from stop to stop; the sheet's own value is
// always one of them, with every digit, among round ones.
type Slider struct {
	ID    string `json:"id"`    // as [Settings] name it
	Name  string `json:"name"`  // "Boost"
	Range string `json:"range"` // from where to where, of what, and why so far
	Home  int    `json:"home"`  // the stop of the sheet's value
	// Computed says that the sheet does not state the value but computes it, so that it
	// follows the other sliders until it is set, if only to what it was.
	Computed bool     `json:"computed,omitempty"`
	Stops    []Amount `json:"stops"`
	Marks    []Mark   `json:"marks"` // for the scale beneath
}

// Mark is a number on a slider's scale, in the unit of the stops.
type Mark struct {
	Stop int    `json:"stop"`
	Text string `json:"text"`
}

// slider is a control with what moves.
type slider struct {
	Slider
	values []float64 // of the stops, in SI
	// move returns the build with the value. It is nil for the share of an alcohol: those
	// move the blend together.
	move func(sizing.Build, float64) (sizing.Build, error)
	// now is the value of a build, for a slider that others move too; else nil.
	now    func(sizing.Build) float64
	amount func(si float64) Amount
}

// span is where a slider of a quantity goes: from low to high in round steps, within the
// limits that a build may have, which are least and most.
type span[Q quantity.Quantity] struct {
	home, low, high, least, most Q
}

// newSlider makes a slider that does not say yet what it moves.
func newSlider[Q quantity.Quantity](id, name string, sys quantity.System, s span[Q]) slider {
	number := func(q Q) float64 { return quantity.Number(q, sys) }
	home := number(s.home)
	g := gridOver(number(s.low), number(s.high), number(s.least), number(s.most))
	numbers, at := g.with(home)
	v := slider{
		Slider: Slider{ID: id, Name: name, Home: at},
		amount: func(si float64) Amount { return amount(Q(si), sys) },
	}
	for i, n := range numbers {
		q := quantity.FromNumber[Q](n, sys)
		if i == at {
			q = s.home
		}
		v.values = append(v.values, float64(q))
		v.Stops = append(v.Stops, amount(q, sys))
	}
	v.Marks = g.marks(numbers)
	v.Range = v.Stops[0].Text + " to " + v.Stops[len(v.Stops)-1].Text
	return v
}

// nearest is the stop nearest to a value.
func (s slider) nearest(si float64) int {
	i, found := slices.BinarySearch(s.values, si)
	switch {
	case found:
		return i
	case i == 0:
		return 0
	case i == len(s.values), si-s.values[i-1] < s.values[i]-si:
		return i - 1
	}
	return i
}

// grid is the multiples of a round step between two of them.
type grid struct {
	step     step
	from, to int // multiples
}

// gridOver returns some 50 to 125 round steps that reach from low to high, without those
// beyond least and most.
func gridOver(low, high, least, most float64) grid {
	s := roundStep((high - low) / 50)
	multiple := func(v float64, round func(float64) float64) int { return int(round(v / s.of(1))) }
	return grid{
		step: s,
		from: max(multiple(low, math.Floor), multiple(least, math.Ceil)),
		to:   min(multiple(high, math.Ceil), multiple(most, math.Floor)),
	}
}

// with returns the numbers of the grid with one of its own among them, and its place. It
// stands in for those within a quarter of a step.
func (g grid) with(home float64) (numbers []float64, at int) {
	numbers = []float64{home}
	for k := g.from; k <= g.to; k++ {
		if n := g.step.of(k); math.Abs(n-home) > g.step.of(1)/4 {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	return numbers, slices.Index(numbers, home)
}

// marks are the round numbers of a scale over the stops, as many as there is room for.
// Where the sheet's value, not round itself, stands in for one, the scale has none there.
func (g grid) marks(numbers []float64) []Mark {
	if g.to <= g.from {
		return nil
	}
	var list []Mark
	for _, parts := range []float64{4, 3, 2} {
		s := roundStep(g.step.of(g.to-g.from) / parts)
		list = nil
		room := 24 // characters
		for k := int(math.Ceil(numbers[0] / s.of(1))); s.of(k) <= numbers[len(numbers)-1]; k++ {
			// The sheet's value may be round but for the last bits.
			i := slices.IndexFunc(numbers, func(n float64) bool { return math.Abs(n-s.of(k)) < g.step.of(1)/1000 })
			if i >= 0 {
				list = append(list, Mark{i, quantity.Digits(s.of(k), 4)})
				room -= len(list[len(list)-1].Text)
			}
		}
		if room >= 0 {
			break
		}
	}
	return list
}

// step is 1, 2 or 5 times a power of ten.
type step struct {
	digit int
	power int
}

// roundStep returns the greatest round step that does not exceed v, which is positive.
func roundStep(v float64) step {
	power := int(math.Floor(math.Log10(v)))
	s := step{1, power}
	for _, digit := range []int{2, 5} {
		if t := (step{digit, power}); cmp.Compare(t.of(1), v) <= 0 {
			s = t
		}
	}
	return s
}

// of returns k steps, free of the noise of adding them up.
func (s step) of(k int) float64 {
	n := float64(k * s.digit)
	if s.power < 0 {
		return n / math.Pow10(-s.power)
	}
	return n * math.Pow10(s.power)
}
