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
// control characters, those that turn the direction of others, characters without
// a glyph, and scripts that run from right to left, which would come out reversed.
// White space of any kind, line breaks too, becomes single spaces; what is not
// meant to be seen goes.
func Printable(text string) (printed string, replaced []rune) {
	var b strings.Builder
	space := true // no space at the start
	text = strings.Map(func(r rune) rune {
		if unseen(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, string(unicode.ReplacementChar)))
	for _, r := range norm.NFC.String(text) {
		switch {
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

// unseen reports whether r only tells how others are to be broken, joined or shown.
func unseen(r rune) bool {
	const softHyphen, zeroWidthSpace, joiner, wordJoiner, byteOrderMark = '\u00ad', '\u200b', '\u200d', '\u2060', '\ufeff'
	return r == softHyphen || zeroWidthSpace <= r && r <= joiner || r == wordJoiner || r == byteOrderMark ||
		unicode.Is(unicode.Variation_Selector, r)
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
