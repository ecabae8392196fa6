package sizing

import (
	"strings"
	"unicode/utf8"
)

// Text sets the table for a terminal of fixed-width letters, its caption first.
func (t Table) Text() string {
	widths := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		widths[i] = utf8.RuneCountInString(c.Name)
		for _, row := range t.Rows {
			widths[i] = max(widths[i], utf8.RuneCountInString(row[i]))
		}
	}
	var b strings.Builder
	line := func(cell func(i int) string) {
		var l strings.Builder
		for i, c := range t.Columns {
			text := cell(i)
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(text))
			if i > 0 {
				l.WriteString("  ")
			}
			if c.Numeric {
				l.WriteString(pad + text)
			} else {
				l.WriteString(text + pad)
			}
		}
		b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
	}
	b.WriteString(t.Caption + "\n")
	line(func(i int) string { return t.Columns[i].Name })
	line(func(i int) string { return strings.Repeat("-", widths[i]) })
	for _, row := range t.Rows {
		line(func(i int) string { return row[i] })
	}
	return b.String()
}
