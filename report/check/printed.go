package check

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/results"
)

// print is what the pages of a report print: every line of every cell, in the order it
// is drawn, without white space.
type print struct {
	lines []line
}

// line is one piece of text on a page.
type line struct {
	text  string
	page  int  // from 1
	first bool // on its page
}

// number is the piece of text that numbers a page. It is drawn last, behind the foot.
var number = regexp.MustCompile(`^Page\d+of\d+$`)

// mostPrinted is how many bytes all pages may hold together, unpacked. A page has some ten
// thousand; pages without end may share what they hold.
const mostPrinted = 64 << 20

// printedPages reads the pages without their feet.
func printedPages(f *pdffile.File) (print, error) {
	pages, err := f.Pages()
	if err != nil {
		return print{}, err
	}
	var p print
	read := 0
	for i, page := range pages {
		content, err := f.Content(page)
		if err != nil {
			return print{}, err
		}
		if read += len(content); read > mostPrinted {
			return print{}, fmt.Errorf("%w: the pages hold more than %d bytes", pdffile.ErrSize, mostPrinted)
		}
		pieces, err := pdftext.Texts(content)
		if err != nil {
			return print{}, err
		}
		n := len(pieces)
		if n > 0 && number.MatchString(squeeze(pieces[n-1])) {
			n = max(0, n-2)
		}
		first := true
		for _, piece := range pieces[:n] {
			if text := squeeze(piece); text != "" {
				p.lines = append(p.lines, line{text, i + 1, first})
				first = false
			}
		}
	}
	return p, nil
}

// holds returns nil where the pages print the tables and the working of the results, row
// by row and in order, with nothing in between but the heads of tables that run over a
// page; and the verdict.
func (p print) holds(r results.Results) error {
	m := matcher{lines: p.lines}
	if !m.contains(squeeze(r.Verdict)) {
		return fmt.Errorf("the verdict %.80q", r.Verdict)
	}
	for _, t := range r.Tables {
		if err := m.table(t); err != nil {
			return err
		}
	}
	m.at = 0 // the working stands between tables
	for _, s := range r.Working {
		if err := m.step(s); err != nil {
			return err
		}
	}
	return nil
}

// matcher follows what is wanted through what is printed.
type matcher struct {
	lines []line
	at    int
}

// contains reports whether a text is printed in consecutive pieces.
func (m *matcher) contains(text string) bool {
	for i := range m.lines {
		if at := (matcher{m.lines, i}); text == "" || at.run(text) {
			return true
		}
	}
	return false
}

// run goes past a text that is printed next, in one piece or more, and reports whether
// it is.
func (m *matcher) run(text string) bool {
	i := m.at
	for text != "" && i < len(m.lines) {
		rest, ok := strings.CutPrefix(text, m.lines[i].text)
		if !ok {
			return false
		}
		text = rest
		i++
	}
	if text != "" {
		return false
	}
	m.at = i
	return true
}

// table finds a table by its caption and follows it to its end.
func (m *matcher) table(t results.Table) error {
	caption := squeeze(fmt.Sprintf("Table %d. %s", t.Number, t.Caption))
	for ; ; m.at++ {
		if m.at == len(m.lines) {
			return fmt.Errorf("table %d, %.80q, is not printed", t.Number, t.Caption)
		}
		if m.run(caption) {
			break
		}
	}
	var head strings.Builder
	for _, c := range t.Columns {
		head.WriteString(squeeze(c))
	}
	m.run(head.String())
	for _, r := range t.Rows {
		cells := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			cells[i] = squeeze(c.Text)
		}
		if !m.row(cells, head.String()) {
			return fmt.Errorf("table %d, row %d: %s in place of %.80q", t.Number, r.Number, m.here(), strings.Join(cells, " | "))
		}
	}
	return nil
}

// step follows a step of the working, from wherever it begins.
func (m *matcher) step(s results.Step) error {
	mark := fmt.Sprintf("W%d", s.Number)
	cells := []string{mark, squeeze(s.Title) + squeeze(s.Source), squeeze(s.Formula) + squeeze(s.Put), squeeze(s.Result.Text)}
	for ; m.at < len(m.lines); m.at++ {
		if m.lines[m.at].text != mark {
			continue
		}
		if at := *m; at.row(cells, "") {
			*m = at
			return nil
		}
		return fmt.Errorf("step %s: %s in place of %.120q", mark, m.here(), strings.Join(cells, " | "))
	}
	return fmt.Errorf("step %s, %.80q, is not printed", mark, s.Title)
}

// row goes past a row of cells. A row that is too high for one piece is drawn in several,
// of which each has the next lines of every cell; a new page may begin with a head.
func (m *matcher) row(cells []string, head string) bool {
	rest := slices.DeleteFunc(slices.Clone(cells), func(s string) bool { return s == "" })
	for len(rest) > 0 {
		if m.at < len(m.lines) && m.lines[m.at].first && head != "" {
			at := *m
			if at.run(head) {
				*m = at
			}
		}
		for i := range rest {
			before := m.at
			for rest[i] != "" && m.at < len(m.lines) {
				next, ok := strings.CutPrefix(rest[i], m.lines[m.at].text)
				if !ok {
					break
				}
				rest[i] = next
				m.at++
			}
			if m.at == before {
				return false
			}
		}
		rest = slices.DeleteFunc(rest, func(s string) bool { return s == "" })
	}
	return true
}

// here says what is printed at the place that was reached.
func (m *matcher) here() string {
	if m.at >= len(m.lines) {
		return "the end of the report"
	}
	var next []string
	for i := m.at; i < min(m.at+4, len(m.lines)); i++ {
		next = append(next, m.lines[i].text)
	}
	return fmt.Sprintf("page %d prints %.120q", m.lines[m.at].page, strings.Join(next, " | "))
}
