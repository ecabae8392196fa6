package table

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Reader reads a table row by row. It is made by [NewReader].
type Reader struct {
	scan    *scanner
	shape   Shape
	columns []Column
	counts  Counts
	ragged  float64
	width   int // cells of a row, one more may be empty
	err     error
}

// NewReader finds what the text is like and stands before its first row. The error
// wraps one of the package's, or that of r.
func NewReader(r io.Reader, o Options) (*Reader, error) {
	if d := o.Delimiter; d != 0 && (d == '"' || d == '\n' || d == '\r' || d >= 0x80) {
		return nil, fmt.Errorf("%w: %q cannot stand between cells; want a comma, a semicolon or a tab", ErrNoTable, d)
	}
	if d := o.Decimal; d != 0 && d != '.' && d != ',' {
		return nil, fmt.Errorf("%w: %q is no decimal mark; want a point or a comma", ErrNoTable, d)
	}
	src, encoding, marked, err := source(r, o.Encoding)
	if err != nil {
		return nil, err
	}
	sc := newScanner(src, bufferSize)
	text, all := sc.preview(previewSize)
	if sc.err != nil {
		return nil, sc.err
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return nil, fmt.Errorf("%w: the text is empty", ErrNoTable)
	}
	shape, columns, first, err := sniff(text, all, o)
	if err != nil {
		return nil, err
	}
	shape.Encoding, shape.Mark = encoding, marked
	t := &Reader{scan: sc, shape: shape, columns: columns, width: len(columns), ragged: o.MostRagged}
	if t.ragged == 0 {
		t.ragged = DefaultMostRagged
	}
	sc.delimiter, sc.eol = shape.Delimiter, shape.eol()
	for sc.lines < first-1 && sc.next() {
	}
	t.err = sc.err
	return t, t.err
}

// Shape tells what the text is like.
func (t *Reader) Shape() Shape { return t.shape }

// Columns returns the heads of the columns. The caller must not change them.
func (t *Reader) Columns() []Column { return t.columns }

// Counts tells what became of the lines so far.
func (t *Reader) Counts() Counts { return t.counts }

// Line returns the line of the row, the first of the text is 1.
func (t *Reader) Line() int { return t.scan.line }

// Err returns what ended the rows before the end of the text, or nil.
func (t *Reader) Err() error { return t.err }

// Next moves to the next row. It returns false at the end of the text and where it
// cannot go on, which Err tells apart.
func (t *Reader) Next() bool {
	for t.err == nil && t.scan.next() {
		n := len(t.scan.cells)
		if n == t.width || n == t.width+1 && len(t.scan.cells[n-1]) == 0 {
			if t.comment() {
				continue
			}
			t.counts.Rows++
			return true
		}
		if t.blank() || t.comment() {
			continue
		}
		t.reject(n)
	}
	if t.err == nil {
		t.err = t.scan.err
		t.judge()
	}
	return false
}

func (t *Reader) blank() bool {
	return len(t.scan.cells) == 1 && len(trim(t.scan.cells[0])) == 0
}

// comment counts a line that is one.
func (t *Reader) comment() bool {
	c := t.scan.cells[0]
	if len(c) == 0 || c[0] != '#' && !bytes.HasPrefix(c, []byte("//")) {
		return false
	}
	t.counts.Comments++
	return true
}

// reject counts a row of n cells, which is a wrong number.
func (t *Reader) reject(n int) {
	if !t.scan.whole && n < t.width {
		t.counts.Truncated = true
		return
	}
	t.counts.Ragged++
	if t.counts.Ragged == 1 {
		t.counts.First = t.scan.line
	}
	if (t.counts.Rows+t.counts.Ragged)%1000 == 0 {
		t.judge()
	}
}

// judge makes an error of too many ragged rows.
func (t *Reader) judge() {
	all := t.counts.Rows + t.counts.Ragged
	if t.err == nil && t.counts.Ragged > 2 && float64(t.counts.Ragged) > t.ragged*float64(all) {
		t.err = fmt.Errorf("%w: %d of %d, the first in line %d; the header has %d columns", ErrRagged, t.counts.Ragged, all, t.counts.First, t.width)
	}
}

// Cell returns the text of a cell. It is good until the next call of Next.
func (t *Reader) Cell(column int) []byte { return t.scan.cells[column] }

// Number reads a cell as a number. It is zero unless the kind is Number.
func (t *Reader) Number(column int) (float64, Kind) {
	return parse(t.scan.cells[column], t.shape.Decimal)
}

// Clock reads a cell as a time of a run or of a day, "[h:]m:s", in seconds; a date,
// year-month-day, may stand before it.
func (t *Reader) Clock(column int) (float64, Kind) {
	cell := trim(t.scan.cells[column])
	if len(cell) == 0 {
		return 0, Empty
	}
	return clock(cell)
}

// Find returns the column of a name, as the header has it, with its unit or without,
// in any case; "column 3" is the third. The error wraps [ErrColumn] where there is no
// such name, or more than one.
func (t *Reader) Find(name string) (int, error) {
	if n, ok := strings.CutPrefix(strings.ToLower(name), "column "); ok {
		if i, err := strconv.Atoi(strings.TrimSpace(n)); err == nil {
			if i < 1 || i > t.width {
				return 0, fmt.Errorf("%w: %q; the table has %d", ErrColumn, name, t.width)
			}
			return i - 1, nil
		}
	}
	for _, same := range []func(Column) bool{
		func(c Column) bool { return c.Head == name },
		func(c Column) bool { return c.Name == name },
		func(c Column) bool { return strings.EqualFold(c.Head, name) || strings.EqualFold(c.Name, name) },
	} {
		found := -1
		for i, c := range t.columns {
			if name == "" || !same(c) {
				continue
			}
			if found >= 0 {
				return 0, fmt.Errorf(`%w: %q is the name of columns %d and %d; say "column %d" or "column %d"`, ErrColumn, name, found+1, i+1, found+1, i+1)
			}
			found = i
		}
		if found >= 0 {
			return found, nil
		}
	}
	return 0, fmt.Errorf("%w: %q", ErrColumn, name)
}
