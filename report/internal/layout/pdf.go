package layout

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"sync"
	"time"

	"github.com/johnfercher/maroto/v2"
	"github.com/johnfercher/maroto/v2/pkg/components/col"
	"github.com/johnfercher/maroto/v2/pkg/components/image"
	"github.com/johnfercher/maroto/v2/pkg/components/page"
	"github.com/johnfercher/maroto/v2/pkg/components/row"
	"github.com/johnfercher/maroto/v2/pkg/components/text"
	"github.com/johnfercher/maroto/v2/pkg/config"
	"github.com/johnfercher/maroto/v2/pkg/consts/align"
	"github.com/johnfercher/maroto/v2/pkg/consts/border"
	"github.com/johnfercher/maroto/v2/pkg/consts/extension"
	"github.com/johnfercher/maroto/v2/pkg/consts/fontstyle"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"
	"github.com/johnfercher/maroto/v2/pkg/repository"
	"github.com/phpdave11/gofpdf"

	"example.com/railbook/report/internal/typeface"
)

// ErrDrawing marks a document in which something could not be drawn.
var ErrDrawing = errors.New("the PDF could not be drawn")

// PDF returns the document as a PDF file with an outline and links. The same document
// gives the same bytes. The error wraps [ErrLink] or [ErrDrawing].
func (d *Doc) PDF() ([]byte, error) {
	c, err := d.config()
	if err != nil {
		return nil, err
	}
	m := newMaroto(c, d.setup.Date)
	if err := m.RegisterFooter(d.foot()); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrDrawing, err)
	}
	d.complete()
	pages, starts := d.pages()
	marks, err := d.bearings(pages)
	if err != nil {
		return nil, err
	}
	for _, strips := range pages {
		p := page.New()
		strips[len(strips)-1].height += d.slack(strips)
		for _, s := range strips {
			p.Add(s.row(starts, d.Width()))
		}
		m.AddPages(p)
	}
	out, err := m.Generate()
	if err != nil {
		return nil, fmt.Errorf("%w: %v", ErrDrawing, err)
	}
	data := out.GetBytes()
	if err := check(data); err != nil {
		return nil, err
	}
	return d.finish(data, marks)
}

// slack is what to add to the height of a page's last strip so that the page stays a
// hair's breadth short of full.
//
// Maroto fills the page up to its foot with white, rounded down to a billionth of a
// millimetre. Where nothing is left to round, the sum of all heights comes to the whole
// page but for the last bits, and as these fall the library below it finds the foot too
// low and puts it on a page of its own.
func (d *Doc) slack(strips []strip) float64 {
	white := d.bodyHeight() + footGap
	for _, s := range strips {
		white -= s.height
	}
	return white - (math.Floor(white*1e9)-0.5)*1e-9
}

// defaults guards the settings that the library below keeps for all documents.
var defaults sync.Mutex

// newMaroto makes a document whose file depends on nothing but its content and
// date.
func newMaroto(c *entity.Config, date time.Time) core.Maroto {
	defaults.Lock()
	defer defaults.Unlock()
	// They are read when a document is made. Without them the file would tell the
	// time of its making, and list its parts in the order of a map.
	gofpdf.SetDefaultCatalogSort(true)
	gofpdf.SetDefaultCreationDate(date)
	gofpdf.SetDefaultModificationDate(date)
	defer gofpdf.SetDefaultCatalogSort(false)
	defer gofpdf.SetDefaultCreationDate(time.Time{})
	defer gofpdf.SetDefaultModificationDate(time.Time{})
	return maroto.New(c)
}

// check refuses a file in which maroto reported a failure: it does so by words
// in red Helvetica on the page, a font that documents here never use.
func check(data []byte) error {
	if bytes.Contains(data, []byte("/BaseFont /Helvetica")) {
		return fmt.Errorf("%w: the library below reported a failure on a page", ErrDrawing)
	}
	return nil
}

