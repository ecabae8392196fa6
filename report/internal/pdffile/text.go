package pdffile

import (
	"encoding/binary"
	"strings"
	"time"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// literal reads a string in parentheses (section 7.3.4.2).
func (p *parser) literal() (String, error) {
	var b []byte
	open := 0
	for ; p.at < len(p.data); p.at++ {
		switch c := p.data[p.at]; c {
		case '(':
			if open++; open == 1 {
				continue
			}
			b = append(b, c)
		case ')':
			if open--; open == 0 {
				p.at++
				return String(b), nil
			}
			b = append(b, c)
		case '\\':
			b = p.escape(b)
		case '\r':
			// Any end of line reads as a line feed.
			if p.at+1 < len(p.data) && p.data[p.at+1] == '\n' {
				p.at++
			}
			b = append(b, '\n')
		default:
			b = append(b, c)
		}
	}
	return "", p.fail("a string has no end")
}

// escape adds what an escape stands for to b and stops at its last byte.
func (p *parser) escape(b []byte) []byte {
	p.at++
	if p.at == len(p.data) {
		return b
	}
	c := p.data[p.at]
	if i := strings.IndexByte("nrtbf", c); i >= 0 {
		return append(b, "\n\r\t\b\f"[i])
	}
	switch {
	case c == '\r':
		if p.at+1 < len(p.data) && p.data[p.at+1] == '\n' {
			p.at++
		}
		return b // a broken line
	case c == '\n':
		return b
	case c < '0' || c > '7':
		return append(b, c)
	}
	v := 0
	for n := 0; n < 3 && p.at < len(p.data) && '0' <= p.data[p.at] && p.data[p.at] <= '7'; n++ {
		v = v*8 + int(p.data[p.at]-'0')
		p.at++
	}
	p.at--
	return append(b, byte(v))
}

// bom begins a text in UTF-16 (section 7.9.2.2).
const bom = "\xfe\xff"

// Text returns the text that a string stands for: UTF-16 after a byte order mark, and
// else its bytes as Latin-1, which PDF's own encoding is but for a few characters.
func Text(s String) string {
	raw, ok := strings.CutPrefix(string(s), bom)
	if !ok {
		runes := make([]rune, len(raw))
		for i := range len(raw) {
			runes[i] = rune(raw[i])
		}
		return string(runes)
	}
	units := make([]uint16, len(raw)/2)
	for i := range units {
		units[i] = binary.BigEndian.Uint16([]byte(raw[2*i:]))
	}
	return string(utf16.Decode(units))
}

// Encode returns the string that stands for a text: its bytes where they are printable
// ASCII, and else UTF-16.
func Encode(text string) String {
	text = strings.ToValidUTF8(text, string(utf8.RuneError))
	if strings.IndexFunc(text, func(r rune) bool { return r < ' ' || r > '~' }) < 0 {
		return String(text)
	}
	b := []byte(bom)
	for _, u := range utf16.Encode([]rune(text)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return String(b)
}

// Line returns text as metadata hold it: on one line, white space folded, and without what
// cannot be seen, such as control characters and those that turn the direction of others.
// What holds an emoji or the letters of a script together stays.
func Line(text string) string {
	const joiner, nonJoiner = '\u200d', '\u200c'
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == joiner, r == nonJoiner:
			return r
		case unicode.Is(unicode.C, r), unicode.Is(unicode.Noncharacter_Code_Point, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, string(utf8.RuneError)))
	return strings.Join(strings.Fields(text), " ")
}

// Date returns the string that stands for a time, to the second (section 7.9.4).
func Date(t time.Time) String {
	zone := t.Format("-0700")
	return String("D:" + t.Format("20060102150405") + zone[:3] + "'" + zone[3:] + "'")
}
