package catalogue

import (
	"encoding"
	"fmt"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/pump"
	"example.com/railbook/sizing/quantity"
)

// column is one column of a list of parts of type T.
type column[T any] struct {
	name     string
	required bool // has to be there, and filled in
	about    string
	example  string
	field    string // of the part within its table of the build sheet; empty: not in a sheet
	set      func(*T, string) error
}

// list describes the file of a list.
type list[T any] struct {
	file    string
	about   string
	table   string // of the build sheet whose fields the columns fill in
	columns []column[T]
	// place puts a part into a build that is valid otherwise, so that it can be checked.
	place func(sizing.Build, *T) sizing.Build
	// check looks at what a build sheet does not hold; nil for nothing.
	check func(*T) []sizing.Problem
}

// read makes the set function of a column whose value reads itself from text.
func read[T any, V encoding.TextUnmarshaler](at func(*T) V) func(*T, string) error {
	return func(t *T, text string) error { return at(t).UnmarshalText([]byte(text)) }
}

// common are the columns that every list has, around those of its own.
func common[T any, P interface {
	*T
	item() *Item
}](price, of string, own ...column[T]) []column[T] {
	first := []column[T]{
		{name: "part", required: true, about: "the maker's name for the part; with maker, once in the list", example: "L-1550", set: func(t *T, s string) error { P(t).item().Part = s; return nil }},
		{name: "maker", about: "who makes it", example: "Lindqvist", set: func(t *T, s string) error { P(t).item().Maker = s; return nil }},
	}
	last := []column[T]{
		{name: price, about: "of one" + of + ", without a currency; empty: not known, and sets that hold it rank behind those whose cost is known", example: "89.50", set: func(t *T, s string) error { return P(t).item().Price.UnmarshalText([]byte(s)) }},
		{name: "currency", about: "of the price; the same in all lists", example: "EUR", set: func(*T, string) error { return nil }},
	}
	return append(append(first, own...), last...)
}

var injectorList = list[Injector]{
	file: "injectors.csv", about: "injectors", table: "injectors",
	place: func(b sizing.Build, i *Injector) sizing.Build { b.Injectors = i.put(b.Injectors); return b },
	columns: common[Injector]("price", "",
		column[Injector]{name: "flow", required: true, field: "flow", about: "flow held open, at a pressure, on a test fluid", example: "1550 cc/min at 3 bar on n-heptane",
			set: read(func(i *Injector) encoding.TextUnmarshaler { return &i.Flow })},
		column[Injector]{name: "dead_time", required: true, field: "dead_time", about: "by voltage, and by pressure where known, with semicolons in between", example: "1.32 ms at 12 V; 1.02 ms at 13.5 V",
			set: setDeadTime},
		column[Injector]{name: "low_pulse", field: "low_pulse", about: "correction of short pulses; empty: none", example: "0.08 ms at 0.6 ms; 0 ms at 2 ms",
			set: read(func(i *Injector) encoding.TextUnmarshaler { return &i.LowPulse })},
		column[Injector]{name: "minimum_pulse", field: "minimum_pulse", about: "least pulse that still meters in proportion; empty: idle is not checked", example: "1.15 ms",
			set: read(func(i *Injector) encoding.TextUnmarshaler { return &i.MinimumPulse })},
		column[Injector]{name: "spread", field: "spread", about: "how far the weakest of a set lies below the flow; empty: none", example: "2 %",
			set: read(func(i *Injector) encoding.TextUnmarshaler { return &i.Spread })},
		column[Injector]{name: "coil", field: "coil", about: "resistance and drive; needed where the sheet wires the injectors", example: "12 ohm",
			set: read(func(i *Injector) encoding.TextUnmarshaler { return &i.Coil })},
	),
}

var pumpList = list[Pump]{
	file: "pumps.csv", about: "electric main pumps; wear and wiring are the sheet's", table: "pumps[1]",
	place: func(b sizing.Build, p *Pump) sizing.Build { b.Pumps = p.put(b.Pumps, p.most()); return b },
	columns: common[Pump]("price", "",
		column[Pump]{name: "curves", required: true, field: "curves", about: "flow of one pump over pressure at each voltage, with the current where the sheet wires the pumps",
			example: "12 V: 352 L/h at 200 kPa; 276 L/h at 400 kPa | 13.5 V: 410 L/h at 200 kPa; 341 L/h at 400 kPa", set: setCurves},
		column[Pump]{name: "most", field: "count", about: "greatest number of them in parallel; empty: 1", example: "2", set: setMost},
		column[Pump]{name: "relief", field: "relief", about: "pressure at which the pump's own relief valve opens; empty: not stated", example: "8.5 bar",
			set: read(func(p *Pump) encoding.TextUnmarshaler { return &p.Relief })},
	),
}

