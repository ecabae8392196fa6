package catalogue

import (
	"encoding"
	"fmt"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// table is what a set changes in one table of a build sheet.
type table struct {
	name  string   // "injectors"; for an array of tables that of its elements
	array bool     // [[name]]
	drops []string // fields that go
	lines []string // that come in their place
}

// tables are the lines of a build sheet that make its parts those of the candidate. The
// values are written as the lists have them.
func (l *Lists) tables(b sizing.Build, c Candidate) []table {
	var list []table
	if c.Injector >= 0 {
		p := &l.Injectors[c.Injector]
		t := table{name: "injectors", drops: []string{"part", "flow", "dead_time", "low_pulse", "minimum_pulse", "spread", "coil"}}
		t.add("part", quoted(p.Name()))
		t.text(&p.Item, "flow", "flow", !p.Flow.IsZero(), p.Flow)
		var points []string
		for _, x := range p.DeadTime {
			points = append(points, marshal(x))
		}
		t.add("dead_time", array(p.list("dead_time", points)))
		t.text(&p.Item, "low_pulse", "low_pulse", !p.LowPulse.IsZero(), p.LowPulse)
		t.text(&p.Item, "minimum_pulse", "minimum_pulse", p.MinimumPulse != 0, p.MinimumPulse)
		t.text(&p.Item, "spread", "spread", p.Spread != 0, p.Spread)
		t.text(&p.Item, "coil", "coil", p.Coil.Resistance != 0, p.Coil)
		list = append(list, t)
	}
	reg := table{name: "regulator"}
	if c.Regulator >= 0 {
		r := &l.Regulators[c.Regulator]
		reg.drops = []string{"part", "kind", "rise", "least_return", "max_return", "slope", "set_flow", "open_drop"}
		reg.add("part", quoted(r.Name()))
		reg.text(&r.Item, "kind", "kind", true, r.Kind)
		reg.text(&r.Item, "rise", "rise", r.Rise != 0, r.Rise)
		reg.text(&r.Item, "least_return", "least_return", r.LeastReturn != 0, r.LeastReturn)
		reg.text(&r.Item, "max_return", "max_return", r.MaxReturn != 0, r.MaxReturn)
		reg.text(&r.Item, "slope", "slope", r.Slope.Per != 0, r.Slope)
		reg.text(&r.Item, "set_flow", "set_flow", r.SetFlow != 0, r.SetFlow)
		reg.text(&r.Item, "open_drop", "open_drop", r.OpenDrop != 0, r.OpenDrop)
	}
	if c.Pressure != b.Regulator.BasePressure {
		reg.drops = append(reg.drops, "base_pressure")
		reg.add("base_pressure", quoted(shortest(c.Pressure)))
	}
	if len(reg.lines) > 0 {
		list = append(list, reg)
	}
	if c.Pump >= 0 {
		list = append(list, l.Pumps[c.Pump].table(c.Count))
	}
	if c.Hose >= 0 || c.Filter >= 0 {
		list = append(list, l.feedLine(b, c))
	}
	return list
}

func (p *Pump) table(count int) table {
	t := table{name: "pumps", array: true, drops: []string{"part", "count", "curves", "relief"}}
	t.add("part", quoted(p.Name()))
	t.add("count", strconv.Itoa(count))
	t.text(&p.Item, "relief", "relief", p.Relief != 0, p.Relief)
	given := p.list("curves", nil)
	t.lines = append(t.lines, "curves = [")
	for k, curve := range p.Curves {
		voltage, points := marshal(curve.Voltage), make([]string, len(curve.Points))
		for i, x := range curve.Points {
			points[i] = marshal(x)
		}
		if given != nil {
			v, rest, _ := strings.Cut(strings.Split(p.given["curves"], "|")[k], ":")
			voltage, points = strings.TrimSpace(v), split(rest)
		}
		t.lines = append(t.lines, fmt.Sprintf("  { voltage = %s, points = %s },", quoted(voltage), array(points)))
	}
	t.lines = append(t.lines, "]")
	return t
}

func (l *Lists) feedLine(b sizing.Build, c Candidate) table {
	t := table{name: "feed_line", drops: []string{"part"}}
	t.add("part", quoted(l.Build(b, c).FeedLine.Part))
	if c.Hose >= 0 {
		h := &l.Hoses[c.Hose]
		t.drops = append(t.drops, "bore", "dash", "roughness")
		t.text(&h.Item, "bore", "bore", h.Bore != 0, h.Bore)
		t.text(&h.Item, "dash", "dash", !h.Dash.IsZero(), h.Dash)
		t.text(&h.Item, "roughness", "roughness", h.Roughness != 0, h.Roughness)
	}
	if c.Filter >= 0 {
		f := &l.Filters[c.Filter]
		t.drops = append(t.drops, "filter")
		t.text(&f.Item, "loss", "filter", true, f.Loss)
	}
	return t
}

func (t *table) add(field, value string) { t.lines = append(t.lines, field+" = "+value) }

// text adds a field, if it is there, as the list has it in a column.
func (t *table) text(i *Item, column, field string, there bool, v encoding.TextMarshaler) {
	if !there {
		return
	}
	if text := i.given[column]; text != "" {
		t.add(field, quoted(text))
		return
	}
	t.add(field, quoted(marshal(v)))
}

// list is what the row has in a column of several values, or what else it is.
func (i *Item) list(column string, otherwise []string) []string {
	if text := i.given[column]; text != "" {
		return split(text)
	}
	return otherwise
}

// split splits a list at its semicolons.
func split(text string) []string {
	var list []string
	for piece := range strings.SplitSeq(text, ";") {
		if piece = strings.TrimSpace(piece); piece != "" {
			list = append(list, piece)
		}
	}
	return list
}

func marshal(v encoding.TextMarshaler) string {
	text, err := v.MarshalText()
	if err != nil {
		return ""
	}
	return string(text)
}

// array writes texts as a TOML array.
func array(texts []string) string {
	list := make([]string, len(texts))
	for i, s := range texts {
		list[i] = quoted(s)
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// quoted writes a text as a TOML basic string.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, "\\u%04X", r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// shortest writes a pressure in the unit in which it takes the fewest digits, every one
// of them kept.
func shortest(p quantity.PressureDiff) string {
	best := marshal(p)
	for _, unit := range []quantity.PressureDiff{quantity.PSI, quantity.BarDiff, quantity.KilopascalDiff} {
		symbol := quantity.Symbol(unit)
		for digits := 1; digits <= 17; digits++ {
			text := quantity.Digits(p.In(unit), digits) + " " + symbol
			if back, err := quantity.Parse[quantity.PressureDiff](text); err == nil && back == p {
				if len(text) < len(best) {
					best = text
				}
				break
			}
		}
	}
	return best
}

// SheetLines are the lines of a build sheet that say the parts of a candidate, to be
// put in place of those that the sheet has.
func (l *Lists) SheetLines(b sizing.Build, c Candidate) string {
	var out strings.Builder
	for i, t := range l.tables(b, c) {
		if i > 0 {
			out.WriteByte('\n')
		}
		out.WriteString(t.header() + "\n" + strings.Join(t.lines, "\n") + "\n")
	}
	return out.String()
}

func (t *table) header() string {
	if t.array {
		return "[[" + t.name + "]]"
	}
	return "[" + t.name + "]"
}
