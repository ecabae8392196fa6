package table

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Kind says what a cell holds.
type Kind uint8

const (
	Number     Kind = iota // a finite number
	Empty                  // nothing, or a word or a dash that stands for nothing
	NotFinite              // NaN or an infinity
	NotANumber             // something else
)

// String returns a word for messages.
func (k Kind) String() string {
	switch k {
	case Number:
		return "a number"
	case Empty:
		return "empty"
	case NotFinite:
		return "not finite"
	}
	return "not a number"
}

// powers of ten that are exact as float64.
var powers = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parse reads a number with the decimal mark '.' or ','. The other of the two, a space,
// a no-break space or an apostrophe may set off groups of three digits.
//
// Digits and powers of ten that are exact as float64 give the nearest number with one
// multiplication or division (W. D. Clinger, How to read floating point numbers
// accurately, 1990, from memory); strconv reads what is left.
func parse(cell []byte, decimal byte) (float64, Kind) {
	cell = trim(cell)
	text := cell
	negative := false
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		negative = text[0] == '-'
		text = text[1:]
	}
	var digits uint64
	count, exponent := 0, 0
	i := 0
	for ; i < len(text) && text[i]-'0' <= 9; i++ {
		digits = digits*10 + uint64(text[i]-'0')
		count++
	}
	if i < len(text) && text[i] == decimal {
		for i++; i < len(text) && text[i]-'0' <= 9; i++ {
			digits = digits*10 + uint64(text[i]-'0')
			count++
			exponent--
		}
	}
	if i < len(text) || count == 0 || count > 15 {
		return parseSlowly(cell, decimal)
	}
	v := float64(digits) / powers[-exponent]
	if negative {
		v = -v
	}
	return v, Number
}

func trim(cell []byte) []byte {
	for len(cell) > 0 && (cell[0] == ' ' || cell[0] == '\t') {
		cell = cell[1:]
	}
	for n := len(cell); n > 0 && (cell[n-1] == ' ' || cell[n-1] == '\t'); n = len(cell) {
		cell = cell[:n-1]
	}
	return cell
}

// nothing are the words that loggers write where they have no value.
var nothing = []string{"-", "--", "---", "n/a", "#n/a", "na", "null", "none", "nil", "?"}

// parseSlowly reads what parse leaves: exponents, groups of digits, many digits, words.
func parseSlowly(cell []byte, decimal byte) (float64, Kind) {
	if len(cell) == 0 {
		return 0, Empty
	}
	if len(cell) > 64 {
		return 0, NotANumber
	}
	text := string(cell)
	for _, word := range nothing {
		if strings.EqualFold(text, word) {
			return 0, Empty
		}
	}
	if plain, ok := ungrouped(text, decimal); ok {
		text = plain
	} else {
		return 0, NotANumber
	}
	if decimal == ',' {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case math.IsInf(v, 0), math.IsNaN(v):
		return 0, NotFinite
	case err != nil || strings.ContainsAny(text, "xXpP_"):
		return 0, NotANumber
	}
	return v, Number
}

// ungrouped takes the separators out of the whole part of a number, and reports false
// where they do not set off groups of three digits.
func ungrouped(text string, decimal byte) (string, bool) {
	whole, rest := text, ""
	if i := strings.IndexByte(text, decimal); i >= 0 {
		whole, rest = text[:i], text[i:]
	}
	separator, at := separatorIn(whole, decimal)
	if separator == "" {
		return text, true
	}
	groups := strings.Split(whole, separator)
	first := strings.TrimLeft(groups[0], "+-")
	if at == 0 || len(first) == 0 || len(first) > 3 || first[0] == '0' || !allDigits(first) {
		return "", false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 || !allDigits(g) {
			return "", false
		}
	}
	return strings.Join(groups, "") + rest, true
}

// separatorIn finds the first separator of groups in the whole part of a number.
func separatorIn(whole string, decimal byte) (string, int) {
	for i, r := range whole {
		switch r {
		case '.', ',':
			if byte(r) != decimal {
				return string(r), i
			}
		case ' ', '\'', '\u00a0', '\u2009', '\u202f', '\u2019':
			return string(r), i
		}
	}
	return "", 0
}

func allDigits(s string) bool {
	for i := range len(s) {
		if s[i]-'0' > 9 {
			return false
		}
	}
	return true
}

// clock reads a time of a run or of a day, "[h:]m:s", in seconds. In front of it may
// stand a date, year-month-day, with a space or a T between; the seconds are then those
// since the beginning of 1970.
func clock(cell []byte) (float64, Kind) {
	cell = trim(cell)
	const date = len(time.DateOnly)
	if len(cell) > date && (cell[date] == ' ' || cell[date] == 'T') {
		day, err := time.Parse(time.DateOnly, string(cell[:date]))
		if err != nil {
			return 0, NotANumber
		}
		v, kind := clock(bytes.TrimSuffix(cell[date+1:], []byte("Z")))
		return v + float64(day.Unix()), kind
	}
	parts := bytes.Split(cell, []byte(":"))
	if len(parts) < 2 || len(parts) > 3 {
		return 0, NotANumber
	}
	total := 0.0
	for i, p := range parts {
		last := i == len(parts)-1
		mark := byte('.') // seconds have no thousands: either mark is a decimal one
		if bytes.IndexByte(p, ',') >= 0 {
			mark = ','
		}
		v, kind := parse(p, mark)
		if kind != Number || v < 0 || i > 0 && v >= 60 || !last && v != math.Trunc(v) || len(p) > 0 && (p[0] == '+' || p[0] == '-') {
			return 0, NotANumber
		}
		total = 60*total + v
	}
	return total, Number
}

// readable returns bytes as text: UTF-8, or Windows-1252 where they are not.
func readable(b []byte) string {
	if utf8.Valid(b) {
		return string(b)
	}
	r := make([]rune, 0, len(b))
	for _, c := range b {
		r = append(r, charmap.Windows1252.DecodeByte(c))
	}
	return string(r)
}