func (d *Doc) config() (*entity.Config, error) {
	fonts, err := repository.New().
		AddUTF8FontFromBytes(typeface.Name, fontstyle.Normal, typeface.Regular.TTF()).
		AddUTF8FontFromBytes(typeface.Name, fontstyle.Bold, typeface.Bold.TTF()).
		AddUTF8FontFromBytes(typeface.Name, fontstyle.Italic, typeface.Oblique.TTF()).
		Load()
	if err != nil {
		return nil, fmt.Errorf("%w: %v", ErrDrawing, err)
	}
	w, h := d.setup.Paper.size()
	return config.NewBuilder().
		WithDimensions(w, h).
		WithLeftMargin(marginSide).WithRightMargin(marginSide).
		WithTopMargin(marginTop).WithBottomMargin(marginBottom).
		WithMaxGridSize(grid).
		WithCustomFonts(fonts).
		WithDefaultFont(&props.Font{Family: typeface.Name, Size: Small.Size, Color: Quiet}).
		WithPageNumber(props.PageNumber{Pattern: "Page {current} of {total}", Place: props.RightBottom}).
		WithCreationDate(d.setup.Date).
		WithCompression(true).
		WithSequentialMode().
		Build(), nil
}

// foot is the last row of every page: a hairline, and below it the foot's words
// beside the place where maroto writes the number of the page.
func (d *Doc) foot() core.Row {
	words := Small.Face.Ellipsis(d.printable(d.setup.Foot), Small.size(), 0.8*d.Width())
	c := col.New(grid).Add(text.New(words, Small.props(footHeight))).
		WithStyle(&props.Cell{BorderType: border.Top, BorderColor: Hair, BorderThickness: 0.15})
	return row.New(footHeight).Add(c)
}

// props returns the properties of a line of text whose type starts at top.
func (t Type) props(top float64) props.Text {
	styles := [...]fontstyle.Type{typeface.Regular: fontstyle.Normal, typeface.Bold: fontstyle.Bold, typeface.Oblique: fontstyle.Italic}
	return props.Text{Top: top, Family: typeface.Name, Style: styles[t.Face], Size: t.Size, Color: t.Color}
}

// row turns a strip into a row of maroto's; starts gives the pages of sections.
func (s strip) row(starts map[int]int, width float64) core.Row {
	r := row.New(s.height)
	if len(s.cells) == 0 {
		return r.Add(col.New(grid))
	}
	for _, c := range s.cells {
		column := c.col(s.rule, starts)
		if c.image != nil {
			column.Add(c.image.component(c, width*float64(c.width)/grid, s.height))
		}
		r.Add(column)
	}
	return r
}

// component places an image in a cell of a size in millimetres. Maroto wants to know what
// part of the cell it fills, by the side that it fills more of.
func (i *Image) component(c setCell, width, height float64) core.Component {
	left := c.pad.Left
	if c.align == Right {
		left = width - c.pad.Right - i.Width
	}
	return image.NewFromBytes(i.PNG, extension.Png, props.Rect{
		Left: left, Top: c.pad.Top, Percent: 100 * max(i.Width/width, i.Height/height),
	})
}

func (c setCell) col(rule Rule, starts map[int]int) core.Col {
	column := col.New(c.width)
	top := c.pad.Top
	for i, l := range c.lines {
		if i == 0 && c.page > 0 {
			l.text = strconv.Itoa(starts[c.page])
		}
		p := l.typ.props(top)
		top += l.typ.lead()
		if l.text == "" {
			continue
		}
		p.Left, p.Right = c.pad.Left, c.pad.Right
		if c.align == Right {
			p.Align = align.Right
		}
		column.Add(text.New(l.text, p))
	}
	style := props.Cell{BackgroundColor: c.fill}
	switch max(rule, c.rule) {
	case Hairline:
		style.BorderType, style.BorderColor, style.BorderThickness = border.Bottom, Hair, 0.15
	case Thin:
		style.BorderType, style.BorderColor, style.BorderThickness = border.Bottom, Ink, 0.15
	case Thick:
		style.BorderType, style.BorderColor, style.BorderThickness = border.Bottom, Ink, 0.35
	}
	return column.WithStyle(&style)
}
