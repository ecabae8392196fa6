package catalogue

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// parts are the columns that name the parts of a set, as far as there are lists, and
// what a set has in them.
func (l *Lists) parts() (columns []sizing.Column, cells func(Candidate) []string) {
	var of []func(Names) string
	add := func(n int, name string, get func(Names) string) {
		if n > 0 {
			columns = append(columns, sizing.Column{Name: name})
			of = append(of, get)
		}
	}
	add(len(l.Injectors), "Injectors", func(n Names) string { return n.Injectors })
	add(len(l.Pumps), "Pumps", func(n Names) string { return n.Pumps })
	add(len(l.Hoses), "Hose", func(n Names) string { return n.Hose })
	add(len(l.Filters), "Filter", func(n Names) string { return n.Filter })
	add(len(l.Regulators), "Regulator", func(n Names) string { return n.Regulator })
	return columns, func(c Candidate) []string {
		names := l.Names(c)
		var row []string
		for _, get := range of {
			row = append(row, get(names))
		}
		return row
	}
}

// placed are the columns of parts with the base pressure behind them.
func (c *Choice) placed() (columns []sizing.Column, cells func(Candidate) []string) {
	columns, parts := c.Lists.parts()
	return append(columns, sizing.Column{Name: "Base", Numeric: true}), func(x Candidate) []string {
		return append(parts(x), quantity.Format(x.Pressure, c.Build.Job.Units))
	}
}

// BestTable lists the best sets with what they cost and what they carry.
func (c *Choice) BestTable(sys quantity.System) sizing.Table {
	columns, cells := c.placed()
	t := sizing.Table{
		Caption: fmt.Sprintf("The best of %s sets that carry, of %s", thousands(c.Carry), thousands(c.Sets)),
		Columns: append(append([]sizing.Column{{Name: "Set", Numeric: true}}, columns...),
			sizing.Column{Name: "Cost", Numeric: true}, sizing.Column{Name: "Injectors", Numeric: true}, sizing.Column{Name: "Pumps", Numeric: true},
			sizing.Column{Name: "Line", Numeric: true}, sizing.Column{Name: "Duty", Numeric: true}, sizing.Column{Name: "Idle pulse", Numeric: true},
			sizing.Column{Name: "Gives out first"}),
	}
	for i := range c.Best {
		s := &c.Best[i]
		row := append([]string{strconv.Itoa(i + 1)}, cells(s.Candidate)...)
		row = append(row, s.Cost.Text(c.Lists.Currency))
		for _, kind := range []sizing.PartKind{sizing.InjectorsPart, sizing.PumpsPart, sizing.FeedLinePart} {
			row = append(row, marginCell(s.Assessment, kind))
		}
		t.Rows = append(t.Rows, append(row, s.Assessment.Injection.Duty.Percent(0), s.idleCell(sys), firstCell(s.Assessment, sys)))
	}
	return t
}

func marginCell(a *sizing.Assessment, kind sizing.PartKind) string {
	p, ok := a.Part(kind)
	switch {
	case !ok:
		return "–"
	case p.Margin > 10:
		return "> +1000 %"
	}
	return signed(p.Margin)
}

// signed prints a margin in percent with its sign.
func signed(m quantity.Ratio) string {
	return strings.Replace(fmt.Sprintf("%+.0f %%", 100*float64(m)), "-", "−", 1)
}

// idleCell is the pulse at idle, and how far it lies above the least that meters.
func (s *Set) idleCell(sys quantity.System) string {
	text := quantity.Format(s.Assessment.Idle.Pulse, sys)
	if s.IdleMargin == nil {
		return text + " unchecked"
	}
	return text + " " + signed(*s.IdleMargin)
}

func firstCell(a *sizing.Assessment, sys quantity.System) string {
	w := a.Weakest()
	if !w.Limited {
		return "nothing"
	}
	return w.Kind.String() + ", " + quantity.Format(w.Limit, sys)
}

