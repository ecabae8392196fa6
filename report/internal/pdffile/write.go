package pdffile

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Append writes an object as it stands in a file. Dictionaries are written in the order
// of their names, so that the same object gives the same bytes.
func Append(b []byte, o Object) []byte {
	switch o := o.(type) {
	case nil:
		return append(b, "null"...)
	case bool:
		return strconv.AppendBool(b, o)
	case int:
		return strconv.AppendInt(b, int64(o), 10)
	case int64:
		return strconv.AppendInt(b, o, 10)
	case float64:
		text := strconv.FormatFloat(o, 'f', -1, 64)
		if !strings.Contains(text, ".") {
			text += ".0" // else it would read as a whole number
		}
		return append(b, text...)
	case Name:
		return appendName(b, o)
	case String:
		return appendString(b, o)
	case Ref:
		return fmt.Appendf(b, "%d %d R", o.Number, o.Generation)
	case Array:
		b = append(b, '[')
		for i, e := range o {
			if i > 0 {
				b = append(b, ' ')
			}
			b = Append(b, e)
		}
		return append(b, ']')
	case Dict:
		b = append(b, "<<"...)
		for i, key := range slices.Sorted(maps.Keys(o)) {
			if i > 0 {
				b = append(b, '\n')
			}
			b = append(appendName(b, key), ' ')
			b = Append(b, o[key])
		}
		return append(b, ">>"...)
	case *Stream:
		d := maps.Clone(o.Dict)
		d["Length"] = len(o.Data)
		b = append(Append(b, d), "\nstream\n"...)
		b = append(b, o.Data...)
		return append(b, "\nendstream"...)
	case Raw:
		return append(b, o...)
	}
	panic(fmt.Sprintf("pdffile: %T is no object", o))
}

// Raw is an object already written, for what has to stand at a known place. Reading
// never gives one.
type Raw []byte

func appendName(b []byte, n Name) []byte {
	b = append(b, '/')
	for i := range len(n) {
		if c := n[i]; c <= ' ' || c > '~' || c == '#' || isDelimiter(c) {
			b = fmt.Appendf(b, "#%02X", c)
		} else {
			b = append(b, c)
		}
	}
	return b
}

func appendString(b []byte, s String) []byte {
	if strings.IndexFunc(string(s), func(r rune) bool { return r < ' ' || r > '~' }) >= 0 {
		b = append(b, '<')
		b = hex.AppendEncode(b, []byte(s))
		return append(b, '>')
	}
	b = append(b, '(')
	for i := range len(s) {
		if c := s[i]; bytes.IndexByte([]byte(`()\`), c) >= 0 {
			b = append(b, '\\')
		}
		b = append(b, s[i])
	}
	return append(b, ')')
}
