package report

import (
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/results"
)

// put adds a table to the document, and to the results as it is printed.
func (w *writer) put(t layout.Table) int {
	number := w.doc.Table(t)
	record := results.Table{Number: number, Section: w.number[w.title], Title: w.title, Caption: loose(t.Caption)}
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

// step records a step of the working as it is printed.
func (w *writer) step(title, formula, put, result, source string) {
	w.steps = append(w.steps, results.Step{
		Number: len(w.steps) + 1, Section: w.number[w.title],
		Title: loose(title), Formula: loose(formula), Put: loose(put), Result: results.MakeCell(loose(result)), Source: loose(source),
	})
}

// loose is text as printed, its ties plain spaces.
func loose(text string) string { return strings.ReplaceAll(text, string(layout.Tie), " ") }
