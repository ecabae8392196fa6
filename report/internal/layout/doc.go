// Package layout sets paragraphs, tables, pictures and sections on pages and
// writes them as a PDF. It knows nothing of what they say.
//
// A document is a list of strips, each as wide as the page and as high as its
// text. Lines are broken here and strips are put on pages here, because the PDF
// library below neither keeps a heading with what follows it nor repeats the
// head of a table; it draws, numbers the pages and writes the file.
//
// Text may hold links and the places that they lead to; see [Link] and [Anchor].
package layout

import (
	"time"

	"github.com/johnfercher/maroto/v2/pkg/props"

	"example.com/railbook/report/internal/typeface"
)

// Paper is a size of paper.
type Paper uint8

// The sizes that reports come in.
const (
	A4     Paper = iota // 210 mm by 297 mm
	Letter              // 8.5 in by 11 in
)

// size returns the width and the height in millimetres.
func (p Paper) size() (width, height float64) {
	if p == Letter {
		return 215.9, 279.4
	}
	return 210, 297
}

// Margins of the page in millimetres. The foot of the page stands in the lower
// one.
const (
	marginSide   = 20.0
	marginTop    = 17.0
	marginBottom = 17.0
	footHeight   = 4.0
	footGap      = 3.0 // above the foot's line
)

// Setup describes a document as a whole.
type Setup struct {
	Paper                           Paper
	Title, Author, Subject, Creator string    // for the file's properties
	Date                            time.Time // of the file's properties
	Foot                            string    // at the foot of every page, beside the page's number
}

// Doc is a document in the making. The zero value is not usable; see [New].
type Doc struct {
	setup      Setup
	strips     []strip
	sections   int
	appendices int
	tables     int
	pictures   int
	replaced   map[rune]bool
	entries    []entry // of the outline, that lead to the next strip
}

// New returns an empty document.
func New(s Setup) *Doc {
	return &Doc{setup: s, replaced: map[rune]bool{}}
}

// Width returns the width between the side margins in millimetres.
func (d *Doc) Width() float64 {
	w, _ := d.setup.Paper.size()
	return w - 2*marginSide
}

// bodyHeight is the room for strips on a page.
func (d *Doc) bodyHeight() float64 {
	_, h := d.setup.Paper.size()
	return h - marginTop - marginBottom - footHeight - footGap
}

// Type is how text is set.
type Type struct {
	Size  float64 // in points
	Face  typeface.Style
	Color *props.Color
}

// In returns t in another colour.
func (t Type) In(c *props.Color) Type { t.Color = c; return t }

// Inks and tints. None carries a meaning that is not also in words.
var (
	Ink   = &props.Color{Red: 0x1a, Green: 0x24, Blue: 0x2c}
	Quiet = &props.Color{Red: 0x5a, Green: 0x66, Blue: 0x70}
	Hair  = &props.Color{Red: 0xc4, Green: 0xcb, Blue: 0xd1}
	Tint  = &props.Color{Red: 0xee, Green: 0xf1, Blue: 0xf3}
	Deep  = &props.Color{Red: 0x24, Green: 0x4a, Blue: 0x5c}
	Brown = &props.Color{Red: 0x6b, Green: 0x4a, Blue: 0x12}
	Red   = &props.Color{Red: 0x78, Green: 0x26, Blue: 0x1e}
	White = &props.Color{Red: 0xff, Green: 0xff, Blue: 0xff}
)

// The types that a document is set in.
var (
	Body    = Type{Size: 9, Face: typeface.Regular, Color: Ink}
	Strong  = Type{Size: 9, Face: typeface.Bold, Color: Ink}
	Aside   = Type{Size: 8, Face: typeface.Oblique, Color: Quiet}
	Cellful = Type{Size: 8.3, Face: typeface.Regular, Color: Ink}
	Header  = Type{Size: 8, Face: typeface.Bold, Color: Ink}
	Small   = Type{Size: 7.5, Face: typeface.Regular, Color: Quiet}
	section = Type{Size: 13.5, Face: typeface.Bold, Color: Deep}
	heading = Type{Size: 10, Face: typeface.Bold, Color: Ink}
)

const (
	point   = 25.4 / 72 // mm
	leading = 1.38      // of lines, over the size of type
)

// size returns the size of type in millimetres, and lead the distance of lines.
func (t Type) size() float64 { return t.Size * point }
func (t Type) lead() float64 { return t.Size * point * leading }
