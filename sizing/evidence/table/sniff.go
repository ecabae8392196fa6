package table

import (
	"bytes"
	"fmt"
	"strings"
)

// previewSize is how much of a text is looked at to find what it is like.
const previewSize = 64 << 10

// mostPreamble is how many lines before the header are kept.
const mostPreamble = 20

// row is a row of the preview.
type row struct {
	line  int
	cells []string
}

// layout is the preview cut by one delimiter.
type layout struct {
	delimiter byte
	rows      []row // without empty lines
	width     int   // cells of most rows
	numeric   float64
}

// sniff finds what a text is like from its beginning, and the line of its first row of
// numbers. all tells that the beginning is all of it.
func sniff(text []byte, all bool, o Options) (Shape, []Column, int, error) {
	s := Shape{Delimiter: o.Delimiter, Decimal: o.Decimal, Header: o.Header, Units: o.Units, LineEnd: lineEnd(text)}
	l, err := lay(text, all, s, o)
	if err != nil {
		return s, nil, 0, err
	}
	s.Delimiter = l.delimiter
	first := l.firstData(o)
	if first == len(l.rows) {
		return s, nil, 0, fmt.Errorf("%w: no two rows of numbers in the first %d lines; want a header and rows with commas, semicolons or tabs between the cells", ErrNoTable, len(l.rows))
	}
	if s.Decimal == 0 {
		if s.Decimal, err = l.decimal(first); err != nil {
			return s, nil, 0, err
		}
	}
	names, units, err := l.head(first, &s)
	if err != nil {
		return s, nil, 0, err
	}
	head := l.rows[first].line
	if s.Header != None {
		head = s.Header
	}
	for _, r := range l.rows {
		if r.line >= head || len(s.Preamble) == mostPreamble {
			break
		}
		s.Preamble = append(s.Preamble, strings.Join(r.cells, string(rune(s.Delimiter))))
	}
	if names == nil {
		for i := range l.rows[first].width() {
			names = append(names, fmt.Sprintf("column %d", i+1))
		}
	}
	return s, columnsOf(names, units), l.rows[first].line, nil
}

// lineEnd finds how lines end.
func lineEnd(text []byte) string {
	lf := bytes.IndexByte(text, '\n')
	switch {
	case lf < 0 && bytes.IndexByte(text, '\r') >= 0:
		return "CR"
	case lf > 0 && text[lf-1] == '\r':
		return "CRLF"
	}
	return "LF"
}

func (s Shape) eol() byte {
	if s.LineEnd == "CR" {
		return '\r'
	}
	return '\n'
}

// lay cuts the text by each delimiter and keeps the cut that makes most of the cells
// numbers in rows of the same width.
func lay(text []byte, all bool, s Shape, o Options) (layout, error) {
	tried := []byte{',', ';', '\t'}
	if o.Delimiter != 0 {
		tried = []byte{o.Delimiter}
	}
	var best layout
	for _, d := range tried {
		l := cut(text, all, d, s.eol())
		if l.width >= 2 && (l.numeric > best.numeric || l.numeric == best.numeric && l.width > best.width) {
			best = l
		}
	}
	if best.width < 2 {
		return layout{}, fmt.Errorf("%w: no rows of two cells or more; want commas, semicolons or tabs between the cells", ErrNoTable)
	}
	return best, nil
}

func cut(text []byte, all bool, delimiter, eol byte) layout {
	l := layout{delimiter: delimiter}
	sc := newScanner(bytes.NewReader(text), len(text)+1)
	sc.delimiter, sc.eol = delimiter, eol
	for sc.next() {
		if !all && !sc.whole {
			break // cut off by the preview's end
		}
		r := row{line: sc.line}
		for _, c := range sc.cells {
			r.cells = append(r.cells, strings.TrimSpace(readable(c)))
		}
		if len(r.cells) > 1 || r.cells[0] != "" {
			l.rows = append(l.rows, r)
		}
	}
	// The width of most rows, and how many of their cells are numbers. Headers are a
	// few rows among many; where they are not, the later rows tell.
	counts := map[int]int{}
	later := l.rows[len(l.rows)/4:]
	for _, r := range later {
		w := r.width()
		counts[w]++
		if n := counts[w]; n > counts[l.width] || n == counts[l.width] && w > l.width {
			l.width = w
		}
	}
	cells, numbers := 0, 0
	for _, r := range later {
		n, m := r.numbers()
		if r.width() == l.width {
			numbers += n
		}
		cells += m
	}
	if cells > 0 {
		l.numeric = float64(numbers) / float64(cells)
	}
	return l
}

// width is the number of cells, one trailing empty one not counted.
func (r row) width() int {
	n := len(r.cells)
	if n > 1 && r.cells[n-1] == "" {
		n--
	}
	return n
}

// numbers counts the cells that look like a number or a time, and all that hold
// anything.
func (r row) numbers() (numbers, filled int) {
	for _, c := range r.cells {
		switch kindOf(c) {
		case Number, NotFinite:
			numbers++
			filled++
		case NotANumber:
			filled++
		}
	}
	return numbers, filled
}

// kindOf is the kind of a cell whatever its decimal mark; a time is a number, too.
func kindOf(cell string) Kind {
	b := []byte(cell)
	for _, decimal := range []byte{'.', ','} {
		if _, kind := parse(b, decimal); kind != NotANumber {
			return kind
		}
	}
	_, kind := clock(b)
	return kind
}

