package layout

import (
	"strconv"

	"example.com/railbook/report/internal/pdffile"
)

// Section starts a numbered section and returns its number. It is a place of the name
// "section-3", and an entry of the outline.
func (d *Doc) Section(title string) int {
	d.sections++
	label := strconv.Itoa(d.sections)
	d.section(label, "section-"+label, title)
	return d.sections
}

// Appendix starts an appendix, behind all sections, and returns its letter. It is a place
// of the name "appendix-A", and an entry of the outline.
func (d *Doc) Appendix(title string) string {
	d.appendices++
	label := letter(d.appendices)
	d.section(label, "appendix-"+label, title)
	return label
}

// letter returns the label of an appendix, counted from 1.
func letter(n int) string {
	const letters = 26
	if n > letters {
		return letter((n-1)/letters) + letter((n-1)%letters+1)
	}
	return string(rune('A' + n - 1))
}

func (d *Doc) section(label, anchor, title string) {
	d.add(strip{height: 8, blank: true, keep: true})
	const number = 55
	rows := d.set(Row{Keep: true, Rule: Hairline, Cells: []Cell{
		{Width: number, Text: label, Type: section, Pad: Pad{Bottom: 1.2}},
		{Width: grid - number, Text: title, Type: section, Pad: Pad{Bottom: 1.2}},
	}})
	rows[0].section, rows[0].need = d.sections+d.appendices, 42
	rows[0].anchors = []string{anchor}
	rows[0].entries = []entry{d.entry(1, label+" "+title)}
	d.add(rows...)
	d.add(strip{height: 2.5, blank: true, keep: true})
}

// Heading starts a part of a section, which is an entry of the outline below it.
func (d *Doc) Heading(title string) {
	d.add(strip{height: 3, blank: true, keep: true})
	rows := d.set(Row{Keep: true, Cells: []Cell{{Width: grid, Text: title, Type: heading, Pad: Pad{Bottom: 1}}}})
	rows[0].need = 25
	rows[0].entries = []entry{d.entry(2, title)}
	d.add(rows...)
}

// Outline adds an entry to the document's outline that leads to what is added next: to
// the cover, as an example, which is no section. Sections and headings need none.
func (d *Doc) Outline(title string) { d.entries = append(d.entries, d.entry(1, title)) }

func (d *Doc) entry(level int, title string) entry { return entry{level, pdffile.Line(Plain(title))} }

// Text adds paragraphs, separated by line feeds, which may run over pages.
func (d *Doc) Text(text string, t Type) { d.paragraphs(text, t, false) }

// Lead adds paragraphs that stay on the page of what follows them.
func (d *Doc) Lead(text string, t Type) { d.paragraphs(text, t, true) }

func (d *Doc) paragraphs(text string, t Type, keep bool) {
	lines := d.setLines(text, t, d.Width())
	for i, l := range lines {
		last := i == len(lines)-1
		s := strip{height: t.lead(), cells: []setCell{{width: grid, lines: []setLine{l}}}, keep: keep}
		// Neither the first line nor the last stands alone on a page.
		s.keep = s.keep || !last && (i == 0 || i == len(lines)-2)
		d.add(s)
	}
	d.add(strip{height: 1.6, blank: true, keep: keep})
}

// List adds paragraphs with a mark in front of each.
func (d *Doc) List(mark string, t Type, items ...string) {
	const room = 25
	for _, item := range items {
		d.Row(Row{Cells: []Cell{
			{Width: room, Text: mark, Type: t, Pad: Pad{Left: 0.5, Bottom: 0.8}},
			{Width: grid - room, Text: item, Type: t, Pad: Pad{Bottom: 0.8}},
		}})
	}
	d.Space(1.2)
}

// Contents adds the titles of the sections and the appendices, which are added later in
// the same order, with the pages they start on, in two columns. Each is a link.
func (d *Doc) Contents(sections []string, appendices ...string) {
	type item struct{ label, anchor, title string }
	var list []item
	for i, title := range sections {
		label := strconv.Itoa(i + 1)
		list = append(list, item{label, "section-" + label, title})
	}
	for i, title := range appendices {
		label := letter(i + 1)
		list = append(list, item{label, "appendix-" + label, title})
	}
	const number, page, gutter = 35, 45, 40
	half := (grid - gutter) / 2
	rows := (len(list) + 1) / 2
	for r := range rows {
		var cells []setCell
		for _, i := range []int{r, r + rows} {
			if i >= len(list) {
				cells = append(cells, setCell{width: half})
				continue
			}
			it, pad := list[i], Pad{Top: 0.5, Bottom: 0.5}
			title := d.setLines(Link(it.anchor, it.title), Body, d.Width()*float64(half-number-page)/grid)
			cells = append(cells,
				setCell{width: number, lines: []setLine{{text: it.label, typ: Body.In(Quiet)}}, pad: pad},
				setCell{width: half - number - page, lines: title, pad: pad},
				setCell{width: page, lines: []setLine{{typ: Body}}, page: i + 1, align: Right, pad: pad},
			)
			if i == r {
				cells = append(cells, setCell{width: gutter})
			}
		}
		d.add(strip{height: height(cells), cells: cells})
	}
}
