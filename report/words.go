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

// sentence returns text with a capital at the start. A path of the build sheet there is
// left as it is.
func sentence(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	word, _, _ := strings.Cut(text, " ")
	if n == 0 || first == utf8.RuneError || sheetPath.MatchString(word) {
		return text
	}
	return string(unicode.ToUpper(first)) + text[n:]
}

// sheetPath is a path of the build sheet, such as pumps[1].wear.
var sheetPath = regexp.MustCompile(`^[a-z_]+(\[\d+\])?(\.[a-z_]+(\[\d+\])?)+$`)

// tie makes text ready for print: no line is broken between a number and its unit
// or a status and its sign, a number below zero has a minus sign, not a hyphen, an
// apostrophe is one, and words in backticks stand in quotation marks. Links may be in
// it.
func tie(text string) string {
	if strings.Contains(text, "`") {
		text = commands.ReplaceAllString(text, "“$1”")
	}
	words := strings.Split(text, " ")
	var b strings.Builder
	before := ""
	for i, w := range words {
		if strings.ContainsAny(w, "'-") {
			w = apostrophes.ReplaceAllString(w, "$1’")
			w = negatives.ReplaceAllString(w, "$1−$2")
			if strings.HasPrefix(w, "(-") && i+1 < len(words) && isUnit(unmarked(words[i+1])) {
				w = "(−" + w[len("(-"):]
			}
		}
		plain := unmarked(w)
		if i > 0 {
			last, _ := utf8.DecodeLastRuneInString(before)
			if unicode.IsDigit(last) && isUnit(plain) || strings.ContainsAny(before, "●◐○") {
				b.WriteRune(layout.Tie)
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(w)
		before = plain
	}
	return b.String()
}

var (
	commands    = regexp.MustCompile("`([^`]+)`")
	apostrophes = regexp.MustCompile(`(\pL)'`)
	// negatives are numbers below zero, behind the mark of a link. In brackets a hyphen may
	// be that of a dash size.
	negatives = regexp.MustCompile(`^((?:[^-]*\x{fdd1})?)-(\d)`)
	// marks are what links are marked with; see package layout.
	marks = regexp.MustCompile(`\x{fdd0}[^\x{fdd1}\x{fdd2}]*\x{fdd1}?|\x{fdd2}`)
)

// unmarked is a word without the parts of a link's mark that it holds.
func unmarked(word string) string {
	if !strings.ContainsAny(word, "\ufdd0\ufdd2") {
		return word
	}
	return marks.ReplaceAllString(word, "")
}

// isUnit reports whether a word is a unit, with marks that may follow it.
func isUnit(word string) bool {
	return results.Units[word] || results.Units[strings.TrimRight(word, ".,;:)")] || results.Units[strings.TrimRight(word, ".,;:")]
}

// text writes paragraphs in the type of the body.
func (w *writer) text(text string) { w.doc.Text(tie(text), layout.Body) }

// lead writes a paragraph that stays on the page of what follows it.
func (w *writer) lead(text string) { w.doc.Lead(tie(text), layout.Body) }

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
