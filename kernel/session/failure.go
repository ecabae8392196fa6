package session

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"example.com/railbook/kernel/nbformat"
)

// The names of failures that are not a program's exit status or signal.
const (
	CompileError = "compile error"      // the cell is no valid Go program
	Panic        = "panic"              // its program panicked
	FatalError   = "fatal error"        // the Go runtime gave up on its program
	NoInput      = "no input"           // its program asked the user for input
	KernelError  = "error"              // the kernel could not do what the cell wants
	NotFailed    = "expected a failure" // it is tagged as failing but did not
)

// CellError says that a cell failed.
type CellError struct {
	Place Place
	// Name is one of the names above, or "exit status N" or "signal: NAME".
	Name string
	// Message says in one line what is wrong.
	Message string
	// At is where; its zero value means that is not known.
	At Position
	// Words are what the compiler or the program said beyond Message, with
	// lines counted as in the cells.
	Words []string
	// Told is true if the kernel gave this account itself, as the protocol
	// wants. Words are then its traceback, and Name may be any name.
	Told bool
}

// Position is a place in the source of a cell.
type Position struct {
	// Cell is the number of the cell among all cells, 0 for the setup code.
	Cell int
	// Line and Column count from 1, the column in bytes. Column 0 means the
	// line as a whole.
	Line, Column int
	// Text is the line.
	Text string
}

// Error returns several lines: what happened in plain words, the line of source
// with a mark below it, and the words of the compiler, the program or the
// kernel.
func (e *CellError) Error() string {
	lines := append([]string{e.headline()}, e.details()...)
	return strings.Join(lines, "\n")
}

// headline returns the first line of the error's text.
func (e *CellError) headline() string {
	var what string
	switch e.Name {
	case CompileError:
		what = "does not compile"
	case Panic:
		what = "panicked"
	case FatalError:
		what = "was given up by the Go runtime"
	default:
		what = "failed"
	}
	return fmt.Sprintf("%s %s: %s", e.Place, what, e.Message)
}

// details returns the lines after the first of the error's text.
func (e *CellError) details() []string {
	var lines []string
	if e.Told {
		for _, w := range e.Words {
			lines = append(lines, "  "+w)
		}
		return lines
	}
	if e.At.Line > 0 {
		where := fmt.Sprintf("line %d", e.At.Line)
		if e.At.Cell != e.Place.Number {
			where = cellName(e.At.Cell) + ", " + where
		}
		source, mark := e.At.marked()
		lines = append(lines, "  at "+where+":", "    "+source, "    "+mark)
	}
	if len(e.Words) > 0 {
		who := "the program"
		switch e.Name {
		case CompileError:
			who = "the compiler"
		case KernelError:
			who = "the kernel"
		}
		lines = append(lines, "  "+who+" said:")
		for _, w := range e.Words {
			lines = append(lines, "    "+w)
		}
	}
	return lines
}

func cellName(number int) string {
	if number == 0 {
		return "the setup code"
	}
	return fmt.Sprintf("cell %d", number)
}

// tabWidth is how many columns a tab takes in printed source.
const tabWidth = 4

// marked returns the line with its tabs as spaces, and a caret to print below.
func (p Position) marked() (source, mark string) {
	column := p.Column - 1
	if column < 0 || column > len(p.Text) {
		column = len(p.Text) - len(strings.TrimLeft(p.Text, " \t"))
	}
	tabs := strings.NewReplacer("\t", strings.Repeat(" ", tabWidth))
	before := tabs.Replace(p.Text[:column])
	source = strings.TrimRight(before+tabs.Replace(p.Text[column:]), " \r")
	return source, strings.Repeat(" ", utf8.RuneCountInString(before)) + "^"
}

// CellTimeout says that a cell took longer than allowed.
type CellTimeout struct {
	Place Place
	Limit time.Duration
}

func (e *CellTimeout) Error() string {
	return fmt.Sprintf("%s did not finish within %v", e.Place, e.Limit)
}

// KernelDied says that the kernel ended, or stopped reacting, during a cell.
type KernelDied struct {
	Place Place
	// Err is the kernel's account of it.
	Err error
	// Told is true if the kernel gave the account as the error of the cell. It
	// may then have begun anew, without what the cells before have left.
	Told bool
}

func (e *KernelDied) Error() string { return fmt.Sprintf("%s was lost: %v", e.Place, e.Err) }

// Unwrap returns e.Err.
func (e *KernelDied) Unwrap() error { return e.Err }

// Stopped says that the run was told to stop during a cell.
type Stopped struct {
	Place Place
	// Err is the cause of the context's end.
	Err error
}

func (e *Stopped) Error() string { return fmt.Sprintf("stopped at %s: %v", e.Place, e.Err) }

// Unwrap returns e.Err.
func (e *Stopped) Unwrap() error { return e.Err }

// OutOfTime is the cause with which to end the context of a run that has used
// up its time.
type OutOfTime struct{ Limit time.Duration }

func (e *OutOfTime) Error() string { return fmt.Sprintf("the run did not finish within %v", e.Limit) }

// Headline returns the first line of what an error of a run says, without what
// only leads to the next.
func Headline(err error) string {
	line, _, more := strings.Cut(err.Error(), "\n")
	if i := strings.LastIndexByte(line, ';'); more && i >= 0 && strings.HasSuffix(line, ":") {
		line = line[:i]
	}
	return line
}

// addError puts the failure into the cell's outputs.
func (rec *record) addError(err error) {
	out := &nbformat.Output{Type: nbformat.Error}
	switch e := err.(type) {
	case *CellError:
		if e.Told {
			return // it is there
		}
		out.EName, out.EValue, out.Traceback = e.Name, e.Message, e.details()
	case *CellTimeout:
		out.EName, out.EValue = "timeout", fmt.Sprintf("the cell did not finish within %v", e.Limit)
	case *KernelDied:
		if e.Told {
			return
		}
		out.EName, out.EValue = "kernel died", e.Err.Error()
	case *Stopped:
		out.EName, out.EValue = "stopped", e.Err.Error()
		if _, late := errors.AsType[*OutOfTime](e.Err); late {
			out.EName = "timeout"
		}
	default:
		out.EName, out.EValue = KernelError, err.Error()
	}
	rec.clear = false
	rec.cell.Outputs = append(rec.cell.Outputs, out)
}