// isData reports whether a row is one of numbers.
func (l layout) isData(r row) bool {
	numbers, filled := r.numbers()
	return r.width() == l.width && numbers > 0 && 2*numbers >= filled
}

// firstData finds the first row of numbers that stands under a header, or is followed by
// another, or by nothing.
func (l layout) firstData(o Options) int {
	for i, r := range l.rows {
		switch {
		case r.line <= max(o.Header, o.Units):
		case l.isData(r) && (o.Header > 0 || l.isHead(i-1) || l.goesOn(i+1)):
			return i
		}
	}
	return len(l.rows)
}

// isHead reports whether a row holds a text for every column.
func (l layout) isHead(at int) bool {
	if at < 0 || l.rows[at].width() != l.width {
		return false
	}
	numbers, filled := l.rows[at].numbers()
	return numbers == 0 && filled == l.width
}

// goesOn reports whether the next row that is no comment is one of numbers, or there is
// none.
func (l layout) goesOn(at int) bool {
	for _, r := range l.rows[at:] {
		if c := r.cells[0]; !strings.HasPrefix(c, "#") && !strings.HasPrefix(c, "//") {
			return l.isData(r)
		}
	}
	return true
}

// head finds the rows of names and units above the data.
func (l layout) head(first int, s *Shape) (names, units []string, err error) {
	above := func(line int) *row { // the row in that line, or the last one above the data
		for i := range l.rows {
			if line > 0 && l.rows[i].line == line {
				return &l.rows[i]
			}
		}
		return nil
	}
	at := first - 1
	switch {
	case s.Units > 0:
		u := above(s.Units)
		if u == nil {
			return nil, nil, fmt.Errorf("%w: line %d, which is to hold the units, is empty or behind the first rows", ErrNoTable, s.Units)
		}
		units = u.cells
		for at >= 0 && l.rows[at].line >= s.Units {
			at--
		}
	case s.Units == 0 && at >= 0 && (s.Header <= 0 || l.rows[at].line > s.Header) && s.Header != None && l.isUnits(at):
		units, s.Units = l.rows[at].cells, l.rows[at].line
		at--
	default:
		s.Units = None
	}
	if s.Header == None {
		return nil, units, nil
	}
	if s.Header > 0 {
		h := above(s.Header)
		if h == nil {
			return nil, nil, fmt.Errorf("%w: line %d, which is to hold the names, is empty or behind the first rows", ErrNoTable, s.Header)
		}
		names = uncommented(h.cells)
	} else {
		if at < 0 || len(l.rows[at].cells) < 2 {
			s.Header = None
			return nil, units, nil
		}
		names, s.Header = uncommented(l.rows[at].cells), l.rows[at].line
	}
	if w := (row{cells: names}).width(); w != l.width {
		return nil, nil, fmt.Errorf("%w: line %d has %d names where the rows below it have %d cells; say which line holds the names, or that none does", ErrNoTable, s.Header, w, l.width)
	}
	return names, units, nil
}

// uncommented takes the sign of a comment off the first name.
func uncommented(cells []string) []string {
	list := append([]string(nil), cells...)
	for _, sign := range []string{"#", "//", "%"} {
		if rest, ok := strings.CutPrefix(list[0], sign); ok {
			list[0] = strings.TrimSpace(rest)
		}
	}
	return list
}

// isUnits reports whether a row holds units under names.
func (l layout) isUnits(at int) bool {
	if at < 1 || len(l.rows[at-1].cells) < 2 {
		return false
	}
	known, filled := 0, 0
	for _, c := range l.rows[at].cells {
		if c = strings.Trim(c, "()[]{} "); c == "" {
			continue
		}
		filled++
		if IsUnit(c) {
			known++
		}
	}
	return filled > 0 && 3*known >= 2*filled
}

// decimal finds the decimal mark from the cells that can be read in one way only.
func (l layout) decimal(first int) (byte, error) {
	var sure, open [2]string // a cell for point and comma
	for _, r := range l.rows[first:] {
		for _, c := range r.cells {
			mark, certain := decimalOf(c)
			if mark < 0 {
				continue
			}
			if certain && sure[mark] == "" {
				sure[mark] = c
			} else if open[mark] == "" {
				open[mark] = c
			}
		}
	}
	switch {
	case sure[0] != "" && sure[1] != "":
		return 0, fmt.Errorf("%w: the numbers have a decimal point in %q and a decimal comma in %q; say which it is", ErrAmbiguous, sure[0], sure[1])
	case sure[1] != "":
		return ',', nil
	case sure[0] == "" && open[1] != "":
		return 0, fmt.Errorf("%w: the comma in %q may be a decimal one or set off thousands; say which mark is the decimal one", ErrAmbiguous, open[1])
	}
	return '.', nil
}

// decimalOf tells which mark is the decimal one in a cell, 0 for the point and 1 for
// the comma, and whether that is certain; -1 where the cell has neither or is no number.
func decimalOf(cell string) (mark int, certain bool) {
	point, comma := strings.Count(cell, "."), strings.Count(cell, ",")
	_, asPoint := parse([]byte(cell), '.')
	_, asComma := parse([]byte(cell), ',')
	switch {
	case point+comma == 0:
	case asPoint == Number && asComma == NotANumber:
		// 1,234.5 and 1.5 have a point; so has 1,234,567, whose commas set off.
		return 0, true
	case asComma == Number && asPoint == NotANumber:
		return 1, true
	case asPoint == Number && asComma == Number:
		// 1.234 and 1,234: groups of three.
		if point > 0 {
			return 0, false
		}
		return 1, false
	}
	return -1, false
}
