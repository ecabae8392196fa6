package relay

import (
	"context"
	"encoding/json"
	"strings"
	"syscall"

	"example.com/railbook/kernel/wire"
)

// Kernel is a running cell kernel, which runs what the relay sends it.
// *launch.Kernel of package launch is one.
type Kernel interface {
	// Client is the connection to it, on which nobody else may listen.
	Client() *wire.Client
	// Died is closed when its process has ended, and DeathError then says how.
	Died() <-chan struct{}
	DeathError() error
	// Source returns the Go program made of the last cell.
	Source() ([]byte, error)
	// Close ends it and all it has started. It may be called again.
	Close() error
}

// BuildStopper is what a [Kernel] may also be, to end the building of a cell at
// once. The cell kernel's own interrupt reaches running programs only.
type BuildStopper interface {
	// StopBuild interrupts the building of a cell and reports whether there was
	// any.
	StopBuild() bool
}

// Breaker is what a [Kernel] may also be, to reach whatever it has started. With
// it a cell that does not heed an interrupt is killed and the cell kernel lives
// on; without it the cell kernel is ended too and another one started. Either
// way it takes less than a second.
type Breaker interface {
	// Break sends the signal to every process that the kernel has started, at
	// whatever depth, but not to the kernel itself. It does not wait.
	Break(sig syscall.Signal) error
}

// Cells turns what a user writes into what the cell kernel runs, and what went
// wrong there back into words about what the user wrote. Its methods and the
// functions of a [Prepared] are called from one goroutine, one after the other.
type Cells interface {
	// Rewrite prepares a cell. It must not change what later cells see: that
	// is for Commit. An error of type [*Explanation] is shown as it is, any
	// other by its text; the cell is then not run.
	Rewrite(code string) (Prepared, error)
	// Reset tells that a new cell kernel has been started, which knows nothing
	// of earlier cells: at first, and whenever one has died. The code it
	// returns is run there before the next cell, without a trace for the user;
	// "" stands for none. Until both succeed no cell is run.
	Reset() (setup string, err error)
}

// Evaluator is what [Cells] may also be, to answer the user expressions of an
// execute_request. Without it they are answered with an error each.
type Evaluator interface {
	// Evaluate prepares a cell that displays the value of the expression once,
	// or writes it to standard output.
	Evaluate(expression string) (Prepared, error)
}

// Prepared is a cell ready to be run.
type Prepared struct {
	// Code is for the cell kernel. If it is blank there is nothing to run.
	Code string
	// Explain, if not nil, puts a failure into words. If it returns nil, the
	// relay does that.
	Explain func(Failure) *Explanation
	// Commit, if not nil, is called once the cell has been run, after Explain.
	// It says whether it went well, and the number by which the user knows the
	// cell, 0 if it has none. The remark is shown to the user; "" stands for
	// none.
	Commit func(ok bool, number int) (remark string)
}

// Kind says in what way a cell failed.
type Kind int

// The kinds of failure.
const (
	Refused     Kind = iota // the cell kernel could not build or do it
	Exited                  // its program panicked, or ended with a status other than 0
	Interrupted             // the user interrupted it
	Asked                   // it asked for input where none can be given
	Died                    // the cell kernel died during the cell
)

// Failure is what is known of a cell that failed.
type Failure struct {
	Kind Kind
	// Words are the cell kernel's own: for Refused the output of the tool that
	// failed, line by line; for Asked the prompt; for Died its last words.
	Words string
	// Remarks are the cell kernel's on each line of Words, for Refused.
	Remarks []string
	// Status is "exit status N" or "signal: NAME", for Exited.
	Status string
	// Trace is the Go runtime's account of a panic or a fatal error, as it was
	// written to standard error. It has been kept out of the cell's output,
	// unless the program went on after it.
	Trace string
	// Stderr is the end of what the program wrote to standard error.
	Stderr string
	// Lost is true if the cell kernel is gone, and with it all that earlier
	// cells declared.
	Lost bool
}

// Explanation is a failure in words. As an error it is its name and value.
type Explanation struct {
	Name      string   // a word or two: "compile error", "panic"
	Value     string   // one line
	Traceback []string // what front ends show: plain words first, details after
}

func (e *Explanation) Error() string {
	switch {
	case e.Name == "":
		return e.Value
	case e.Value == "":
		return e.Name
	}
	return e.Name + ": " + e.Value
}

// traceback returns what front ends show, which is never nothing.
func (e *Explanation) traceback() []string {
	if len(e.Traceback) == 0 {
		return strings.Split(e.Error(), "\n")
	}
	return e.Traceback
}

// ResultKey marks a display as the value of the cell. A display whose metadata
// has this key, with whatever value, reaches the front end without it, as an
// execute_result.
const ResultKey = "railbook_result"

// Assist completes code and tells what names mean. Its methods may be called
// while a cell runs, one call at a time. An error is logged and answered with
// nothing; ctx ends when the front end can no longer be expected to wait.
type Assist interface {
	// Complete lists what may stand at the cursor, a byte offset in code.
	Complete(ctx context.Context, code string, cursor int) (Completion, error)
	// Inspect tells what stands at the cursor. Detail 1 asks for more than
	// detail 0.
	Inspect(ctx context.Context, code string, cursor, detail int) (Inspection, error)
}

// Completion is the answer of [Assist.Complete].
type Completion struct {
	// Start and End are the byte offsets in code of the text that a match
	// replaces.
	Start, End int
	Matches    []Match
}

// Match is one way to complete a text.
type Match struct {
	Text string
	// Kind is "function", "type" and the like, and Signature what follows the
	// name of a function; front ends that show no such things ignore them.
	Kind, Signature string
}

// Inspection is the answer of [Assist.Inspect]: the same text in several forms,
// by MIME type. If it is empty, nothing is known. There should be "text/plain".
type Inspection map[string]string

// A Target serves the comms that front ends open under one name. It is run on a
// goroutine of its own for each comm, while cells run too, and for as long as
// the comm is open. When it returns, the comm is closed; should it panic, that
// is logged and the comm closed.
type Target func(*Comm)

// CommMessage is what a front end sends over a comm.
type CommMessage struct {
	Data     json.RawMessage // an object
	Metadata json.RawMessage
	Buffers  [][]byte
}
