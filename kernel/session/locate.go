package session

import (
	"strings"
)

// hint is a position in the program gonb made of the cells, and what gonb says
// of it.
type hint struct {
	line, column int // in the program, from 1; column 0 is the whole line
	// count and cellLine are the execution count of the cell and the line in
	// it, from 1, as gonb tells them; a cellLine of 0 means it does not.
	count, cellLine int
}

// locator returns a function that finds positions of the program just made in
// the cells it was made of.
//
// gonb copies the text of functions and of main line by line, but writes
// variables, constants and types in a form of its own. It keeps a table of
// where each line is from and tells it in compile errors, but for functions
// other than main the table has no entries. So gonb's word is taken if the line
// it names resembles the line in question, and else the text is looked for.
func (r *run) locator() func(hint) Position {
	var program []string
	if source, err := r.kernel.Source(); err == nil {
		program = strings.Split(string(source), "\n")
	}
	return func(h hint) Position {
		text := ""
		if 1 <= h.line && h.line <= len(program) {
			text = program[h.line-1]
		}
		if rec := r.counted(h.count); rec != nil && h.cellLine > 0 {
			lines := rec.lines()
			if h.cellLine <= len(lines) && (program == nil || alike(text, lines[h.cellLine-1])) {
				return rec.position(h.cellLine-1, text, h.column)
			}
		}
		best, at, score := (*record)(nil), 0, 0
		for i := len(r.records) - 1; i >= 0; i-- {
			lines := r.records[i].lines()
			for j := range lines {
				if s := fit(program, h.line-1, lines, j); s > score {
					best, at, score = r.records[i], j, s
				}
			}
		}
		if best == nil {
			return Position{}
		}
		return best.position(at, text, h.column)
	}
}

// counted returns the last record with the execution count.
func (r *run) counted(count int) *record {
	for i := len(r.records) - 1; i >= 0; i-- {
		if r.records[i].count == count {
			return r.records[i]
		}
	}
	return nil
}

func (rec *record) lines() []string { return strings.Split(rec.cell.Source, "\n") }

// position returns the position in the cell's line, counted from 0, that
// corresponds to the column of text, the same line in the program.
func (rec *record) position(line int, text string, column int) Position {
	p := Position{Cell: rec.place.Number, Line: line + 1, Text: strings.TrimRight(rec.lines()[line], "\r")}
	switch {
	case column < 1 || column > len(text):
	case p.Text == text:
		p.Column = column
	default: // what follows in the program should be found in the cell too
		if i := strings.Index(p.Text, text[column-1:]); i >= 0 {
			p.Column = i + 1
		}
	}
	return p
}

// reach is how far around a line its neighbours are compared.
const reach = 20

// fit tells how well line j of the cell fits line i of the program: 0 if
// they differ or are blank, else 1 and the number of lines above and below that
// are the same without a gap.
func fit(program []string, i int, cell []string, j int) int {
	same := func(d int) bool {
		i, j := i+d, j+d
		return 0 <= i && i < len(program) && 0 <= j && j < len(cell) &&
			strings.TrimSpace(program[i]) == strings.TrimSpace(cell[j])
	}
	if !same(0) || strings.TrimSpace(cell[j]) == "" {
		return 0
	}
	score := 1
	for d := 1; d <= reach && same(-d); d++ {
		score++
	}
	for d := 1; d <= reach && same(d); d++ {
		score++
	}
	return score
}

// alike reports whether a line of the program may be what gonb made of a line
// of a cell: without spaces and the keyword, one is part of the other.
func alike(program, cell string) bool {
	bare := func(s string) string {
		s = strings.TrimSpace(s)
		for _, keyword := range []string{"var ", "const ", "type "} {
			s = strings.TrimPrefix(s, keyword)
		}
		return strings.Join(strings.Fields(s), "")
	}
	p, c := bare(program), bare(cell)
	return p != "" && c != "" && (strings.Contains(p, c) || strings.Contains(c, p))
}
