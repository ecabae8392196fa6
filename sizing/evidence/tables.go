package evidence

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// PullTable shows the pulls of logs, in the units of sys.
func PullTable(sys quantity.System, logs ...*Log) sizing.Table {
	t := sizing.Table{
		Caption: "Pulls",
		Columns: columns("Pull", "Begins", "Speed", "Boost", "Ethanol", "Lambda", "Duty", "Greatest power", "Samples used"),
	}
	for name, p := range numbered(logs) {
		t.Rows = append(t.Rows, []string{
			name, quantity.FormatIn(p.Start, quantity.Second),
			quantity.Digits(p.LowSpeed.In(quantity.RPM), 4) + " to " + quantity.Format(p.HighSpeed, sys),
			orNone(p.Used > 0, quantity.Format(p.Boost, sys)), orNone(p.Used > 0, quantity.Format(p.Ethanol, sys)),
			orNone(p.Lambda > 0, quantity.Digits(float64(p.Lambda), 3)), orNone(p.MostDuty > 0, p.MostDuty.Percent(0)),
			orNone(p.PeakPower > 0, quantity.Format(p.PeakPower, sys)),
			fmt.Sprintf("%d of %d", p.Used, p.Samples()),
		})
	}
	return t
}

// ConsumptionTable shows the consumption of the pulls of logs with its standard
// uncertainty, and compares that at the greatest power with the band.
func ConsumptionTable(sys quantity.System, logs ...*Log) sizing.Table {
	t := sizing.Table{
		Caption: "BSFC in " + quantity.UnitSymbol[quantity.SpecificConsumption](sys) + " with its standard uncertainty, and the band of common practice",
		Columns: append(columns("Pull", "At the greatest power", "Mean", "Greatest", "Band", "Over its high end"), sizing.Column{Name: "With 95 %"}),
	}
	for name, p := range numbered(logs) {
		row := []string{name, uncertain(p.AtPeak, sys), uncertain(p.Average, sys), uncertain(p.Peak, sys), none, none, none}
		if f := p.Finding; f != nil {
			row[4] = bsfcDigits(f.Low, sys) + " to " + bsfcDigits(f.High, sys)
			row[5] = strings.Replace(fmt.Sprintf("%+.1f %%", 100*float64(f.Over)), "-", "−", 1)
			row[6] = string(f.Standing)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// AsideTable counts the samples of each pull that were set aside, by reason.
func AsideTable(logs ...*Log) sizing.Table {
	t := sizing.Table{Caption: "Samples set aside", Columns: columns("Pull", "Samples", "Used")}
	var reasons []Reason
	for _, r := range Reasons {
		for _, p := range numbered(logs) {
			if p.Aside[r] > 0 {
				reasons = append(reasons, r)
				t.Columns = append(t.Columns, sizing.Column{Name: string(r), Numeric: true})
				break
			}
		}
	}
	for name, p := range numbered(logs) {
		row := []string{name, strconv.Itoa(p.Samples()), strconv.Itoa(p.Used)}
		for _, r := range reasons {
			row = append(row, strconv.Itoa(p.Aside[r]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// ColumnTable shows how each column of a log was read, and what in it could not be.
func (l *Log) ColumnTable() sizing.Table {
	t := sizing.Table{
		Caption: "Columns of " + l.Name + " as read",
		Columns: []sizing.Column{{Name: "Quantity"}, {Name: "Column"}, {Name: "Unit"}, {Name: "Remark"},
			{Name: "Empty", Numeric: true}, {Name: "Not finite", Numeric: true}, {Name: "No number", Numeric: true}, {Name: "Out of range", Numeric: true}},
	}
	for _, b := range l.Columns {
		t.Rows = append(t.Rows, []string{
			strings.ReplaceAll(b.Channel, "_", " "), b.Column, b.Unit, b.Remark,
			strconv.Itoa(b.Missing), strconv.Itoa(b.NotFinite), strconv.Itoa(b.NotANumber), strconv.Itoa(b.OutOfRange),
		})
	}
	return t
}

// RejectedText says in a line which rows were left out, empty where none were.
func (l *Log) RejectedText() string {
	var list []string
	count := func(n, line int, what string) {
		if n == 0 {
			return
		}
		text := fmt.Sprintf("%d %s", n, what)
		if line > 0 {
			text += fmt.Sprintf(", the first in line %d", line)
		}
		list = append(list, text)
	}
	r := l.Rejected
	count(r.Ragged, r.Counts.First, "of another length than the header")
	count(r.NoTime, 0, "without a time")
	count(r.NotRising, r.First, "whose time does not rise")
	if r.Truncated {
		list = append(list, "the last, which is cut off")
	}
	text := ""
	if list != nil {
		text = "Rows left out: " + strings.Join(list, "; ") + "."
	}
	if r.Restarts > 0 {
		text = strings.TrimSpace(text + fmt.Sprintf(" Time begins anew %d times: logs joined end to end.", r.Restarts))
	}
	return text
}

// UncertaintyTable shows what the uncertainty of a pull's mean consumption is made of.
func (p Pull) UncertaintyTable(sys quantity.System) sizing.Table {
	t := sizing.Table{
		Caption: "Standard uncertainty of the mean consumption, " + uncertain(p.Average, sys) + " " + quantity.UnitSymbol[quantity.SpecificConsumption](sys),
		Columns: columns("Source", "Share of the consumption"),
	}
	if !p.Average.Measured() {
		t.Caption = "No consumption was measured"
		return t
	}
	t.Rows = append(t.Rows, []string{
		fmt.Sprintf("scatter of %d samples, %.0f of them independent (type A)", p.Scatter.Samples, p.Scatter.Effective),
		quantity.Ratio(p.Average.TypeA / p.Average.Value).Percent(2),
	})
	for _, c := range p.Instruments {
		t.Rows = append(t.Rows, []string{c.Source + " (type B)", c.Standard.Percent(2)})
	}
	t.Rows = append(t.Rows, []string{
		"combined, " + degreesText(p.Average.DF) + " degrees of freedom",
		quantity.Ratio(p.Average.Standard / p.Average.Value).Percent(2),
	})
	return t
}

// degreesText prints degrees of freedom for people.
func degreesText(d Degrees) string {
	if d > 1000 {
		return "over 1000"
	}
	return d.String()
}

// numbered hands out the pulls of logs with names: their number, and their log where
// there are several.
func numbered(logs []*Log) func(yield func(string, *Pull) bool) {
	return func(yield func(string, *Pull) bool) {
		for _, l := range logs {
			for i := range l.Pulls {
				name := strconv.Itoa(i + 1)
				if len(logs) > 1 {
					name = l.Name + " " + name
				}
				if !yield(name, &l.Pulls[i]) {
					return
				}
			}
		}
	}
}

func columns(names ...string) []sizing.Column {
	list := make([]sizing.Column, len(names))
	for i, n := range names {
		list[i] = sizing.Column{Name: n, Numeric: i > 0}
	}
	return list
}

// none stands where there is no value.
const none = "–"

func orNone(there bool, text string) string {
	if there {
		return text
	}
	return none
}

// uncertain prints a consumption with its standard uncertainty, without the unit.
func uncertain(c Consumption, sys quantity.System) string {
	if !c.Measured() {
		return none
	}
	return plusMinus(quantity.Number(c.Value, sys), quantity.Number(c.Standard, sys))
}

// plusMinus prints a value with an uncertainty of two digits, and the value to the same
// place (GUM 7.2.6).
func plusMinus(value, u float64) string {
	decimals := 0
	if u > 0 && !math.IsInf(u, 0) {
		// Rounded first: 0.0995 has two digits as 0.10.
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(u, 'e', 1, 64), 64)
		decimals = min(max(0, 1-int(math.Floor(math.Log10(rounded)))), 8)
	}
	return strconv.FormatFloat(value, 'f', decimals, 64) + " ± " + strconv.FormatFloat(u, 'f', decimals, 64)
}

func bsfcDigits(c quantity.SpecificConsumption, sys quantity.System) string {
	return quantity.Digits(quantity.Number(c, sys), 3)
}
