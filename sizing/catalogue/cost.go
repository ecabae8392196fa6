package catalogue

import (
	"math"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// costs are what the parts of a survey cost.
type costs struct {
	injectors    []int64 // of each kind, all that the build takes; by Cost.order
	arrangements []int64
	ranked       []int32 // the injectors, the cheapest first
}

// order is a number that ranks costs as [Cost.Compare] does and adds up as they do.
func (c Cost) order() int64 { return int64(c.Unpriced)<<52 + int64(c.Sum) }

// costOf is the inverse of order.
func costOf(order int64) Cost { return Cost{int(order >> 52), Price(order & (1<<52 - 1))} }

// Line is one line of a bill.
type Line struct {
	Part     string  `json:"part"`
	Kind     string  `json:"kind"`     // "injectors", "pumps", "hose", "filter" or "regulator"
	Quantity float64 `json:"quantity"` // to buy; of hose, in metres
	Each     Price   `json:"each"`
	Price    Price   `json:"price"` // of all of them
}

// Bill lists what there is to buy of a set for a build, where some of it is owned
// already; owned may be nil.
func (l *Lists) Bill(b sizing.Build, c Candidate, owned *Candidate) []Line {
	var bill []Line
	if line, ok := l.injectorLine(b, c.Injector, owned); ok {
		bill = append(bill, line)
	}
	return append(bill, l.supplyLines(b, c, owned)...)
}

func (l *Lists) injectorLine(b sizing.Build, i int, owned *Candidate) (Line, bool) {
	if i < 0 || owned != nil && owned.Injector == i {
		return Line{}, false
	}
	return lineOf("injectors", &l.Injectors[i].Item, count(b.Injectors.Count, b)), true
}

func (l *Lists) supplyLines(b sizing.Build, c Candidate, owned *Candidate) []Line {
	var bill []Line
	if c.Pump >= 0 {
		n := c.Count
		if owned != nil && owned.Pump == c.Pump {
			n = max(0, n-owned.Count)
		}
		if n > 0 {
			bill = append(bill, lineOf("pumps", &l.Pumps[c.Pump].Item, n))
		}
	}
	if c.Hose >= 0 && (owned == nil || owned.Hose != c.Hose) {
		h := &l.Hoses[c.Hose]
		line := Line{Part: h.Name(), Kind: "hose", Quantity: b.FeedLine.Length.In(quantity.Metre), Each: h.Price, Price: Unpriced}
		if h.Price >= 0 {
			// Up to the next hundredth; what is beyond by rounding alone is not.
			line.Price = Price(math.Ceil(float64(h.Price)*line.Quantity - 1e-6))
		}
		bill = append(bill, line)
	}
	if c.Filter >= 0 && (owned == nil || owned.Filter != c.Filter) {
		bill = append(bill, lineOf("filter", &l.Filters[c.Filter].Item, 1))
	}
	if c.Regulator >= 0 && (owned == nil || owned.Regulator != c.Regulator) {
		bill = append(bill, lineOf("regulator", &l.Regulators[c.Regulator].Item, 1))
	}
	return bill
}

func lineOf(kind string, i *Item, n int) Line {
	line := Line{Part: i.Name(), Kind: kind, Quantity: float64(n), Each: i.Price, Price: Unpriced}
	if i.Price >= 0 {
		line.Price = Price(n) * i.Price
	}
	return line
}

// total is what a bill comes to.
func total(bill []Line) Cost {
	var c Cost
	for _, line := range bill {
		c = c.plus(line.Price, 1)
	}
	return c
}

// costs finds what everything costs that is not owned.
func (s *survey) costs(owned *Candidate) *costs {
	c := &costs{injectors: make([]int64, len(s.meters)), arrangements: make([]int64, len(s.arrangements))}
	for i := range s.meters {
		if line, ok := s.lists.injectorLine(s.build, s.place(i), owned); ok {
			c.injectors[i] = total([]Line{line}).order()
		}
		c.ranked = append(c.ranked, int32(i))
	}
	for k, a := range s.arrangements {
		c.arrangements[k] = total(s.lists.supplyLines(s.build, a.candidate(-1, 0), owned)).order()
	}
	sortBy(c.ranked, func(i int32) int64 { return c.injectors[i] })
	return c
}
