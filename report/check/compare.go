package check

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/report"
	"example.com/railbook/report/results"
)

// entry is a text of the results with the place it has in them.
type entry struct{ place, text string }

// entries lists all texts of results that are printed.
func entries(r results.Results) []entry {
	list := []entry{
		{"name", r.Report.Name}, {"reference", r.Report.Reference}, {"revision", r.Report.Revision},
		{"date", r.Report.Date}, {"units", r.Report.Units}, {"status", r.Status}, {"verdict", r.Verdict},
	}
	for _, t := range r.Tables {
		table := fmt.Sprintf("table %q", t.Caption)
		for _, row := range t.Rows {
			name := ""
			if len(row.Cells) > 0 {
				name = row.Cells[0].Text
			}
			for i, c := range row.Cells {
				column := ""
				if i < len(t.Columns) {
					column = t.Columns[i]
				}
				list = append(list, entry{fmt.Sprintf("%s, row %d %.60q, %q", table, row.Number, name, column), c.Text + numbers(c)})
			}
		}
	}
	for _, s := range r.Working {
		list = append(list, entry{fmt.Sprintf("step W%d %q", s.Number, s.Title), strings.Join([]string{s.Formula, s.Put, s.Result.Text + numbers(s.Result), s.Source}, " | ")})
	}
	return list
}

// numbers writes the numbers of a cell behind its text, so that they are compared too.
func numbers(c results.Cell) string {
	var b strings.Builder
	for _, n := range c.Numbers {
		fmt.Fprintf(&b, " [%s %s]", n.Value, n.Unit)
	}
	return b.String()
}

// compare holds the results attached against those made again, and what the pages print
// against both.
func (r *run) compare() {
	found, made := entries(r.found), entries(r.made.Results)
	differ := textDifferences(found, made)
	differ = append(differ, valueDifferences(r.found.Assessment, r.made.Results.Assessment)...)
	printed, err := printedPages(r.read)
	if err != nil {
		r.add("printed", Fails, "the pages cannot be read: %s", oneLine(err.Error()))
		return
	}
	foundPrinted, madePrinted := printed.holds(r.found), printed.holds(r.made.Results)
	if len(differ) == 0 {
		r.add("results", Holds, "%s follows from %s: %d texts and every digit behind them agree", report.ResultsName, report.SheetName, len(found))
	} else {
		r.add("results", Fails, "%s; %s: %s", r.blame(foundPrinted == nil, madePrinted == nil), differences(len(differ)), oneLine(differ[0]))
	}
	if foundPrinted == nil {
		cells := 0
		for _, t := range r.found.Tables {
			for _, row := range t.Rows {
				cells += len(row.Cells)
			}
		}
		r.add("printed", Holds, "the pages print %d tables of %d cells and %d steps of working as %s has them", len(r.found.Tables), cells, len(r.found.Working), report.ResultsName)
	} else {
		r.add("printed", Fails, "the pages do not print what %s has: %s", report.ResultsName, oneLine(foundPrinted.Error()))
	}
}

// blame says which of sheet and results is not that of the report, by which of them its
// pages agree with.
func (r *run) blame(foundPrinted, madePrinted bool) string {
	text := fmt.Sprintf("%s does not follow from %s", report.ResultsName, report.SheetName)
	switch {
	case !r.sameVersion():
		return text + " by this version"
	case foundPrinted && !madePrinted:
		return fmt.Sprintf("%s is not the sheet of this report, whose pages agree with %s", report.SheetName, report.ResultsName)
	case madePrinted && !foundPrinted:
		return fmt.Sprintf("%s is not that of this report, whose pages agree with %s", report.ResultsName, report.SheetName)
	}
	return text
}

// differences counts them.
func differences(n int) string {
	if n == 1 {
		return "one difference"
	}
	return fmt.Sprintf("%d differences, such as", n)
}

// textDifferences lists where the texts of two results differ.
func textDifferences(found, made []entry) []string {
	want := map[string]string{}
	for _, e := range made {
		want[e.place] = e.text
	}
	var list []string
	seen := map[string]bool{}
	for _, e := range found {
		text, ok := want[e.place]
		switch {
		case seen[e.place]:
			list = append(list, fmt.Sprintf("%s twice", e.place))
		case !ok:
			list = append(list, fmt.Sprintf("%s is %.80q, which made again is not there", e.place, e.text))
		case text != e.text:
			list = append(list, fmt.Sprintf("%s is %.80q, made again %.80q", e.place, e.text, text))
		}
		seen[e.place] = true
	}
	for _, e := range made {
		if !seen[e.place] {
			list = append(list, fmt.Sprintf("%s is missing, made again it is %.80q", e.place, e.text))
		}
	}
	return list
}

// valueDifferences lists where two assessments in JSON differ by more than another kind
// of processor would make them.
func valueDifferences(found, made json.RawMessage) []string {
	var a, b any
	if json.Unmarshal(found, &a) != nil || json.Unmarshal(made, &b) != nil {
		return []string{"the assessment cannot be read"}
	}
	var list []string
	var walk func(path string, a, b any)
	walk = func(path string, a, b any) {
		switch x := a.(type) {
		case map[string]any:
			y, ok := b.(map[string]any)
			if !ok {
				break
			}
			keys := maps.Clone(x)
			maps.Copy(keys, y)
			for _, k := range slices.Sorted(maps.Keys(keys)) {
				walk(path+"."+k, x[k], y[k])
			}
			return
		case []any:
			y, ok := b.([]any)
			if !ok || len(x) != len(y) {
				break
			}
			for i := range x {
				walk(path+"["+strconv.Itoa(i+1)+"]", x[i], y[i])
			}
			return
		default:
			if sameValue(a, b) {
				return
			}
		}
		list = append(list, fmt.Sprintf("%s is %.80q, made again %.80q", path, fmt.Sprint(a), fmt.Sprint(b)))
	}
	walk("assessment", a, b)
	return list
}

// sameValue reports whether two values are the same but for the last digits of a number.
func sameValue(a, b any) bool {
	const tolerance = 1e-9
	near := func(x, y float64) bool { return math.Abs(x-y) <= tolerance*max(math.Abs(x), math.Abs(y)) }
	switch x := a.(type) {
	case float64:
		y, ok := b.(float64)
		return ok && near(x, y)
	case string:
		y, ok := b.(string)
		if !ok || x == y {
			return ok
		}
		xs, ys := strings.Fields(x), strings.Fields(y)
		if len(xs) != len(ys) {
			return false
		}
		for i := range xs {
			m, err := strconv.ParseFloat(xs[i], 64)
			n, err2 := strconv.ParseFloat(ys[i], 64)
			if xs[i] != ys[i] && (err != nil || err2 != nil || !near(m, n)) {
				return false
			}
		}
		return true
	}
	return a == b
}
