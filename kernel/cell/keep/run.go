package keep

import (
	"os"
	"path/filepath"
	"strconv"
)

// Cell is what a cell's program tells of itself. The zero Cell uses no variables.
type Cell struct {
	Folder string // of the session's files
	Mark   string // begins the names of the files that this cell writes
	Vars   []Var  // that the cell uses
	// Live lists for each file that is read the variables whose present values
	// are in it, those of the cell and others.
	Live map[string][]string
	// Types are nil pointers to types that interfaces among the values hold, and
	// Samples values of such types as have no name.
	Types   []any
	Samples []any
	Known   []Known
	// Say is written to standard error before the cell begins, line by line.
	Say []string
}

// Var is a variable of the session that a cell uses.
type Var struct {
	Name string
	At   any    // a pointer to it
	File string // where its value is; "" if this cell is the first to give it one
	// Was tells that the cell makes another variable of the same name: this one
	// is loaded and not saved.
	Was bool
}

// Run runs a cell: it loads its variables, calls body and saves the variables
// once that returns. Where that fails it says why on standard error and ends the
// program with status 1.
func Run(c Cell, body func()) {
	s := newSession(c)
	if err := s.load(); err != nil {
		fail(err)
	}
	for _, line := range c.Say {
		os.Stderr.WriteString(line + "\n")
	}
	body()
	if len(c.Vars) == 0 {
		return
	}
	if err := s.save(); err != nil {
		fail(err)
	}
}

func fail(err error) {
	os.Stderr.WriteString(err.Error() + "\n")
	os.Exit(1)
}

// StepFile is the name of the file in which the cell with the mark notes the
// statement it is at, as a number.
func StepFile(mark string) string { return mark + "-step" }

// firstStep is added to the numbers of statements, so that all take the same
// room.
const firstStep = 1_000_000

// ReadStep returns the number that was noted last, and whether there is one.
func ReadStep(folder, mark string) (n int, ok bool) {
	data, err := os.ReadFile(filepath.Join(folder, StepFile(mark)))
	if err != nil {
		return 0, false
	}
	n, err = strconv.Atoi(string(data))
	return n - firstStep, err == nil
}

// Steps notes which statement of the cell is being run, so that a program that
// just ends can be asked where it was.
type Steps struct{ file *os.File }

// OpenSteps returns the notes of the cell with the mark. Without a folder to
// write to nothing is noted.
func OpenSteps(folder, mark string) Steps {
	f, err := os.Create(filepath.Join(folder, StepFile(mark)))
	if err != nil {
		return Steps{}
	}
	return Steps{f}
}

// At notes that statement n is next.
func (s Steps) At(n int) {
	if s.file != nil {
		s.file.WriteAt(strconv.AppendInt(nil, int64(n+firstStep), 10), 0)
	}
}
