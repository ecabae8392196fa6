package layout

import (
	"github.com/johnfercher/maroto/v2/pkg/props"
)

// grid is how many units of width a page has; cells are whole numbers of them.
const grid = 1000

// Align is how text stands in a cell.
type Align uint8

// The ways text stands.
const (
	Left Align = iota
	Right
)

// Cell is a part of a [Row].
type Cell struct {
	Width int // in thousandths of the page's width
	Text  string
	Type  Type
	Note  string // below the text, in [Small]
	Align Align
	Fill  *props.Color // behind the text; nil for none
	Pad   Pad
	Rule  Rule   // under this cell alone
	Image *Image // in place of text; nil for none
}

// Image is a picture in a cell.
type Image struct {
	PNG           []byte
	Width, Height float64 // on the page, in millimetres; no larger than the cell and a page
}

// Pad is the white around the text of a cell, in millimetres.
type Pad struct{ Left, Top, Right, Bottom float64 }

// tight is the white around text in tables.
var tight = Pad{Left: 1, Top: 0.9, Right: 1, Bottom: 0.9}

// Row is a row of cells that fill the width of the page.
type Row struct {
	Cells []Cell
	Rule  Rule // under the row
	Keep  bool // on the page of the next row
}

// Rule is a line under a row.
type Rule uint8

// The lines under rows.
const (
	NoRule Rule = iota
	Hairline
	Thin // to write on
	Thick
)

// strip is a row with its lines broken, ready to be put on a page.
type strip struct {
	height  float64 // mm
	cells   []setCell
	rule    Rule
	keep    bool    // with the next strip
	need    float64 // room that has to be left on the page to start here
	blank   bool    // white that is left out at the top of a page
	section int     // which section starts here, counted from 1; 0 for none
	head    []strip // to be repeated when this strip starts a page
	newPage bool    // starts a page
	anchors []string
	entries []entry // of the outline, that lead here
	later   func()  // adds what stands here when all else is there; nil for a strip
}

// entry is a line of the document's outline.
type entry struct {
	level int // 1 for sections, 2 for what stands below them
	title string
}

// setCell is a cell with its lines broken.
type setCell struct {
	width int
	lines []setLine
	page  int // the section whose page number is the first line; 0 for none
	align Align
	fill  *props.Color
	pad   Pad
	rule  Rule
	image *Image
}

// setLine is one line of text.
type setLine struct {
	text    string
	typ     Type
	links   []run
	anchors []string
}

// setLines breaks text into lines of a type.
func (d *Doc) setLines(text string, t Type, width float64) []setLine {
	plain, marks := unmark(text)
	var list []setLine
	for _, l := range d.lines(plain, t, width) {
		list = append(list, setLine{text: l, typ: t})
	}
	locate(list, plain, marks)
	return list
}

// mostLines is how many lines of a row are kept together. A row with more is
// broken, so that none is higher than a page.
const mostLines = 14

// set breaks the lines of a row into strips, mostly one.
func (d *Doc) set(r Row) []strip {
	cells := make([]setCell, len(r.Cells))
	most := 1
	for i, c := range r.Cells {
		width := d.Width()*float64(c.Width)/grid - c.Pad.Left - c.Pad.Right
		cells[i] = setCell{
			width: c.Width, lines: d.setLines(c.Text, c.Type, width),
			align: c.Align, fill: c.Fill, pad: c.Pad, rule: c.Rule, image: c.Image,
		}
		if c.Note != "" {
			cells[i].lines = append(cells[i].lines, d.setLines(c.Note, Small, width)...)
		}
		most = max(most, len(cells[i].lines))
	}
	if most <= mostLines {
		return []strip{{height: height(cells), cells: cells, rule: r.Rule, keep: r.Keep}}
	}
	var list []strip
	for from := 0; from < most; from += mostLines {
		to := min(from+mostLines, most)
		if most-to < 3 {
			to = most // no scraps
		}
		part := make([]setCell, len(cells))
		for i, c := range cells {
			c.lines = c.lines[min(from, len(c.lines)):min(to, len(c.lines))]
			if from > 0 {
				c.pad.Top = 0
			}
			if to < most {
				c.pad.Bottom = 0
				c.rule = NoRule
			}
			part[i] = c
		}
		s := strip{height: height(part), cells: part}
		if to == most {
			s.rule, s.keep = r.Rule, r.Keep
		}
		list = append(list, s)
		if to == most {
			break
		}
	}
	return list
}

// height returns the height that cells need side by side.
func height(cells []setCell) float64 {
	h := 0.0
	for _, c := range cells {
		own := c.pad.Top + c.pad.Bottom
		for _, l := range c.lines {
			own += l.typ.lead()
		}
		if c.image != nil {
			own = max(own, c.pad.Top+c.image.Height+c.pad.Bottom)
		}
		h = max(h, own)
	}
	return h
}

func (d *Doc) add(strips ...strip) {
	for _, s := range strips {
		if !s.blank && !s.newPage && d.entries != nil {
			s.entries, d.entries = append(d.entries, s.entries...), nil
		}
		d.strips = append(d.strips, s)
	}
}

// Row adds a row of cells.
func (d *Doc) Row(r Row) { d.add(d.set(r)...) }

// Space adds white, in millimetres, which is left out at the top of a page.
func (d *Doc) Space(mm float64) { d.add(strip{height: mm, blank: true}) }

// Later keeps the place for what a function adds, and calls it when all else has been
// added: for what is known only then, such as [Doc.Replaced]. The function must add
// nothing that has a number.
func (d *Doc) Later(write func()) { d.add(strip{blank: true, later: write}) }

// complete has everything added that was to be added later.
func (d *Doc) complete() {
	d.printable(d.setup.Foot)
	var all []strip
	for _, s := range d.strips {
		if s.later == nil {
			all = append(all, s)
			continue
		}
		d.strips = nil
		s.later()
		all = append(all, d.strips...)
	}
	d.strips = all
}

// NewPage starts a page.
func (d *Doc) NewPage() { d.add(strip{newPage: true}) }
