package layout

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"example.com/railbook/report/internal/typeface"
)

// Tie is a space at which a line is not broken, as between a number and its
// unit. It is printed as a plain space.
const Tie = '\u00a0'

// lines breaks text, without marks, into lines no wider than width, in millimetres. Line feeds
// in the text stay; other white space is a space. A word wider than a line is
// broken where the line is full. Characters that cannot be printed are replaced
// and remembered. Empty text is one empty line.
func (d *Doc) lines(text string, t Type, width float64) []string {
	// What draws the line measures it again, by the same widths but summed in
	// another order.
	width -= 0.05
	var all []string
	for para := range strings.SplitSeq(text, "\n") {
		all = append(all, d.paragraph(para, t, width)...)
	}
	return all
}

func (d *Doc) paragraph(text string, t Type, width float64) []string {
	var lines []string
	var line strings.Builder
	used := 0 // of the line, in thousandths of the size
	turn := func() {
		if line.Len() > 0 {
			lines = append(lines, line.String())
		}
		line.Reset()
		used = 0
	}
	space := t.Face.Units(" ")
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r != Tie && unicode.IsSpace(r) }) {
		word = d.printable(word)
		if word == "" {
			continue
		}
		own := t.Face.Units(word)
		if line.Len() > 0 && t.millimetres(used+space+own) <= width {
			line.WriteByte(' ')
			line.WriteString(word)
			used += space + own
			continue
		}
		turn()
		for t.millimetres(own) > width {
			head, rest := t.split(word, width)
			if rest == "" {
				break
			}
			lines, word = append(lines, head), rest
			own = t.Face.Units(word)
		}
		line.WriteString(word)
		used = own
	}
	return append(lines, line.String())
}

// millimetres turns a width in thousandths of the size of type into millimetres.
func (t Type) millimetres(units int) float64 { return float64(units) * t.size() / 1000 }

// printable returns text as it can be printed, on one line and with ties as
// plain spaces, and remembers what had to be replaced.
func (d *Doc) printable(text string) string {
	text, replaced := typeface.Printable(text)
	for _, r := range replaced {
		d.replaced[r] = true
	}
	return text
}

// width returns the width of text in millimetres.
func (t Type) width(text string) float64 { return t.Face.Width(text, t.size()) }

// split cuts a word where a line is full, behind a hyphen or a slash where one
// stands in the second half of it, at least one character and never before a mark
// that belongs to the character in front of it.
func (t Type) split(word string, width float64) (head, rest string) {
	end, seam, used := 0, 0, 0
	for i, r := range word {
		if i > 0 && !unicode.Is(unicode.M, r) {
			if end > 0 && t.millimetres(used) > width {
				break
			}
			end = i
			if c := word[i-1]; c == '-' || c == '/' {
				seam = i
			}
		}
		used += t.Face.Units(string(r))
	}
	if seam > end/2 {
		end = seam
	}
	if end == 0 {
		return word, ""
	}
	return word[:end], word[end:]
}

// longest returns the width of the longest word of text, and natural the width
// of its longest line when nothing is broken.
func (d *Doc) longest(text string, t Type) (longest, natural float64) {
	for para := range strings.SplitSeq(Plain(text), "\n") {
		natural = max(natural, t.width(d.printable(para)))
		for _, word := range strings.FieldsFunc(para, func(r rune) bool { return r != Tie && unicode.IsSpace(r) }) {
			longest = max(longest, t.width(d.printable(word)))
		}
	}
	return longest, natural
}

// Replaced returns the characters that have been printed as "□" so far, in
// order.
func (d *Doc) Replaced() []rune {
	return slices.Sorted(maps.Keys(d.replaced))
}