var hoseList = list[Hose]{
	file: "hoses.csv", about: "hoses and tubes for the feed line; its length and fittings are the sheet's", table: "feed_line",
	place: func(b sizing.Build, h *Hose) sizing.Build { b.FeedLine = h.put(b.FeedLine); return b },
	check: func(h *Hose) []sizing.Problem {
		var list []sizing.Problem
		if h.Bore == 0 && h.Dash.IsZero() {
			list = append(list, sizing.Problem{Field: "bore", Reason: "is missing", Accepted: `the inner diameter, such as "8 mm", or dash such as "-8 hose" in its place`})
		}
		return append(list, ratingProblems(h.Rating)...)
	},
	columns: common[Hose]("price_per_metre", " metre",
		column[Hose]{name: "bore", field: "bore", about: "inner diameter; or dash", example: "8 mm",
			set: read(func(h *Hose) encoding.TextUnmarshaler { return &h.Bore })},
		column[Hose]{name: "dash", field: "dash", about: "size by dash number, in place of bore", example: "-8 hose",
			set: read(func(h *Hose) encoding.TextUnmarshaler { return &h.Dash })},
		column[Hose]{name: "roughness", field: "roughness", about: "of the wall; empty: drawn tubing", example: "1.5 um",
			set: read(func(h *Hose) encoding.TextUnmarshaler { return &h.Roughness })},
		column[Hose]{name: "pressure_rating", about: "greatest working pressure; empty: not checked", example: "35 bar",
			set: read(func(h *Hose) encoding.TextUnmarshaler { return &h.Rating })},
	),
}

var filterList = list[Filter]{
	file: "filters.csv", about: "filters for the feed line", table: "feed_line",
	place: func(b sizing.Build, f *Filter) sizing.Build { b.FeedLine = f.put(b.FeedLine); return b },
	check: func(f *Filter) []sizing.Problem { return ratingProblems(f.Rating) },
	columns: common[Filter]("price", "",
		column[Filter]{name: "loss", required: true, field: "filter", about: "clean pressure drop at a flow", example: "12 kPa at 500 L/h",
			set: read(func(f *Filter) encoding.TextUnmarshaler { return &f.Loss })},
		column[Filter]{name: "pressure_rating", about: "greatest working pressure; empty: not checked", example: "20 bar",
			set: read(func(f *Filter) encoding.TextUnmarshaler { return &f.Rating })},
	),
}

var regulatorList = list[Regulator]{
	file: "regulators.csv", about: "regulator valves", table: "regulator",
	place: func(b sizing.Build, r *Regulator) sizing.Build { b.Regulator = r.put(b.Regulator); return b },
	check: checkRange,
	columns: common[Regulator]("price", "",
		column[Regulator]{name: "kind", required: true, field: "kind", about: `"manifold-referenced", "fixed" (return at the rail) or "returnless" (regulator at the pump)`, example: "manifold-referenced",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.Kind })},
		column[Regulator]{name: "rise", field: "rise", about: "rail rise over manifold rise, where manifold-referenced; empty: 1", example: "1",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.Rise })},
		column[Regulator]{name: "least_base_pressure", about: "lowest base pressure it can be set to; empty: not checked", example: "40 psi",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.Least })},
		column[Regulator]{name: "most_base_pressure", about: "highest base pressure it can be set to; empty: not checked", example: "75 psi",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.Most })},
		column[Regulator]{name: "least_return", field: "least_return", about: "least flow it needs to control; empty: none", example: "20 L/h",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.LeastReturn })},
		column[Regulator]{name: "max_return", field: "max_return", about: "most flow it can return; empty: not checked", example: "700 L/h",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.MaxReturn })},
		column[Regulator]{name: "slope", field: "slope", about: "rise of its pressure with the flow returned; empty: none", example: "8 kPa per 100 L/h",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.Slope })},
		column[Regulator]{name: "set_flow", field: "set_flow", about: "return flow up to which the base pressure holds; empty: max_return", example: "100 L/h",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.SetFlow })},
		column[Regulator]{name: "open_drop", field: "open_drop", about: "lost across the wide-open valve at max_return; empty: none", example: "30 kPa",
			set: read(func(r *Regulator) encoding.TextUnmarshaler { return &r.OpenDrop })},
	),
}

