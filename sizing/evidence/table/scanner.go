package table

import (
	"bytes"
	"fmt"
	"io"
)

const (
	bufferSize = 256 << 10
	mostRow    = 1 << 20 // bytes of a row; beyond it a quote was not closed
)

// scanner cuts UTF-8 text into rows and rows into cells. What it hands out lies in its
// buffer and is good until the next row.
//
// It stands in place of encoding/csv, which knows no CR alone as line end, stops at a
// stray quote, and takes three times as long on rows without quotes.
type scanner struct {
	src        io.Reader
	buf        []byte
	start, end int // of what is not yet handed out
	eof        bool
	err        error

	delimiter byte
	eol       byte // '\n', or '\r' where that stands alone
	lines     int  // ends seen
	line      int  // of the row handed out, the first is 1
	whole     bool // the row ended with a line end
	cells     [][]byte
}

func newScanner(src io.Reader, size int) *scanner {
	return &scanner{src: src, buf: make([]byte, size), delimiter: ',', eol: '\n'}
}

// fill reads more behind what is there, and makes room for it.
func (s *scanner) fill() {
	if s.start > 0 {
		copy(s.buf, s.buf[s.start:s.end])
		s.start, s.end = 0, s.end-s.start
	}
	if s.end == len(s.buf) {
		s.buf = append(s.buf, make([]byte, len(s.buf))...)
	}
	for range 100 {
		n, err := s.src.Read(s.buf[s.end:])
		s.end += n
		if err == io.EOF {
			s.eof = true
			return
		}
		if err != nil {
			s.err, s.eof = err, true
			return
		}
		if n > 0 {
			return
		}
	}
	s.err, s.eof = io.ErrNoProgress, true
}

// preview returns the text up to size bytes without handing it out, and whether that is
// all there is.
func (s *scanner) preview(size int) (text []byte, all bool) {
	for s.end-s.start < size && !s.eof {
		s.fill()
	}
	return s.buf[s.start:s.end], s.eof
}

// next finds the next row. It returns false at the end, or with an error in s.err.
// A row of one empty cell is an empty line.
func (s *scanner) next() bool {
	last := s.line
	s.line = s.lines + 1
	row, ok := s.toEnd(0)
	if !ok {
		if s.err == nil {
			s.line = last
		}
		return false
	}
	if bytes.IndexByte(row, '"') < 0 {
		s.split(row)
		return true
	}
	// A quote may hide line ends.
	q := quotes{delimiter: s.delimiter, begin: true}
	for q.pass(row); q.inside; q.pass(row[q.passed:]) {
		if !s.whole || len(row) > mostRow {
			s.err = fmt.Errorf("line %d: %w", s.line, ErrQuote)
			return false
		}
		if row, ok = s.toEnd(len(row) + 1); !ok {
			if s.err == nil {
				s.err = fmt.Errorf("line %d: %w", s.line, ErrQuote)
			}
			return false
		}
	}
	s.unquote(row)
	return true
}

// toEnd takes the text up to the next line end, without it. With a part above zero it
// goes on with the row that was taken last, whose text and line end have that length.
func (s *scanner) toEnd(part int) ([]byte, bool) {
	s.start -= part
	for at := part; ; {
		if i := bytes.IndexByte(s.buf[s.start+at:s.end], s.eol); i >= 0 {
			row := s.buf[s.start : s.start+at+i]
			s.start += at + i + 1
			s.lines++
			s.whole = true
			return row, true
		}
		at = s.end - s.start
		switch {
		case at > mostRow:
			s.err = fmt.Errorf("line %d: %w: more than %d bytes", s.line, ErrTooLong, mostRow)
			return nil, false
		case s.eof && at == part, s.err != nil:
			s.start = s.end
			return nil, false
		case s.eof:
			row := s.buf[s.start:s.end]
			s.start = s.end
			s.lines++
			s.whole = false
			return row, true
		}
		s.fill()
	}
}

// quotes follows whether a row that comes in parts is within quotes. A quote opens only
// at the beginning of a cell: a 3" pipe is none.
type quotes struct {
	delimiter     byte
	inside, begin bool
	passed        int // bytes
}

func (q *quotes) pass(part []byte) {
	for i := 0; i < len(part); i++ {
		c := part[i]
		switch {
		case q.inside && c == '"' && i+1 < len(part) && part[i+1] == '"':
			i++
		case c == '"' && (q.inside || q.begin):
			q.inside, q.begin = !q.inside, false
		case c == q.delimiter && !q.inside:
			q.begin = true
		case c != ' ':
			q.begin = false
		}
	}
	q.passed += len(part)
}

// split cuts a row without quotes.
func (s *scanner) split(row []byte) {
	row = dropCR(row)
	cells := s.cells[:0]
	for {
		i := bytes.IndexByte(row, s.delimiter)
		if i < 0 {
			s.cells = append(cells, row)
			return
		}
		cells = append(cells, row[:i])
		row = row[i+1:]
	}
}

func dropCR(row []byte) []byte {
	if n := len(row); n > 0 && row[n-1] == '\r' {
		return row[:n-1]
	}
	return row
}

// unquote cuts a row with quotes, in place: cells only become shorter.
func (s *scanner) unquote(row []byte) {
	row = dropCR(row)
	cells := s.cells[:0]
	for {
		cell, rest, more := s.cell(row)
		cells = append(cells, cell)
		if !more {
			s.cells = cells
			return
		}
		row = rest
	}
}

// cell takes the first cell off a row.
func (s *scanner) cell(row []byte) (cell, rest []byte, more bool) {
	lead := len(row) - len(bytes.TrimLeft(row, " "))
	if lead < len(row) && row[lead] == '"' {
		n := 0 // of the cell's text, moved to the beginning of the row
		i := lead + 1
		for ; i < len(row); i++ {
			if row[i] == '"' {
				if i+1 >= len(row) || row[i+1] != '"' {
					break
				}
				i++
			}
			row[n] = row[i]
			n++
		}
		i = min(i+1, len(row))
		// What follows the closing quote up to the delimiter belongs to the cell.
		tail := row[i:]
		end := bytes.IndexByte(tail, s.delimiter)
		if end < 0 {
			n += copy(row[n:], tail)
			return row[:n], nil, false
		}
		rest = tail[end+1:]
		n += copy(row[n:], tail[:end])
		return row[:n], rest, true
	}
	if i := bytes.IndexByte(row, s.delimiter); i >= 0 {
		return row[:i], row[i+1:], true
	}
	return row, nil, false
}
