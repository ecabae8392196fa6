package table

import (
	"errors"
	"strconv"
	"strings"
)

// Errors of a text that is no table. They come wrapped with the place and the reason.
var (
	ErrNoTable   = errors.New("no table found")
	ErrEncoding  = errors.New("unknown text encoding")
	ErrAmbiguous = errors.New("can be read in two ways")
	ErrRagged    = errors.New("too many rows of a wrong length")
	ErrQuote     = errors.New("a quote is never closed")
	ErrTooLong   = errors.New("a row is too long")
	ErrColumn    = errors.New("no such column")
)

// Options says how to read a text where that is not left to be found. The zero value
// leaves everything.
type Options struct {
	Encoding  Encoding
	Delimiter byte // ',', ';' or '\t'
	Decimal   byte // '.' or ','
	Header    int  // line of the names, the first is 1; [None]: there are none
	Units     int  // line of the units; [None]: there is none

	// MostRagged is the share of rows that may be of a wrong length before that is an
	// error; zero stands for DefaultMostRagged.
	MostRagged float64
}

// None stands for a line that a text does not have.
const None = -1

// DefaultMostRagged is the share of rows of a wrong length that is taken for accidents
// of a logger rather than for a table read wrongly.
const DefaultMostRagged = 0.05

// Encoding is a way to write text as bytes. The zero value is to be found.
type Encoding string

// The encodings. Windows1252 is never found, but bytes of a header that are not UTF-8
// are read as it.
const (
	UTF8        Encoding = "UTF-8"
	UTF16LE     Encoding = "UTF-16LE"
	UTF16BE     Encoding = "UTF-16BE"
	Windows1252 Encoding = "Windows-1252"
)

var encodings = []Encoding{UTF8, UTF16LE, UTF16BE, Windows1252}

// Shape is what a text is like, as found or as told.
type Shape struct {
	Encoding  Encoding `json:"encoding"`
	Mark      bool     `json:"byte_order_mark"`
	LineEnd   string   `json:"line_end"` // "LF", "CRLF" or "CR"
	Delimiter byte     `json:"-"`
	Decimal   byte     `json:"-"`
	Header    int      `json:"header"` // line of the names, or None
	Units     int      `json:"units"`  // line of the units, or None
	Preamble  []string `json:"preamble,omitempty"`
}

// String says what the text is like in one line.
func (s Shape) String() string {
	var b strings.Builder
	b.WriteString(string(s.Encoding))
	if s.Mark {
		b.WriteString(" with byte order mark")
	}
	b.WriteString(", " + s.LineEnd + ", cells between " + delimiterName(s.Delimiter) + ", decimal ")
	if s.Decimal == ',' {
		b.WriteString("comma")
	} else {
		b.WriteString("point")
	}
	switch s.Header {
	case None:
		b.WriteString(", no header")
	default:
		b.WriteString(", header in line " + strconv.Itoa(s.Header))
	}
	if s.Units != None {
		b.WriteString(", units in line " + strconv.Itoa(s.Units))
	}
	return b.String()
}

func delimiterName(d byte) string {
	switch d {
	case ',':
		return "commas"
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	}
	return strconv.QuoteRune(rune(d))
}

// Counts tells what became of the lines read so far.
type Counts struct {
	Rows      int  `json:"rows"`              // well formed, handed out
	Ragged    int  `json:"ragged"`            // of another length than the header, left out
	Comments  int  `json:"comments"`          // lines between rows that begin with # or //
	Truncated bool `json:"truncated"`         // the last line ends before its row does, left out
	First     int  `json:"first_ragged_line"` // line of the first ragged row, 0 for none
}
