package markup

import (
	"strings"
	"unicode/utf8"

	"example.com/railbook/sizing"
)

// TextTable returns a table for a terminal: columns in line, two spaces apart,
// numbers flush right, a rule under the heads.
func TextTable(t sizing.Table) string {
	widths := make([]int, len(t.Columns))
	heads := make([]string, len(t.Columns))
	for j, c := range t.Columns {
		heads[j] = c.Name
		widths[j] = utf8.RuneCountInString(c.Name)
		for _, row := range t.Rows {
			if j < len(row) {
				widths[j] = max(widths[j], utf8.RuneCountInString(row[j]))
			}
		}
	}
	var b strings.Builder
	line := func(cells []string) {
		var l strings.Builder
		for j, text := range cells {
			if j >= len(widths) {
				break
			}
			gap := strings.Repeat(" ", widths[j]-utf8.RuneCountInString(text))
			if t.Columns[j].Numeric {
				l.WriteString(gap + text + "  ")
			} else {
				l.WriteString(text + gap + "  ")
			}
		}
		b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
	}
	if t.Caption != "" {
		b.WriteString(t.Caption + "\n\n")
	}
	line(heads)
	total := 2 * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	b.WriteString(strings.Repeat("─", max(total, 0)) + "\n")
	for _, row := range t.Rows {
		line(row)
	}
	return b.String()
}
