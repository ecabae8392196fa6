package pdffile

import (
	"bytes"
	"fmt"
	"strconv"
)

// parser reads objects from a place in a file.
type parser struct {
	data []byte
	at   int
}

// Limits of arrays and dictionaries.
const (
	deepest = 40      // how far they may be nested
	longest = 1 << 17 // how many elements an array may have
)

func (p *parser) fail(format string, args ...any) error {
	return fmt.Errorf("%w: at byte %d: %s", ErrFormat, p.at, fmt.Sprintf(format, args...))
}

func isWhite(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func isDelimiter(c byte) bool { return bytes.IndexByte([]byte("()<>[]{}/%"), c) >= 0 }

// skip goes past white space and comments.
func (p *parser) skip() {
	for p.at < len(p.data) {
		switch c := p.data[p.at]; {
		case isWhite(c):
			p.at++
		case c == '%':
			for p.at < len(p.data) && p.data[p.at] != '\n' && p.data[p.at] != '\r' {
				p.at++
			}
		default:
			return
		}
	}
}

// regular returns the run of regular characters at the parser's place and goes past it.
func (p *parser) regular() string {
	from := p.at
	for p.at < len(p.data) && !isWhite(p.data[p.at]) && !isDelimiter(p.data[p.at]) {
		p.at++
	}
	return string(p.data[from:p.at])
}

// word goes past a keyword, if it is the next thing.
func (p *parser) word(want string) bool {
	p.skip()
	from := p.at
	if p.regular() == want {
		return true
	}
	p.at = from
	return false
}

// integer reads a whole number that is not negative.
func (p *parser) integer() (int, error) {
	p.skip()
	from := p.at
	n, err := strconv.ParseUint(p.regular(), 10, 31)
	if err != nil {
		p.at = from
		return 0, p.fail("no whole number")
	}
	return int(n), nil
}

// object reads the next object.
func (p *parser) object(depth int) (Object, error) {
	if depth > deepest {
		return nil, p.fail("nested too deeply")
	}
	p.skip()
	rest := p.data[p.at:]
	switch {
	case len(rest) == 0:
		return nil, p.fail("the file ends in the middle of an object")
	case bytes.HasPrefix(rest, []byte("<<")):
		return p.dict(depth)
	case rest[0] == '[':
		return p.array(depth)
	case rest[0] == '(':
		return p.literal()
	case rest[0] == '<':
		return p.hex()
	case rest[0] == '/':
		return p.name()
	}
	from := p.at
	switch word := p.regular(); word {
	case "null":
		return nil, nil
	case "true", "false":
		return word == "true", nil
	default:
		o, ok := p.number(word)
		if !ok {
			p.at = from
			return nil, p.fail("%q is no object", word[:min(len(word), 20)])
		}
		return o, nil
	}
}

// number makes a number of its text, or a reference where two more words follow that
// make it one.
func (p *parser) number(word string) (Object, bool) {
	n, err := strconv.ParseInt(word, 10, 64)
	if err != nil {
		f, err := strconv.ParseFloat(word, 64)
		plain := bytes.Trim([]byte(word), "+-.0123456789")
		return f, err == nil && len(plain) == 0
	}
	from := p.at
	if n >= 0 && n < 1<<31 {
		if generation, err := p.integer(); err == nil && p.word("R") {
			return Ref{int(n), generation}, true
		}
	}
	p.at = from
	return n, true
}

func (p *parser) dict(depth int) (Object, error) {
	p.at += len("<<")
	d := Dict{}
	for {
		p.skip()
		if bytes.HasPrefix(p.data[p.at:], []byte(">>")) {
			p.at += len(">>")
			return d, nil
		}
		if p.at == len(p.data) || p.data[p.at] != '/' {
			return nil, p.fail("a dictionary has no name here, and does not end")
		}
		key, err := p.name()
		if err != nil {
			return nil, err
		}
		value, err := p.object(depth + 1)
		if err != nil {
			return nil, err
		}
		if _, twice := d[key]; twice {
			return nil, p.fail("a dictionary has /%s twice", key)
		}
		d[key] = value
	}
}

func (p *parser) array(depth int) (Object, error) {
	p.at++
	list := Array{}
	for {
		p.skip()
		if p.at < len(p.data) && p.data[p.at] == ']' {
			p.at++
			return list, nil
		}
		o, err := p.object(depth + 1)
		if err != nil {
			return nil, err
		}
		if list = append(list, o); len(list) > longest {
			return nil, p.fail("an array of more than %d elements", longest)
		}
	}
}

// name reads a name (section 7.3.5).
func (p *parser) name() (Name, error) {
	p.at++
	raw := p.regular()
	var b []byte
	for i := 0; i < len(raw); i++ {
		c := raw[i]
		if c == '#' {
			n, err := strconv.ParseUint(raw[i+1:min(i+3, len(raw))], 16, 8)
			if err != nil || i+3 > len(raw) {
				return "", p.fail("a name with a lone #")
			}
			c = byte(n)
			i += 2
		}
		b = append(b, c)
	}
	return Name(b), nil
}

// hex reads a string of hexadecimal digits (section 7.3.4.3).
func (p *parser) hex() (String, error) {
	end := bytes.IndexByte(p.data[p.at:], '>')
	if end < 0 {
		return "", p.fail("a string has no end")
	}
	digits := p.data[p.at+1 : p.at+end]
	b := make([]byte, 0, len(digits)/2+1)
	half, odd := byte(0), false
	for _, c := range digits {
		v, ok := digit(c)
		switch {
		case isWhite(c):
			continue
		case !ok:
			return "", p.fail("%q in a string of hexadecimal digits", c)
		case odd:
			b = append(b, half|v)
		}
		half, odd = v<<4, !odd
	}
	if odd {
		b = append(b, half)
	}
	p.at += end + 1
	return String(b), nil
}

func digit(c byte) (byte, bool) {
	switch {
	case '0' <= c && c <= '9':
		return c - '0', true
	case 'a' <= c && c <= 'f':
		return c - 'a' + 10, true
	case 'A' <= c && c <= 'F':
		return c - 'A' + 10, true
	}
	return 0, false
}
