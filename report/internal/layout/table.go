package layout

import (
	"fmt"
	"math"
)

// Table is a table. Its head is repeated where it runs over a page. Its number makes it a
// place: "table-3".
type Table struct {
	Caption string
	Columns []Column
	Rows    [][]string // cells beyond the columns are left out, missing ones are empty
	Tinted  []bool     // of each row, whether it stands on a tint; may be short
}

// Column heads a column.
type Column struct {
	Name   string
	Align  Align
	Strong bool    // set in bold
	Share  float64 // of the page's width; 0: what the texts need
}

// Table adds a table and returns its number.
func (d *Doc) Table(t Table) int {
	d.tables++
	caption := fmt.Sprintf("Table %d. %s", d.tables, t.Caption)
	d.add(strip{height: 1.5, blank: true, keep: true})
	title := d.set(Row{Keep: true, Cells: []Cell{{Width: grid, Text: caption, Type: Strong, Pad: Pad{Bottom: 0.8}}}})
	title[0].anchors = []string{fmt.Sprintf("table-%d", d.tables)}
	d.add(title...)

	widths, over := d.columnWidths(t)
	row := func(texts []string, typ func(Column) Type, rule Rule, tinted bool) []strip {
		var cells []Cell
		for i, c := range t.Columns {
			cell := Cell{Width: widths[i], Type: typ(c), Align: c.Align, Pad: tight, Rule: rule}
			if i > 0 && c.Align == Left && t.Columns[i-1].Align == Right {
				cell.Pad.Left += besideRight
			}
			if i < len(texts) {
				cell.Text = texts[i]
			}
			if tinted {
				cell.Fill = Tint
			}
			cells = append(cells, cell)
		}
		if over > 0 {
			cells = append(cells, Cell{Width: over, Type: Cellful})
		}
		return d.set(Row{Cells: cells})
	}
	names := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		names[i] = Plain(c.Name) // a head may stand on several pages
	}
	head := row(names, func(Column) Type { return Header }, Thick, false)
	for i := range head {
		head[i].keep = true
	}
	d.add(head...)
	for i, texts := range t.Rows {
		rows := row(texts, columnType, Hairline, i < len(t.Tinted) && t.Tinted[i])
		for k := range rows {
			rows[k].head = head
		}
		// The last two rows stay together, so that none stands alone.
		if i == len(t.Rows)-2 {
			rows[len(rows)-1].keep = true
		}
		d.add(rows...)
	}
	d.add(strip{height: 3, blank: true})
	return d.tables
}

func columnType(c Column) Type {
	t := Cellful
	if c.Strong {
		t.Face = Strong.Face
	}
	return t
}

const (
	// besideRight is the white added between a column set to the right and one
	// set to the left, in millimetres.
	besideRight = 3.0
	// looseness is the most that is added to a column that has all it needs, in
	// millimetres, so that a narrow table does not tear its rows apart.
	looseness = 14.0
	// narrow is how much of the grid a table has to leave free to stay narrow.
	narrow = grid / 5
)

// columnWidths shares the width of the page among columns, in units of the grid:
// each gets its share where it has one, else its longest word, and what is left
// goes to those that would break lines. What is over after that goes to all alike
// up to a limit, beyond which it is returned.
func (d *Doc) columnWidths(t Table) (widths []int, over int) {
	n := len(t.Columns)
	width, lack := make([]float64, n), make([]float64, n)
	spare := d.Width()
	for i, c := range t.Columns {
		if c.Share > 0 {
			width[i] = c.Share * d.Width()
		} else {
			width[i], lack[i] = d.columnNeeds(t, i)
		}
		spare -= width[i]
	}
	if spare < 0 {
		for i := range width {
			width[i] *= d.Width() / (d.Width() - spare)
		}
		spare = 0
	}
	// By the root of what they lack, so that one very long text does not leave
	// the others with a word a line. A column that gets all it lacks leaves the
	// rest to the others.
	for spare > 0.01 {
		sum := 0.0
		for _, l := range lack {
			sum += math.Sqrt(l)
		}
		if sum < 0.01 {
			break
		}
		given := 0.0
		for i, l := range lack {
			g := min(l, spare*math.Sqrt(l)/sum)
			width[i] += g
			lack[i] -= g
			given += g
		}
		spare -= given
	}
	extra := min(spare/float64(n), looseness)
	widths = make([]int, n)
	over = grid
	for i, w := range width {
		widths[i] = int((w + extra) / d.Width() * grid)
		over -= widths[i]
	}
	if over < narrow {
		widths[n-1] += over
		over = 0
	}
	return widths, over
}

// columnNeeds returns the width that a column must have, that of its longest word
// within reason, and what it lacks then to break no line.
func (d *Doc) columnNeeds(t Table, i int) (least, lack float64) {
	c := t.Columns[i]
	word, natural := d.longest(c.Name, Header)
	for _, r := range t.Rows {
		if i < len(r) {
			w, all := d.longest(r[i], columnType(c))
			word, natural = max(word, w), max(natural, all)
		}
	}
	white := tight.Left + tight.Right + 0.3 // more than widths lose where they are made whole
	if i > 0 && c.Align == Left && t.Columns[i-1].Align == Right {
		white += besideRight
	}
	least = min(word+white, 0.5*d.Width())
	return least, max(0, natural+white-least)
}

// NextTable returns the number that the next table will have.
func (d *Doc) NextTable() int { return d.tables + 1 }
