// Package markup writes tables, notes and verdicts as HTML for notebooks and as
// text for terminals. All text is escaped.
//
// The classes are those that the stylesheet of package page knows: rb-table with
// rb-num and rb-status, rb-note, rb-caution, rb-verdict.
package markup

import (
	"html"
	"strings"

	"example.com/railbook/sizing"
)

// Table returns a table as an HTML table element. The first column heads its
// rows, numbers stand flush right, and the cell that tells a row's status has
// the class of the status besides its sign and word.
func Table(t sizing.Table) string {
	var b strings.Builder
	b.WriteString(`<table class="rb-table">`)
	if t.Caption != "" {
		b.WriteString("<caption>" + html.EscapeString(t.Caption) + "</caption>")
	}
	b.WriteString("\n<thead><tr>")
	for _, c := range t.Columns {
		switch {
		case c.Name == "":
			b.WriteString(`<th scope="col" aria-label="Remark"></th>`)
		case c.Numeric:
			b.WriteString(`<th scope="col" class="rb-num">` + html.EscapeString(c.Name) + "</th>")
		default:
			b.WriteString(`<th scope="col">` + html.EscapeString(c.Name) + "</th>")
		}
	}
	b.WriteString("</tr></thead>\n<tbody>\n")
	for i, row := range t.Rows {
		b.WriteString("<tr>")
		for j, text := range row {
			cell := html.EscapeString(text)
			if i < len(t.Status) && text == statusText(t.Status[i]) {
				cell = `<span class="rb-status rb-` + t.Status[i].String() + `">` + cell + "</span>"
			}
			switch {
			case j == 0:
				b.WriteString(`<th scope="row">` + cell + "</th>")
			case j < len(t.Columns) && t.Columns[j].Numeric:
				b.WriteString(`<td class="rb-num">` + cell + "</td>")
			default:
				b.WriteString("<td>" + cell + "</td>")
			}
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody></table>")
	return b.String()
}

// statusText is how a cell tells a status.
func statusText(s sizing.Status) string { return s.Symbol() + " " + s.String() }