// FrontTable lists the sets of the trade-off, at most as many as most, spread evenly
// over them; zero stands for all.
func (c *Choice) FrontTable(sys quantity.System, most int) sizing.Table {
	columns, cells := c.placed()
	t := sizing.Table{
		Caption: fmt.Sprintf("What more money buys: %s sets that none beats in cost, headroom (the least margin of what carries fuel) and idle pulse at once", thousands(len(c.Front))),
		Columns: append([]sizing.Column{{Name: "Cost", Numeric: true}, {Name: "Headroom", Numeric: true}, {Name: "Idle pulse", Numeric: true}}, columns...),
	}
	rows := evenly(len(c.Front), most)
	if len(rows) < len(c.Front) {
		t.Caption += fmt.Sprintf(", %d of them", len(rows))
	}
	for _, i := range rows {
		s := &c.Front[i]
		t.Rows = append(t.Rows, append([]string{s.Cost.Text(c.Lists.Currency), signed(s.Headroom), s.idleCell(sys)}, cells(s.Candidate)...))
	}
	return t
}

// evenly picks at most most of n places, the first and the last among them.
func evenly(n, most int) []int {
	if most <= 0 || n <= most {
		most = n
	}
	list := make([]int, most)
	for i := range list {
		list[i] = i
		if most > 1 {
			list[i] = int(math.Round(float64(i) * float64(n-1) / float64(most-1)))
		}
	}
	return list
}

// RejectionTable sums up why the other sets do not carry.
func (c *Choice) RejectionTable() sizing.Table {
	t := sizing.Table{
		Caption: "Why the others do not, by the first thing that each fails at",
		Columns: []sizing.Column{{Name: "Fails at"}, {Name: "Sets", Numeric: true}, {Name: "Share", Numeric: true}, {Name: "The nearest"}},
	}
	for _, r := range c.Rejections {
		text := r.Short.Say()
		if r.Short.Text == "" {
			text += ": " + c.Lists.where(c.Build, r.Nearest)
		}
		t.Rows = append(t.Rows, []string{r.Reason.String(), thousands(r.Sets), share(r.Sets, c.Sets), text})
	}
	return t
}

// share prints a part of a whole in percent, never none of something.
func share(n, all int) string {
	percent := 100 * float64(n) / float64(all)
	if percent < 0.1 {
		return "< 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", percent)
}

// MissTable lists the nearest misses.
func (c *Choice) MissTable() sizing.Table {
	columns, cells := c.placed()
	t := sizing.Table{
		Caption: "Nearest misses, of injectors and pumps that do not carry together however they are arranged",
		Columns: append(columns, sizing.Column{Name: "Cost", Numeric: true}, sizing.Column{Name: "Fails at"}),
	}
	for _, m := range c.Misses {
		var says []string
		for _, s := range m.Short {
			says = append(says, s.Say())
		}
		t.Rows = append(t.Rows, append(cells(m.Candidate), m.Cost.Text(c.Lists.Currency), strings.Join(says, "; ")))
	}
	return t
}

// Table compares the two ways to buy.
func (p *Plan) Table(sys quantity.System) sizing.Table {
	columns, cells := p.Lists.parts()
	t := sizing.Table{
		Caption: "Buying once or twice",
		Columns: append(append([]sizing.Column{{Name: "To buy"}}, columns...), sizing.Column{Name: "Base", Numeric: true}, sizing.Column{Name: "Costs", Numeric: true}),
	}
	add := func(name string, c Candidate, base string, cost Cost) {
		t.Rows = append(t.Rows, append(append([]string{name}, cells(c)...), base, cost.Text(p.Lists.Currency)))
	}
	if b := p.Once; b != nil {
		base := quantity.Format(b.TodayPressure, sys)
		if b.TodayPressure != b.Pressure {
			base += ", later " + quantity.Format(b.Pressure, sys)
		}
		add("once, for both", b.Candidate, base, b.Cost)
	}
	if s := p.Today; s != nil {
		add("for today", s.Candidate, quantity.Format(s.Pressure, sys), s.Cost)
	}
	if s := p.Again; s != nil {
		add("and for later", s.Candidate, quantity.Format(s.Pressure, sys), s.Cost)
	}
	return t
}

// thousands prints a count with its thousands apart.
func thousands(n int) string {
	text := strconv.Itoa(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}
