package cell

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// The names of errors that are not a program's exit status or signal.
const (
	CompileError = "compile error" // the cell is no valid Go program
	Panic        = "panic"         // its program panicked
	FatalError   = "fatal error"   // the Go runtime gave up on its program
)

// Error says in words about the cell what is wrong with it, or with its program.
type Error struct {
	// Name is one of the names above, or "exit status N" or "signal: NAME".
	Name string
	// Value says in one line what is wrong.
	Value string
	// At is where; its zero value means that this is not known.
	At Position
	// More are further places that are wrong, each with its own message.
	More []Remark
	// Words are what the compiler or the program said, with lines counted as in the
	// cells; Speaker tells which.
	Words   []string
	Speaker string
}

// Remark is a message about a place.
type Remark struct {
	At    Position
	Value string
}

// Position is a place in the source of a cell.
type Position struct {
	// Cell is the number of another cell, 0 for the one that failed, and negative
	// for one that has no number.
	Cell int
	// Line and Column count from 1, the column in bytes. Column 0 means the line
	// as a whole.
	Line, Column int
	// Text is the line.
	Text string
}

// Error returns the name and the value.
func (e *Error) Error() string { return e.Name + ": " + e.Value }

// Traceback returns the lines to show: what is wrong in plain words, the line of
// source with a mark below it, and the words of the compiler or the program.
func (e *Error) Traceback() []string {
	lines := []string{e.Error()}
	lines = append(lines, e.At.lines()...)
	for _, r := range e.More {
		lines = append(lines, "also: "+r.Value)
		lines = append(lines, r.At.lines()...)
	}
	if len(e.Words) > 0 {
		lines = append(lines, "  "+e.Speaker+" said:")
		for _, w := range e.Words {
			lines = append(lines, "    "+w)
		}
	}
	return lines
}

// tabWidth is how many columns a tab takes in printed source.
const tabWidth = 4

// lines shows the place: the line of source and a caret below the column.
func (p Position) lines() []string {
	if p.Line == 0 {
		return nil
	}
	column := p.Column - 1
	if column < 0 || column > len(p.Text) {
		column = len(p.Text) - len(strings.TrimLeft(p.Text, " \t"))
	}
	tabs := strings.NewReplacer("\t", strings.Repeat(" ", tabWidth))
	before := tabs.Replace(p.Text[:column])
	source := strings.TrimRight(before+tabs.Replace(p.Text[column:]), " \r")
	return []string{
		"  " + p.name() + ":",
		"    " + source,
		"    " + strings.Repeat(" ", utf8.RuneCountInString(before)) + "^",
	}
}

// unnumbered stands for a cell that has no number.
const unnumbered = -1

// name tells which line it is.
func (p Position) name() string {
	switch {
	case p.Line == 0:
		return "the program around the cell"
	case p.Cell < 0:
		return fmt.Sprintf("an earlier cell, line %d", p.Line)
	case p.Cell > 0:
		return fmt.Sprintf("cell %d, line %d", p.Cell, p.Line)
	}
	return fmt.Sprintf("line %d", p.Line)
}

// position returns the place of an offset in a cell, as seen from the cell that
// failed.
func (s *source) position(at int, from *source) Position {
	at = min(max(at, 0), len(s.code))
	start := strings.LastIndexByte(s.code[:at], '\n') + 1
	end := at + strings.IndexByte(s.code[at:]+"\n", '\n')
	p := Position{
		Line: 1 + strings.Count(s.code[:start], "\n"), Column: at - start + 1, Text: strings.TrimRight(s.code[start:end], "\r"),
	}
	if s != from {
		if p.Cell = s.number; p.Cell == 0 {
			p.Cell = unnumbered
		}
	}
	return p
}

// mostComplaints is how many places are told of at once.
const mostComplaints = 5

// complain makes an error of what is wrong with a cell.
func (s *Session) complain(list ...*complaint) error {
	return (&plan{Session: s, src: list[0].src}).complain(list...)
}

func (pl *plan) complain(list ...*complaint) error {
	var e *Error
	told := map[string]bool{}
	for _, c := range list {
		r := Remark{Value: pl.plainWords(c)}
		if c.src != nil {
			r.At = c.src.position(c.at, pl.src)
		}
		key := fmt.Sprint(r.At.Cell, r.At.Line, r.Value)
		if told[key] {
			continue
		}
		told[key] = true
		if e == nil {
			e = &Error{Name: CompileError, Value: r.Value, At: r.At, Speaker: "the compiler"}
		} else if len(e.More) < mostComplaints {
			e.More = append(e.More, r)
		}
		if c.words == "" || c.words == r.Value {
			continue
		}
		for i, w := range strings.Split(c.words, "\n") {
			if i == 0 {
				w = r.At.name() + ": " + w
			}
			e.Words = append(e.Words, w)
		}
	}
	return e
}
