package report

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/results"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// join joins the parts that are not empty.
func join(separator string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return strings.TrimSpace(s) == "" }), separator)
}

// sentence returns text with a capital at the start.
func sentence(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	if n == 0 || first == utf8.RuneError {
		return text
	}
	return string(unicode.ToUpper(first)) + text[n:]
}

// tie makes text ready for print: no line is broken between a number and its unit
// or a status and its sign, a number below zero has a minus sign, not a hyphen,
// and an apostrophe is one.
func tie(text string) string {
	words := strings.Split(text, " ")
	var b strings.Builder
	for i, w := range words {
		w = apostrophes.ReplaceAllString(w, "$1’")
		if number := strings.TrimPrefix(w, "-"); number != w && number != "" && number[0] >= '0' && number[0] <= '9' {
			w = "−" + number
		}
		if i > 0 {
			last, _ := utf8.DecodeLastRuneInString(words[i-1])
			if unicode.IsDigit(last) && results.Units[strings.TrimRight(w, ".,;:)")] || strings.ContainsAny(words[i-1], "●◐○") {
				b.WriteRune(layout.Tie)
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(w)
	}
	return b.String()
}

var apostrophes = regexp.MustCompile(`(\pL)'`)

// text writes paragraphs in the type of the body.
func (w *writer) text(text string) { w.doc.Text(tie(text), layout.Body) }

// table writes one of the assessment's tables. Rows that fall short are tinted,
// besides the word and the sign that their status has.
func (w *writer) table(t sizing.Table) int {
	table := layout.Table{Caption: tie(t.Caption)}
	for i, c := range t.Columns {
		column := layout.Column{Name: c.Name}
		if c.Numeric {
			column.Align = layout.Right
		}
		column.Strong = i == 0 && t.Status != nil
		table.Columns = append(table.Columns, column)
	}
	for i, cells := range t.Rows {
		tied := make([]string, len(cells))
		for k, c := range cells {
			tied[k] = tie(c)
		}
		tied[0] = sentence(tied[0])
		table.Rows = append(table.Rows, tied)
		table.Tinted = append(table.Tinted, i < len(t.Status) && t.Status[i] != sizing.Carries)
	}
	return w.put(table)
}

// format prints a quantity in the report's units.
func format[Q quantity.Quantity](w *writer, q Q) string { return quantity.Format(q, w.sys) }

// list joins words with commas and a last "and".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// plural returns one or many after a number: "1 warning", "2 warnings".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return quantity.Digits(float64(n), 3) + " " + many
}
