package catalogue

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/railbook/sizing"
)

// ListError lists everything wrong with one list of parts, in the order of its lines.
// The field of a problem is its column.
type ListError struct {
	File     string
	Problems []sizing.Problem
	More     int // problems beyond those listed
}

// shown is the number of problems up to which Error prints each.
const shown = 20

// Error gives one line per problem under a heading.
func (e *ListError) Error() string {
	var b strings.Builder
	n := len(e.Problems) + e.More
	if n == 1 {
		fmt.Fprintf(&b, "%s has a problem:", e.File)
	} else {
		fmt.Fprintf(&b, "%s has %d problems:", e.File, n)
	}
	for i, p := range e.Problems {
		if i == shown {
			break
		}
		b.WriteString("\n  ")
		b.WriteString(p.String())
	}
	if n > shown {
		fmt.Fprintf(&b, "\n  and %d more", n-shown)
	}
	return b.String()
}

// Limits of a list. They keep what is no list of parts from being read at length.
const (
	maxBytes    = 64 << 20
	maxRows     = 200_000
	maxProblems = 1000 // that are kept
)

// sheetRow is a line of a CSV file.
type sheetRow struct {
	line  int
	cells []string
}

// problems collects what is wrong with a list.
type problems struct{ ListError }

func (p *problems) add(line int, field, value, reason, accepted string) {
	if value != "" {
		value = quote(value)
	}
	p.put(sizing.Problem{Line: line, Field: field, Value: value, Reason: reason, Accepted: accepted})
}

func (p *problems) put(one sizing.Problem) {
	if len(p.Problems) >= maxProblems {
		p.More++
		return
	}
	p.Problems = append(p.Problems, one)
}

func (p *problems) err() error {
	if len(p.Problems) == 0 {
		return nil
	}
	return &p.ListError
}

// quote quotes what was given, shortened.
func quote(s string) string {
	if r := []rune(s); len(r) > 60 {
		s = string(r[:57]) + "…"
	}
	return strconv.Quote(s)
}

// table reads the rows of a CSV file, the header first; ok is false where it cannot be
// read at all. Rows that are all empty are left out.
func (p *problems) table(r io.Reader) (rows []sheetRow, ok bool) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		p.add(0, "file", "", "cannot be read: "+err.Error(), "")
		return nil, false
	}
	if len(data) > maxBytes {
		p.add(0, "file", "", fmt.Sprintf("is larger than %d MB", maxBytes>>20), "a list of parts")
		return nil, false
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !p.legible(data) {
		return nil, false
	}
	skipped := 0 // comments before the header
	for {
		line, rest, _ := bytes.Cut(data, []byte("\n"))
		if trimmed := bytes.TrimSpace(line); len(data) == 0 || len(trimmed) > 0 && trimmed[0] != '#' {
			break
		}
		data = rest
		skipped++
	}
	in := csv.NewReader(bytes.NewReader(data))
	in.Comma, in.FieldsPerRecord = separator(data), -1
	for {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		var at *csv.ParseError
		if errors.As(err, &at) {
			p.add(at.StartLine+skipped, "row", "", csvReason(at), `a field that holds a separator or a quote in "…", quotes in it doubled`)
			continue
		}
		if err != nil {
			p.add(0, "file", "", "cannot be read: "+err.Error(), "")
			return nil, false
		}
		line, _ := in.FieldPos(0)
		blank := true
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
			blank = blank && cells[i] == ""
		}
		if blank {
			continue
		}
		if len(rows) > maxRows {
			p.add(line+skipped, "row", "", fmt.Sprintf("is beyond row %d", maxRows), "a shorter list")
			return nil, false
		}
		rows = append(rows, sheetRow{line + skipped, cells})
	}
	if len(rows) == 0 && len(p.Problems) == 0 {
		p.add(1, "header", "", "is missing", "a line with the names of the columns")
	}
	return rows, len(rows) > 0
}

func csvReason(e *csv.ParseError) string {
	switch {
	case errors.Is(e.Err, csv.ErrBareQuote):
		return fmt.Sprintf(`a bare " in column %d of line %d`, e.Column, e.Line)
	case errors.Is(e.Err, csv.ErrQuote):
		return fmt.Sprintf(`a " that is not closed, or not doubled, at column %d of line %d`, e.Column, e.Line)
	}
	return e.Err.Error()
}

// legible wants UTF-8 text.
func (p *problems) legible(data []byte) bool {
	const accepted = "a file saved as UTF-8"
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		p.add(0, "file", "", "is UTF-16", accepted)
		return false
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		p.add(1+bytes.Count(data[:i], []byte("\n")), "file", "", "holds a zero byte and is no text", accepted)
		return false
	}
	if bytes.Contains(data, []byte("\r")) && !bytes.Contains(data, []byte("\n")) {
		p.add(0, "file", "", "ends its lines with a carriage return alone", "lines that end with LF or CR LF")
		return false
	}
	if utf8.Valid(data) {
		return true
	}
	line := 0
	for text := range bytes.Lines(data) {
		if line++; !utf8.Valid(text) {
			p.add(line, "file", strings.ToValidUTF8(strings.TrimSpace(string(text)), "\uFFFD"), "is not UTF-8: the \uFFFD stands for a byte of another encoding", accepted)
		}
	}
	return false
}

// separator is what stands between the names in the header: a comma, or a semicolon
// where there are more of these.
func separator(data []byte) rune {
	header, _, _ := bytes.Cut(data, []byte("\n"))
	if bytes.Count(header, []byte(";")) > bytes.Count(header, []byte(",")) {
		return ';'
	}
	return ','
}