func setDeadTime(i *Injector, text string) error {
	for piece := range strings.SplitSeq(text, ";") {
		if strings.TrimSpace(piece) == "" {
			continue // behind the last
		}
		i.DeadTime = append(i.DeadTime, injector.DeadTimePoint{})
		if err := i.DeadTime[len(i.DeadTime)-1].UnmarshalText([]byte(piece)); err != nil {
			return err
		}
	}
	return nil
}

func setMost(p *Pump, text string) error {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > mostPumps {
		return &quantity.ParseError{Text: text, Reason: "is not a number of pumps", Accepted: fmt.Sprintf("a whole number from 1 to %d", mostPumps), Err: quantity.ErrRange}
	}
	p.Most = n
	return nil
}

// mostPumps is the greatest count of pumps in a build sheet.
const mostPumps = 12

const curvesAccepted = `curves such as "12 V: 352 L/h at 200 kPa; 276 L/h at 400 kPa | 13.5 V: 410 L/h at 200 kPa; 341 L/h at 400 kPa"`

// setCurves reads curves with | in between: a voltage, a colon, and points with
// semicolons in between.
func setCurves(p *Pump, text string) error {
	for piece := range strings.SplitSeq(text, "|") {
		voltage, points, ok := strings.Cut(piece, ":")
		if !ok {
			return &quantity.ParseError{Text: strings.TrimSpace(piece), Reason: "no colon between a voltage and its points", Accepted: curvesAccepted, Err: quantity.ErrSyntax}
		}
		var c sizing.PumpCurve
		if err := c.Voltage.UnmarshalText([]byte(voltage)); err != nil {
			return err
		}
		for one := range strings.SplitSeq(points, ";") {
			if strings.TrimSpace(one) == "" {
				continue
			}
			x, err := pump.ParsePoint(one)
			if err != nil {
				return err
			}
			c.Points = append(c.Points, x)
		}
		p.Curves = append(p.Curves, c)
	}
	return nil
}

// ratingProblems checks a working pressure. The limits catch slips of unit.
func ratingProblems(p quantity.PressureDiff) []sizing.Problem {
	const low, high = 1 * quantity.BarDiff, 1000 * quantity.BarDiff
	if p == 0 || p >= low && p <= high {
		return nil
	}
	return []sizing.Problem{{
		Field: "pressure_rating", Value: quantity.Format(p, quantity.SI), Reason: "is out of range",
		Accepted: "from " + quantity.FormatIn(low, quantity.BarDiff) + " to " + quantity.FormatIn(high, quantity.BarDiff),
	}}
}

func checkRange(r *Regulator) []sizing.Problem {
	if r.Least < 0 || r.Most < 0 || r.Most != 0 && r.Most < r.Least {
		return []sizing.Problem{{
			Field: "most_base_pressure", Value: quantity.Format(r.Most, quantity.SI), Reason: "lies below least_base_pressure or below zero",
			Accepted: "a pressure no lower than least_base_pressure, such as \"75 psi\"",
		}}
	}
	return nil
}

// Schema describes the lists: their files and the columns of each.
func Schema() string {
	var b strings.Builder
	b.WriteString(`A parts list is a CSV file: a header with the names of the columns, in any order,
then one line per part. Commas or semicolons stand between the fields, and a field
that holds one stands in "…". Text is UTF-8, with or without a byte order mark; lines
end with LF or CR LF. Lines before the header that begin with # are left out, and so
are lines of empty fields. Values carry their units in the text, as in a build sheet,
and decimals have a point. A folder holds one file of each kind, or leaves it out:
the build sheet's own part then stays.
`)
	describe(&b, &injectorList)
	describe(&b, &pumpList)
	describe(&b, &hoseList)
	describe(&b, &regulatorList)
	describe(&b, &filterList)
	return b.String()
}

func describe[T any](b *strings.Builder, l *list[T]) {
	fmt.Fprintf(b, "\n%s: %s\n", l.file, l.about)
	width := 0
	for _, c := range l.columns {
		width = max(width, len(c.name))
	}
	for _, c := range l.columns {
		need := " "
		if c.required {
			need = "*"
		}
		fmt.Fprintf(b, "  %-*s %s %s\n  %-*s     %s\n", width, c.name, need, c.about, width, "", c.example)
	}
	b.WriteString("  * has to be there and filled in\n")
}
