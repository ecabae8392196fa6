package report

import (
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/results"
	"example.com/railbook/sizing"
)

// put adds a table to the document, and to the results as it is printed.
func (w *writer) put(t layout.Table) int {
	t.Columns = slices.Clone(t.Columns)
	for i := range t.Columns {
		if c := &t.Columns[i]; c.Share == 0 && c.Align == layout.Left && longestWord(t, i) > longWord {
			c.Share = longShare
		}
	}
	number := w.doc.Table(t)
	record := results.Table{Number: number, Section: w.label[w.title], Title: w.title, Caption: loose(t.Caption)}
	for _, c := range t.Columns {
		record.Columns = append(record.Columns, c.Name)
	}
	for i, cells := range t.Rows {
		row := results.Row{Number: i + 1}
		for k := range t.Columns {
			text := ""
			if k < len(cells) {
				text = loose(cells[k])
			}
			row.Cells = append(row.Cells, results.MakeCell(text))
		}
		record.Rows = append(record.Rows, row)
	}
	w.tables = append(w.tables, record)
	return number
}

// A column with a word longer than longWord, such as the name of a part without a space,
// has a share of the width of its own, so that it does not take that of the numbers.
const (
	longWord  = 26
	longShare = 0.32
)

// longestWord is the length of the longest word in a column.
func longestWord(t layout.Table, column int) int {
	longest := 0
	for _, row := range t.Rows {
		if column < len(row) {
			for _, word := range strings.Fields(loose(row[column])) {
				longest = max(longest, utf8.RuneCountInString(word))
			}
		}
	}
	return longest
}

// step records a step of the working as it is printed: what is put in with where it comes
// from, and the source with the numbers of the works that it names.
func (w *writer) step(s sizing.Step, put, source string) {
	record := results.Step{
		Number: len(w.steps) + 1, Section: w.label[w.title],
		Title: loose(tie(s.Title)), Formula: loose(tie(s.Formula)), Put: loose(put), Result: results.MakeCell(loose(tie(s.Result))), Source: loose(source),
	}
	for _, o := range s.Origins {
		from := results.Origin{Text: loose(tie(s.Numbers[o.Start:o.End])), Field: o.Field, Step: o.Step}
		if n, ok := w.assumed[o.Field]; ok {
			from.Assumption = n
		}
		record.Origins = append(record.Origins, from)
	}
	w.steps = append(w.steps, record)
}

// loose is text as printed, without links and its ties plain spaces.
func loose(text string) string {
	return strings.ReplaceAll(layout.Plain(text), string(layout.Tie), " ")
}
