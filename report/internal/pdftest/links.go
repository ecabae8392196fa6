package pdftest

import (
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/internal/typeface"
)

// Link is a link as a reader of the file finds it.
type Link struct {
	Page   int    // it stands on, from 1
	Words  string // in its box; a link that is broken into lines is several
	Target string // the name of the place it leads to; empty for one to the web
	There  string // the line of text that stands at that place, or below it
	URI    string // for one to the web
}

// Links returns all links of a file, page by page. It fails the test for one that leads
// nowhere.
func Links(t testing.TB, pdf []byte) []Link {
	t.Helper()
	r := read(t, pdf)
	places := r.places()
	var list []Link
	for n, page := range r.pages {
		notes, err := r.f.Array(page.Dict["Annots"])
		r.must(err)
		for _, o := range notes {
			note, err := r.f.Dict(o)
			r.must(err)
			if note["Subtype"] != pdffile.Name("Link") {
				continue
			}
			rect, ok := note["Rect"].(pdffile.Array)
			if !ok || len(rect) != 4 {
				t.Fatalf("page %d: a link in the box %v", n+1, note["Rect"])
			}
			l := Link{Page: n + 1, Words: r.words(n, Number(rect[0]), Number(rect[1]), Number(rect[2]), Number(rect[3]))}
			if action, ok := note["A"].(pdffile.Dict); ok {
				uri, _ := action["URI"].(pdffile.String)
				l.URI = string(uri)
				list = append(list, l)
				continue
			}
			name, _ := note["Dest"].(pdffile.String)
			l.Target = pdffile.Text(name)
			to, known := places[l.Target]
			if !known {
				t.Errorf("page %d: %q leads to %q, which is nowhere", n+1, l.Words, l.Target)
				continue
			}
			l.There = r.lineBelow(to)
			list = append(list, l)
		}
	}
	return list
}

// Outline returns the outline of a file, a line for each entry, those below another one
// indented; behind an entry that is not written where it leads to stands what is. It
// fails the test for entries that are not tied to one another as they should be.
func Outline(t testing.TB, pdf []byte) []string {
	t.Helper()
	r := read(t, pdf)
	_, root, err := r.f.Root()
	r.must(err)
	top, err := r.f.Dict(root["Outlines"])
	r.must(err)
	return r.outline(top, "")
}

// reader is a file that a test reads.
type reader struct {
	t      testing.TB
	f      *pdffile.File
	pages  []pdffile.Page
	pieces [][]pdftext.Piece
}

func read(t testing.TB, pdf []byte) *reader {
	t.Helper()
	r := &reader{t: t}
	var err error
	r.f, err = pdffile.Open(pdf)
	r.must(err)
	r.pages, err = r.f.Pages()
	r.must(err)
	r.pieces, err = pdftext.Placed(pdf)
	r.must(err)
	return r
}

func (r *reader) must(err error) {
	r.t.Helper()
	if err != nil {
		r.t.Fatal(err)
	}
}

// place is a page, counted from 0, and a height on it in points.
type place struct {
	page int
	y    float64
}

// places reads the names of places.
func (r *reader) places() map[string]place {
	r.t.Helper()
	_, root, err := r.f.Root()
	r.must(err)
	trees, err := r.f.Dict(root["Names"])
	r.must(err)
	tree, err := r.f.Dict(trees["Dests"])
	r.must(err)
	list, err := r.f.Array(tree["Names"])
	r.must(err)
	all := map[string]place{}
	before := ""
	for i := 0; i+1 < len(list); i += 2 {
		name, _ := list[i].(pdffile.String)
		if i > 0 && string(name) <= before {
			r.t.Errorf("the name %q does not stand in order", name)
		}
		before = string(name)
		all[pdffile.Text(name)] = r.place(list[i+1])
	}
	return all
}

func (r *reader) place(o pdffile.Object) place {
	r.t.Helper()
	d, ok := o.(pdffile.Array)
	if !ok || len(d) != 5 {
		r.t.Fatalf("a destination %v", o)
	}
	for n, p := range r.pages {
		if p.Ref == d[0] && d[1] == pdffile.Name("XYZ") {
			return place{n, Number(d[3])}
		}
	}
	r.t.Fatalf("the destination %v is on no page", d)
	return place{}
}

// lineBelow is the text that stands next below a place, in one line.
func (r *reader) lineBelow(p place) string {
	best, text := -1.0, ""
	for _, piece := range r.pieces[p.page] {
		if piece.Y < p.y && piece.Y > best {
			best, text = piece.Y, ""
		}
		if piece.Y == best {
			text += piece.Text + " "
		}
	}
	return text
}

// words are the characters whose middle lies in a box on a page.
func (r *reader) words(page int, left, foot, right, top float64) string {
	text := ""
	for _, p := range r.pieces[page] {
		style, _ := typeface.Named(p.Font)
		if p.Y <= foot || p.Y >= top || p.X >= right {
			continue
		}
		x := p.X
		for _, c := range p.Text {
			w := style.Width(string(c), p.Size)
			if middle := x + w/2; middle > left && middle < right {
				text += string(c)
			}
			x += w
		}
	}
	return text
}

func (r *reader) outline(parent pdffile.Dict, indent string) (lines []string) {
	r.t.Helper()
	n := 0
	var before pdffile.Object
	for o := parent["First"]; o != nil; n++ {
		item, err := r.f.Dict(o)
		r.must(err)
		text, _ := item["Title"].(pdffile.String)
		title := pdffile.Text(text)
		if n > 0 && item["Prev"] != before {
			r.t.Errorf("%q is not tied to what stands before it", title)
		}
		to := r.place(item["Dest"])
		if there := r.lineBelow(to); !strings.Contains(squeeze(there), squeeze(title)) && !strings.Contains(squeeze(title), squeeze(there)) {
			lines = append(lines, indent+title+" → "+there)
		} else {
			lines = append(lines, indent+title)
		}
		lines = append(lines, r.outline(item, indent+"\t")...)
		before = o
		o = item["Next"]
	}
	if before != parent["Last"] {
		r.t.Errorf("the last of %d entries is not that of their parent", n)
	}
	if count := Number(parent["Count"]); n > 0 && count != float64(n) && count != float64(-n) {
		r.t.Errorf("%d entries in place of %v", n, count)
	}
	return lines
}

func squeeze(text string) string {
	text, _ = typeface.Printable(text)
	return strings.ReplaceAll(text, " ", "")
}
