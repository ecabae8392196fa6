package layout

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"slices"

	"example.com/railbook/report/internal/pdffile"
)

// navigator adds to a file what the PDF library below cannot make: an outline, named
// places, and links with a line under their words.
type navigator struct {
	*bearings
	height float64 // of the pages, in millimetres
	update *pdffile.Update
	pages  []pdffile.Page
}

func (d *Doc) navigator(b *bearings) *navigator {
	_, height := d.setup.Paper.size()
	return &navigator{bearings: b, height: height}
}

func (n *navigator) add(f *pdffile.File, u *pdffile.Update) error {
	root, catalogue, err := f.Root()
	if err != nil {
		return err
	}
	if n.pages, err = f.Pages(); err != nil {
		return err
	}
	n.update = u
	if err := n.addLinks(); err != nil {
		return err
	}
	catalogue["Names"] = pdffile.Dict{"Dests": n.destinations()}
	if len(n.entries) > 0 {
		catalogue["Outlines"] = n.outline()
		catalogue["PageMode"] = pdffile.Name("UseOutlines")
	}
	u.Set(root, catalogue)
	return nil
}

// points turns millimetres into points, to a hundredth.
func points(mm float64) float64 { return math.Round(mm/point*100) / 100 }

// up is the height of a place above the foot of its page, in points.
func (n *navigator) up(y float64) float64 { return points(n.height - y) }

// destination leads to a place, with a little of what stands above it (ISO 32000-1,
// section 12.3.2.2).
func (n *navigator) destination(p place) pdffile.Array {
	const above = 2 // mm
	return pdffile.Array{n.pages[p.page].Ref, pdffile.Name("XYZ"), 0, n.up(p.y - above), 0}
}

// destinations is the tree of the names of all places (section 12.3.2.3).
func (n *navigator) destinations() pdffile.Ref {
	all := map[pdffile.String]place{}
	for name, p := range n.places {
		all[pdffile.Encode(name)] = p
	}
	list := pdffile.Array{}
	for _, name := range slices.Sorted(maps.Keys(all)) {
		list = append(list, name, n.destination(all[name]))
	}
	return n.update.Add(pdffile.Dict{"Names": list})
}

// addLinks adds the links to their pages (section 12.5.6.5), and draws a line under each,
// as not every reader of PDF shows where a link is, and paper never does.
func (n *navigator) addLinks() error {
	rest := n.links
	for i, p := range n.pages {
		notes := pdffile.Array{}
		var lines bytes.Buffer
		fmt.Fprintf(&lines, "q %.3f %.3f %.3f RG 0.35 w\n", share(Deep.Red), share(Deep.Green), share(Deep.Blue))
		for ; len(rest) > 0 && rest[0].page == i; rest = rest[1:] {
			l := rest[0]
			left, right, top, foot := points(l.x), points(l.x+l.width), n.up(l.y), n.up(l.y+l.height)
			const printed = 4 // section 12.5.3
			note := pdffile.Dict{
				"Type": pdffile.Name("Annot"), "Subtype": pdffile.Name("Link"), "F": printed, "P": p.Ref,
				"Border": pdffile.Array{0, 0, 0}, "Rect": pdffile.Array{left, foot, right, top},
			}
			if _, inside := n.places[l.target]; inside {
				note["Dest"] = pdffile.Encode(l.target)
			} else {
				address, _ := web(l.target)
				note["A"] = pdffile.Dict{"S": pdffile.Name("URI"), "URI": pdffile.String(address)}
			}
			notes = append(notes, n.update.Add(note))
			under := n.up(l.y + l.under)
			fmt.Fprintf(&lines, "%.2f %.2f m %.2f %.2f l\n", left, under, right, under)
		}
		if len(notes) == 0 {
			continue
		}
		lines.WriteString("S Q\n")
		drawn, err := pdffile.Deflate(nil, lines.Bytes())
		if err != nil {
			return err
		}
		p.Dict["Annots"] = notes
		p.Dict["Contents"] = pdffile.Array{p.Dict["Contents"], n.update.Add(drawn)}
		n.update.Set(p.Ref, p.Dict)
	}
	return nil
}

// share is a part of a colour, of 1.
func share(c int) float64 { return float64(c) / 0xff }

// outline adds the outline of the document (section 12.3.3): its sections, each closed
// over its headings.
func (n *navigator) outline() pdffile.Ref {
	root := pdffile.Dict{"Type": pdffile.Name("Outlines")}
	top := n.update.Add(root)
	var sections, parts siblings
	for _, e := range n.entries {
		item := pdffile.Dict{"Title": pdffile.Encode(e.title), "Dest": n.destination(e.place)}
		r := n.update.Add(item)
		if e.level == 1 || sections.items == nil {
			parts.link(closed)
			sections.parent, sections.parentRef = root, top
			sections.add(item, r)
			parts = siblings{parent: item, parentRef: r}
			continue
		}
		parts.add(item, r)
	}
	parts.link(closed)
	sections.link(open)
	return top
}

// siblings are the entries of an outline below one of them.
type siblings struct {
	parent    pdffile.Dict
	parentRef pdffile.Ref
	items     []pdffile.Dict
	refs      []pdffile.Ref
}

func (s *siblings) add(item pdffile.Dict, r pdffile.Ref) {
	item["Parent"] = s.parentRef
	s.items, s.refs = append(s.items, item), append(s.refs, r)
}

// Whether entries are shown at first is the sign of how many they are.
const open, closed = 1, -1

// link ties the entries to one another.
func (s *siblings) link(sign int) {
	last := len(s.items) - 1
	if last < 0 {
		return
	}
	s.parent["First"], s.parent["Last"], s.parent["Count"] = s.refs[0], s.refs[last], sign*len(s.items)
	for i := range last {
		s.items[i]["Next"], s.items[i+1]["Prev"] = s.refs[i+1], s.refs[i]
	}
}
