package typeface

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// standIn is printed for every character that the family cannot print.
const standIn = '□'

// Printable returns text as it can be printed in every style on one line, and
// the characters it had to replace by "□", each once, in order. Those are
// control and other invisible characters, characters without a glyph, and
// scripts that run from right to left, which would come out reversed. White
// space of any kind, line breaks too, becomes single spaces.
func Printable(text string) (printed string, replaced []rune) {
	var b strings.Builder
	space := true // no space at the start
	for _, r := range norm.NFC.String(strings.ToValidUTF8(text, string(unicode.ReplacementChar))) {
		switch {
		case r == '\u00ad', r == '\ufeff': // soft hyphen, byte order mark: not meant to be seen
			continue
		case unicode.IsSpace(r):
			if !space {
				b.WriteByte(' ')
			}
			space = true
			continue
		case !prints(r):
			replaced = append(replaced, r)
			r = standIn
		}
		b.WriteRune(r)
		space = false
	}
	slices.Sort(replaced)
	return strings.TrimRight(b.String(), " "), slices.Compact(replaced)
}

// prints reports whether every style has a glyph for r that stands by itself.
func prints(r rune) bool {
	// A PDF names the glyphs of an embedded font by two bytes.
	if r > 0xffff || unicode.Is(unicode.C, r) {
		return false
	}
	p, _ := bidi.LookupRune(r)
	switch p.Class() {
	case bidi.R, bidi.AL, bidi.AN:
		return false
	}
	for s := range styles {
		if faces[s]().width(r) < 0 {
			return false
		}
	}
	return true
}
