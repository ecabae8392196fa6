// Package typeface holds the one family of type that reports and pictures are
// set in, measures text in it, and says what it cannot print.
//
// The family is DejaVu Sans Condensed, a free font with the Greek, the
// mathematical signs and the discs of the trade's notation. The bytes come with
// a Go module, so nothing is read from the machine.
package typeface

import (
	"slices"
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

var postScript = [styles]string{Regular: "DejaVuSansCondensed", Bold: "DejaVuSansCondensed-Bold", Oblique: "DejaVuSansCondensed-Oblique"}

// PostScript returns the name of a style's font, as PDF files have it.
func (s Style) PostScript() string { return postScript[s] }

// Named returns the style whose font has a name, and whether there is one.
func Named(name string) (Style, bool) {
	i := slices.Index(postScript[:], name)
	return Style(max(i, 0)), i >= 0
}

// face is a parsed style with the widths of the characters asked for so far, in
// thousandths of the type size and rounded to whole ones, as PDF readers take
// them.
type face struct {
	font   *opentype.Font
	common [0x250]int // the widths of Latin letters, which most text is made of

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
			own := &face{font: f, widths: map[rune]int{}}
			for r := range own.common {
				own.common[r] = own.measure(rune(r))
			}
			return own
		})
	}
	return list
}()

// Font returns the parsed font of a style.
func (s Style) Font() *opentype.Font { return faces[s]().font }

// width returns the width of r in thousandths of the type size, or -1.
func (f *face) width(r rune) int {
	if r >= 0 && int(r) < len(f.common) {
		return f.common[r]
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	w, ok := f.widths[r]
	if !ok {
		w = f.measure(r)
		f.widths[r] = w
	}
	return w
}

// measure takes the width of r from the font.
func (f *face) measure(r rune) int {
	index, err := f.font.GlyphIndex(&f.buf, r)
	if err != nil || index == 0 {
		return -1
	}
	em := fixed.Int26_6(f.font.UnitsPerEm())
	advance, err := f.font.GlyphAdvance(&f.buf, index, em, font.HintingNone)
	if err != nil {
		return -1
	}
	return (int(advance)*1000 + int(em)/2) / int(em)
}

// Units returns the width of text on one line in thousandths of the type size. Characters
// without a glyph count for nothing; see [Printable].
func (s Style) Units(text string) int {
	f := faces[s]()
	sum := 0
	for _, r := range text {
		sum += max(0, f.width(r))
	}
	return sum
}

// Width returns the width of text on one line, in the unit that size is given in; see
// [Style.Units].
func (s Style) Width(text string, size float64) float64 {
	return float64(s.Units(text)) * size / 1000
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
