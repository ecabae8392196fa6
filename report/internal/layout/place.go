package layout

import (
	"errors"
	"fmt"
)

// ErrLink marks a document with a link that leads nowhere, or with two places of a name.
var ErrLink = errors.New("the links of the document")

// place is a point of a page, in millimetres from its upper left corner.
type place struct {
	page int // counted from 0
	x, y float64
}

// box is a part of a line on a page, with the height where the line under it is drawn.
type box struct {
	place
	width, height, under float64
}

// bearings are what of a document can be gone to, and where it stands.
type bearings struct {
	places  map[string]place
	entries []placedEntry // in the order of the document
	links   []placedLink  // likewise
}

type placedEntry struct {
	entry
	place
}

type placedLink struct {
	box
	target string
}

// bearings finds where on the pages the marks of the text have come to stand. The error
// wraps [ErrLink].
func (d *Doc) bearings(pages [][]strip) (*bearings, error) {
	b := &bearings{places: map[string]place{}}
	for n, strips := range pages {
		at := place{n, marginSide, marginTop}
		for _, s := range strips {
			for _, name := range s.anchors {
				if err := b.name(name, at); err != nil {
					return nil, err
				}
			}
			for _, e := range s.entries {
				b.entries = append(b.entries, placedEntry{e, at})
			}
			if err := b.strip(s, at, d.Width()); err != nil {
				return nil, err
			}
			at.y += s.height
		}
	}
	for _, l := range b.links {
		_, known := b.places[l.target]
		if _, outside := web(l.target); !known && !outside {
			return nil, fmt.Errorf("%w: one leads to %q, which is nowhere", ErrLink, l.target)
		}
	}
	return b, nil
}

// strip finds the marks in the lines of a strip whose upper left corner is at.
func (b *bearings) strip(s strip, at place, width float64) error {
	for _, c := range s.cells {
		own := width * float64(c.width) / grid
		y := at.y + c.pad.Top
		for _, l := range c.lines {
			x := at.x + c.pad.Left
			if c.align == Right {
				x = at.x + own - c.pad.Right - l.typ.width(l.text)
			}
			for _, name := range l.anchors {
				if err := b.name(name, place{at.page, x, y}); err != nil {
					return err
				}
			}
			for _, r := range l.links {
				from, to := l.typ.width(l.text[:r.from]), l.typ.width(l.text[:r.to])
				// The line under the words is as far below their foot as DejaVu's own
				// is, in parts of the size.
				const top, foot, under = 0.1, 0.25, 0.13
				size := l.typ.size()
				b.links = append(b.links, placedLink{
					box{place{at.page, x + from, y + top*size}, to - from, (1 - top + foot) * size, (1 - top + under) * size},
					r.target,
				})
			}
			y += l.typ.lead()
		}
		at.x += own
	}
	return nil
}

// name makes a point the place of a name.
func (b *bearings) name(name string, at place) error {
	if _, taken := b.places[name]; taken {
		return fmt.Errorf("%w: two places are named %q", ErrLink, name)
	}
	b.places[name] = at
	return nil
}
