package layout

import "strconv"

// Section starts a numbered section and returns its number.
func (d *Doc) Section(title string) int {
	d.sections++
	d.add(strip{height: 8, blank: true, keep: true})
	const number = 55
	rows := d.set(Row{Keep: true, Rule: Hairline, Cells: []Cell{
		{Width: number, Text: strconv.Itoa(d.sections), Type: section, Pad: Pad{Bottom: 1.2}},
		{Width: grid - number, Text: title, Type: section, Pad: Pad{Bottom: 1.2}},
	}})
	rows[0].section, rows[0].need = d.sections, 42
	d.add(rows...)
	d.add(strip{height: 2.5, blank: true, keep: true})
	return d.sections
}

// Heading starts a part of a section.
func (d *Doc) Heading(title string) {
	d.add(strip{height: 3, blank: true, keep: true})
	rows := d.set(Row{Keep: true, Cells: []Cell{{Width: grid, Text: title, Type: heading, Pad: Pad{Bottom: 1}}}})
	rows[0].need = 25
	d.add(rows...)
}

// Text adds paragraphs, separated by line feeds, which may run over pages.
func (d *Doc) Text(text string, t Type) { d.paragraphs(text, t, false) }

// Lead adds paragraphs that stay on the page of what follows them.
func (d *Doc) Lead(text string, t Type) { d.paragraphs(text, t, true) }

func (d *Doc) paragraphs(text string, t Type, keep bool) {
	lines := d.lines(text, t, d.Width())
	for i, l := range lines {
		last := i == len(lines)-1
		s := strip{height: t.lead(), cells: []setCell{{width: grid, lines: []setLine{{l, t}}}}, keep: keep}
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

// Contents adds the titles of the sections, which are added later in the same
// order, with the pages they start on, in two columns.
func (d *Doc) Contents(titles []string) {
	const number, page, gutter = 35, 45, 40
	half := (grid - gutter) / 2
	rows := (len(titles) + 1) / 2
	for r := range rows {
		var cells []setCell
		for _, i := range []int{r, r + rows} {
			if i >= len(titles) {
				cells = append(cells, setCell{width: half})
				continue
			}
			pad := Pad{Top: 0.5, Bottom: 0.5}
			title := d.setLines(titles[i], Body, d.Width()*float64(half-number-page)/grid)
			cells = append(cells,
				setCell{width: number, lines: []setLine{{strconv.Itoa(i + 1), Body.In(Quiet)}}, pad: pad},
				setCell{width: half - number - page, lines: title, pad: pad},
				setCell{width: page, lines: []setLine{{"", Body}}, page: i + 1, align: Right, pad: pad},
			)
			if i == r {
				cells = append(cells, setCell{width: gutter})
			}
		}
		d.add(strip{height: height(cells), cells: cells})
	}
}
