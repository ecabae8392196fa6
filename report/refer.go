package report

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/railbook/report/internal/layout"
)

// section refers to a section or an appendix by its number or letter: "section 3".
func (w *writer) section(title string) string {
	label := w.label[title]
	kind := "section"
	if label != "" && label[0] >= 'A' {
		kind = "appendix"
	}
	return layout.Link(kind+"-"+label, kind+" "+label)
}

// tableRef refers to a table by its number: "table 7".
func tableRef(n int) string {
	return layout.Link(fmt.Sprintf("table-%d", n), fmt.Sprintf("table %d", n))
}

// next refers to the table that comes next.
func (w *writer) next() string { return tableRef(w.doc.NextTable()) }

// after refers to the table that comes n behind the next.
func (w *writer) after(n int) string { return tableRef(w.doc.NextTable() + n) }

// figureRef refers to a figure by its number: "figure 2".
func figureRef(n int) string {
	return layout.Link(fmt.Sprintf("figure-%d", n), fmt.Sprintf("figure %d", n))
}

// capital gives the words of a link a capital at the start.
func capital(link string) string {
	plain := layout.Plain(link)
	return strings.Replace(link, "\ufdd1"+plain, "\ufdd1"+sentence(plain), 1)
}

// assumption refers to an assumption by its number, from 1: "A3".
func assumption(n int) string {
	return layout.Link("A-"+strconv.Itoa(n), "A"+strconv.Itoa(n))
}

// origin refers to where a field of the sheet is told of: the assumption that stands in
// for it, or else the input.
func (w *writer) origin(path string) string {
	if n, ok := w.assumed[path]; ok {
		return assumption(n)
	}
	if anchor, ok := w.inputs.anchor(path); ok {
		return layout.Link("input-"+anchor, path)
	}
	return path
}

// originTarget is the place that origin leads to; empty for none.
func (w *writer) originTarget(path string) string {
	if n, ok := w.assumed[path]; ok {
		return "A-" + strconv.Itoa(n)
	}
	if anchor, ok := w.inputs.anchor(path); ok {
		return "input-" + anchor
	}
	return ""
}
