package figure

import (
	"errors"
	"fmt"

	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

// idleClass is a range of margins, from one on.
type idleClass struct {
	from quantity.Ratio
	name string
}

// idleClasses are how far the pulse at idle may lie above the least that meters.
var idleClasses = []idleClass{
	{0.5, "idle pulse 50 % or more above the least"},
	{0.2, "idle pulse 20 to 50 % above the least"},
	{0, "idle pulse up to 20 % above the least"},
}

// OfTradeOff makes the figure of what more money buys: the sets that no other beats in
// cost, headroom and idle pulse at once, headroom over cost. The shape of a mark tells how
// far the pulse at idle lies above the least that meters. The error tells of a choice
// without a set that carries, or without a price.
func OfTradeOff(id string, c *catalogue.Choice) (Figure, error) {
	series := make([]Series, len(idleClasses)+1)
	for k, class := range idleClasses {
		series[k].Name = class.name
	}
	series[len(idleClasses)].Name = "idle not checked"
	shown := 0
	for _, s := range c.Front {
		if s.Cost.Unpriced > 0 {
			continue
		}
		k := 0
		for k < len(idleClasses) && (s.IdleMargin == nil || *s.IdleMargin < idleClasses[k].from) {
			k++
		}
		series[k].Points = append(series[k].Points, sweep.Point{X: float64(s.Cost.Sum) / 100, Y: 100 * float64(s.Headroom)})
		shown++
	}
	switch {
	case len(c.Front) == 0:
		return Figure{}, errors.New("no set of this choice carries, so that there is nothing to trade")
	case shown == 0:
		return Figure{}, errors.New("no set of this choice has a price for all its parts, so that there is no cost to show")
	}
	chart := &Chart{X: sweep.Scale{Name: "cost", Unit: c.Lists.Currency}, Y: sweep.Scale{Name: "headroom", Unit: "%"}}
	for _, s := range series {
		if len(s.Points) > 0 {
			s.Style = Marks
			chart.Series = append(chart.Series, s)
		}
	}
	first, last := c.Front[0], c.Front[shown-1] // sets without a price stand behind
	alt := fmt.Sprintf("Headroom, the least margin of what carries fuel, over the cost of the parts: %d sets that no other beats in cost, headroom and idle pulse at once, from %s with %s to %s with %s. The shape of a mark tells how far the pulse at idle lies above the least that meters.",
		shown, first.Cost.Text(c.Lists.Currency), first.Headroom.Percent(0), last.Cost.Text(c.Lists.Currency), last.Headroom.Percent(0))
	return Figure{ID: id, Title: "Headroom over the cost of the parts", Alt: alt, Chart: chart}, nil
}
