package live

import (
	"unicode/utf8"

	"github.com/go-echarts/go-echarts/v2/opts"

	"example.com/railbook/report/figure"
	"example.com/railbook/sizing/sweep"
)

// The size of a map's inner field and of its texts in CSS pixels, about: texts
// are placed for a page of the usual width.
const (
	fieldWidth  = 640.0
	fieldHeight = 400.0
	glyphWidth  = 7.2
	textHeight  = 20.0
)

// placer puts the names of lines on the lines, where they cover neither each
// other nor the edge. A line without such a place stays without a name.
type placer struct{ boxes []box }

// box is a rectangle in pixels from the field's lower left corner.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) meets(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

// field returns where a point, counted in the cells of s, lies on the field.
func field(s *figure.Surface, p sweep.Point) (x, y float64) {
	return (p.X + 0.5) / float64(len(s.X.Values)) * fieldWidth, (p.Y + 0.5) / float64(len(s.Y.Values)) * fieldHeight
}

// keepOff keeps names off a mark at a point.
func (p *placer) keepOff(s *figure.Surface, at sweep.Point) {
	x, y := field(s, at)
	p.boxes = append(p.boxes, box{x - 12, y - 12, x + 12, y + 12})
}

// shares are the places along a line that are tried, in turn.
var shares = []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88}

// place finds a place for the name of lines of one height on the longest of
// them. Lines are counted in the cells of s.
func (p *placer) place(s *figure.Surface, lines [][]sweep.Point, text string) []opts.ScatterData {
	var longest []sweep.Point
	for _, line := range lines {
		if len(line) > len(longest) {
			longest = line
		}
	}
	width := glyphWidth*float64(utf8.RuneCountInString(text)) + 10
	for _, share := range shares {
		if len(longest) == 0 {
			break
		}
		at := longest[int(share*float64(len(longest)-1)+0.5)]
		x, y := field(s, at)
		b := box{x - width/2, y - textHeight/2, x + width/2, y + textHeight/2}
		if b.x0 >= 0 && b.y0 >= 0 && b.x1 <= fieldWidth && b.y1 <= fieldHeight && !p.taken(b) {
			p.boxes = append(p.boxes, b)
			return []opts.ScatterData{{Name: text, Value: []any{number(at.X), number(at.Y)}}}
		}
	}
	return nil
}

func (p *placer) taken(b box) bool {
	for _, c := range p.boxes {
		if b.meets(c) {
			return true
		}
	}
	return false
}
