// Package typeface holds the one family of type that reports and pictures are
// set in, measures text in it, and says what it cannot print.
//
// The family is DejaVu Sans Condensed, a free font with the Greek, the
// mathematical signs and the discs of the trade's notation. The bytes come with
// a Go module, so nothing is read from the machine.
package typeface

import (
	"strings"
	"sync"
	"unicode/utf8"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedoblique"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Name is the name of the family, for the places that ask for one.
const Name = "dejavu-condensed"

// Style is one member of the family.
type Style uint8

// The members of the family.
const (
	Regular Style = iota
	Bold
	Oblique
	styles // how many there are
)

// TTF returns the font file of a style. The caller must not change it.
func (s Style) TTF() []byte {
	switch s {
	case Bold:
		return dejavusanscondensedbold.TTF
	case Oblique:
		return dejavusanscondensedoblique.TTF
	}
	return dejavusanscondensed.TTF
}

// face is a parsed style with the widths of the characters asked for so far, in
// thousandths of the type size and rounded to whole ones, as PDF readers take
// them.
type face struct {
	font   *opentype.Font
	mu     sync.Mutex
	buf    sfnt.Buffer
	widths map[rune]int // -1 for a character without a glyph
}

var faces = func() [styles]func() *face {
	var list [styles]func() *face
	for s := range styles {
		list[s] = sync.OnceValue(func() *face {
			f, err := opentype.Parse(s.TTF())
			if err != nil {
				panic("typeface: the embedded font is broken: " + err.Error())
			}
			return &face{font: f, widths: map[rune]int{}}
		})
	}
	return list
}()

// Font returns the parsed font of a style.
func (s Style) Font() *opentype.Font { return faces[s]().font }

// width returns the width of r in thousandths of the type size, or -1.
func (f *face) width(r rune) int {
	f.mu.Lock()
	defer f.mu.Unlock()
	if w, ok := f.widths[r]; ok {
		return w
	}
	w := -1
	if index, err := f.font.GlyphIndex(&f.buf, r); err == nil && index != 0 {
		em := fixed.Int26_6(f.font.UnitsPerEm())
		if advance, err := f.font.GlyphAdvance(&f.buf, index, em, font.HintingNone); err == nil {
			w = (int(advance)*1000 + int(em)/2) / int(em)
		}
	}
	f.widths[r] = w
	return w
}

// Width returns the width of text on one line, in the unit that size is given
// in. Characters without a glyph count for nothing; see [Printable].
func (s Style) Width(text string, size float64) float64 {
	f := faces[s]()
	sum := 0
	for _, r := range text {
		sum += max(0, f.width(r))
	}
	return float64(sum) * size / 1000
}

// Ellipsis shortens text to the given width, ending it with "…" where it has to.
func (s Style) Ellipsis(text string, size, width float64) string {
	if s.Width(text, size) <= width {
		return text
	}
	const sign = "…"
	room := width - s.Width(sign, size)
	end := 0
	for i, r := range text {
		if room -= s.Width(string(r), size); room < 0 {
			break
		}
		end = i + utf8.RuneLen(r)
	}
	return strings.TrimRight(text[:end], " ") + sign
}
