package main

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
)

// How many values of an axis a table on the terminal shows: down, and across where that is
// an axis.
const (
	mostDown   = 48
	mostAcross = 10
)

// none stands in a table where there is no number.
const none = "–"

// print prints the sweep as tables, thinned to what can be read.
func (j *sweepJob) print(ctx context.Context) error {
	n := len(j.plan.Axes)
	if n > 2 {
		return fmt.Errorf("a sweep of %d axes makes no table to read; give --out FILE.csv, --chart FILE.html or --json", n)
	}
	thinned := thin(&j.plan.Axes[0], mostDown)
	if n == 2 {
		thinned += thin(&j.plan.Axes[1], mostAcross)
	}
	var err error
	if j.table, err = export.TableOf(j.build, j.plan); err != nil {
		return err
	}
	g, err := sweep.Keep(ctx, j.build, j.plan)
	if err != nil {
		return err
	}
	err = export.FromGrid(g, func(b *sweep.Block) error { j.gaps.Count(j.table, b); return nil })
	if err != nil {
		return err
	}
	var tables []sizing.Table
	if n == 1 {
		tables = []sizing.Table{j.lineTable(g)}
	} else {
		for _, r := range j.plan.Results {
			tables = append(tables, j.matrix(g, r))
		}
	}
	out := &printer{w: j.stdout}
	out.print("%s\n", j.build.Job.Name)
	for _, t := range tables {
		out.print("\n%s", t.Text())
	}
	if thinned != "" {
		out.print("\n%s--out FILE.csv writes all %s points.\n", thinned, thousands(j.points))
	}
	if text := j.gapText(); text != "" {
		out.print("\n%s: %s", none, text)
	}
	out.print("\n%s\n", caution)
	return out.err
}

// thin leaves every so many values of an axis, so that at most about most of them are
// left, and says so.
func thin(a *sweep.Axis, most int) string {
	n := len(a.Values)
	if n <= most {
		return ""
	}
	step := (n + most - 1) / most
	// A step that ends on the last value is worth a few values less.
	for s := step; s <= step+2; s++ {
		if (n-1)%s == 0 {
			step = s
			break
		}
	}
	var kept []float64
	for i := 0; i < n; i += step {
		kept = append(kept, a.Values[i])
	}
	a.Values = kept
	return fmt.Sprintf("Of %s every %s value is shown. ", a.Field, ordinal(step))
}

func ordinal(n int) string {
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			return strconv.Itoa(n) + "st"
		case 2:
			return strconv.Itoa(n) + "nd"
		case 3:
			return strconv.Itoa(n) + "rd"
		}
	}
	return strconv.Itoa(n) + "th"
}

// lineTable has a row for every value of the one axis.
func (j *sweepJob) lineTable(g *sweep.Grid) sizing.Table {
	a := g.Axes[0]
	t := sizing.Table{
		Caption: "Sweep over " + a.Field + j.limits(j.plan.Results),
		Columns: []sizing.Column{{Name: capital(j.table.Axes[0].Title()), Numeric: true}},
	}
	columns := [][]string{cells(a.Values)}
	for c, r := range g.Results {
		t.Columns = append(t.Columns, sizing.Column{Name: capital(j.table.Results[c].Title()), Numeric: true})
		columns = append(columns, cells(g.Column(r)))
	}
	for i := range a.Values {
		var row []string
		for _, column := range columns {
			row = append(row, column[i])
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// matrix shows one result over two axes: the first down, the second across.
func (j *sweepJob) matrix(g *sweep.Grid, r sweep.Result) sizing.Table {
	down, across := g.Axes[0], g.Axes[1]
	title := export.Column{Name: r.Name, Unit: r.Unit(j.build.Job.Units)}.Title()
	t := sizing.Table{
		Caption: fmt.Sprintf("%s: %s down, %s across%s", capital(title), j.table.Axes[0].Title(), j.table.Axes[1].Title(), j.limits([]sweep.Result{r})),
		Columns: []sizing.Column{{Name: j.table.Axes[0].Title(), Numeric: true}},
	}
	for _, text := range cells(across.Values) {
		t.Columns = append(t.Columns, sizing.Column{Name: text, Numeric: true})
	}
	numbers := cells(g.Column(r))
	for i, text := range cells(down.Values) {
		t.Rows = append(t.Rows, append([]string{text}, numbers[i*len(across.Values):(i+1)*len(across.Values)]...))
	}
	return t
}

// limits says where results have their limits, once for each label.
func (j *sweepJob) limits(results []sweep.Result) string {
	var list []string
	for _, r := range results {
		v, label, ok := r.Limit(j.build)
		if !ok {
			continue
		}
		if unit := r.Unit(j.build.Job.Units); !strings.Contains(label, unit) {
			label += fmt.Sprintf(" at %s %s", quantity.Digits(v, 4), unit)
		}
		list = append(list, label)
	}
	if list == nil {
		return ""
	}
	return "\n(" + strings.Join(list, "; ") + ")"
}

// cells prints numbers that stand below each other with as many decimals as the greatest
// needs for four digits, but none that all lack.
func cells(numbers []float64) []string {
	most := 0.0
	for _, v := range numbers {
		if number(v) {
			most = max(most, math.Abs(v))
		}
	}
	decimals := 0
	if most > 0 {
		decimals = min(max(0, 3-int(math.Floor(math.Log10(most)))), 8)
	}
	list := make([]string, len(numbers))
	spare := decimals
	for i, v := range numbers {
		switch {
		case math.IsNaN(v):
			list[i] = none
		case math.IsInf(v, 1):
			list[i] = "∞"
		case math.IsInf(v, -1):
			list[i] = "-∞"
		default:
			list[i] = strconv.FormatFloat(v, 'f', decimals, 64)
			spare = min(spare, len(list[i])-len(strings.TrimRight(list[i], "0")))
		}
	}
	for i, text := range list {
		if spare > 0 && number(numbers[i]) {
			list[i] = strings.TrimSuffix(text[:len(text)-spare], ".")
		}
	}
	return list
}

// number reports whether v is a finite number.
func number(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
