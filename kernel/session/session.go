// Package session runs the cells of a notebook on a kernel and puts what they
// output into the notebook.
//
// [Run] goes through the code cells in order and stops at the first that fails,
// or, if it is told to keep going, at the end. Its errors are of four kinds: a
// [*CellError] for a cell that does not compile or whose program fails, a
// [*CellTimeout] for one that takes too long, a [*KernelDied], and a [*Stopped]
// when the context ends. Each names the cell. Whatever the end, the notebook
// holds all that was output until then.
//
// A kernel that follows the protocol tells of a failed cell with an error
// message and a reply of status "error", and its words are kept as they are.
// gonb by itself does that for cells that do not compile, in the compiler's
// words about a program the user never sees, and not at all for programs that
// fail; its signs are read and turned into the same kind of error.
package session

// BUG(session): A program that does not fail, but whose last words on standard
// error are "exit status N" and a newline in a write of their own, counts as
// failed unless [Options.ToldExits] is set: gonb by itself tells of a failure in
// just that way.

// BUG(session): On gonb by itself a cell that reads standard input without
// announcing it waits until its time is up, since gonb neither closes the input
// nor asks for any; and in standard output a character of several bytes that
// falls on the edge of one of gonb's buffers is lost.

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/wire"
)

// Kernel is a running kernel, ready for requests.
type Kernel interface {
	Client() *wire.Client
	// Died is closed when the kernel's process has ended, and DeathError then
	// says how.
	Died() <-chan struct{}
	DeathError() error
	// Source returns the Go program made of the last cell, in which compilers
	// and programs count their lines. A kernel whose errors tell lines of the
	// cells may return an error.
	Source() ([]byte, error)
}

// tagFails is the tag of a cell that must fail, after which the run goes on.
const tagFails = "raises-exception"

// tagsSkip are the tags of a cell that is not run.
var tagsSkip = []string{"skip-execution", "skip"}

// Options says how to run a notebook. The zero value is usable.
type Options struct {
	// Setup is code run before the first cell, without a count and with its
	// output thrown away. It is for the import lines cells should not need.
	Setup string
	// CellTimeout is how long one cell may take; 0 means without limit.
	CellTimeout time.Duration
	// ToldExits is true of a kernel that says by an error message that a
	// program failed. What looks like gonb's sign of it is output then.
	ToldExits bool
	// KeepGoing lets the run go on after a cell that failed or took too long.
	// The error is then all of them joined; see [Failures].
	KeepGoing bool
	// Progress is called before and after each cell, in the goroutine of Run.
	Progress func(Event)
	// Save is called before the first cell, after each cell and, while a cell
	// is running, every SaveEvery if there is anything new. The notebook does
	// not change during the call. SaveEvery 0 means not while a cell runs.
	Save      func()
	SaveEvery time.Duration
	// Enrich is called for each thing a cell displays and may add further
	// representations to it. Its error is passed to Progress as a warning.
	Enrich func(nbformat.MimeBundle) error
}

// EventKind tells events apart.
type EventKind int

// The kinds of events.
const (
	Started  EventKind = iota // a cell is about to be run
	Finished                  // a cell has been run, well or badly
	Skipped                   // a cell's tag keeps it from being run
	Warning                   // something about a cell is worth telling
)

// Event is one step of a run.
type Event struct {
	Kind    EventKind
	Place   Place
	Elapsed time.Duration // of a finished cell
	Err     error         // why a cell failed, or the warning
	// Meant is true if the failure is what the cell's tag asks for.
	Meant bool
}

// lateOutput is how long a kernel may be silent before no more output of cells
// that have finished is expected. gonb sends displays up to some ten
// milliseconds after it has said that a cell is done.
const lateOutput = 200 * time.Millisecond

// maxLate limits the wait for late output altogether.
const maxLate = 3 * time.Second

// Run runs the notebook's code cells in order on the kernel, replacing their
// outputs, execution counts and timing. It returns nil if every cell went as it
// should. When ctx ends the run stops at once, with the cause in the error; the
// kernel may then still be at work and should be closed.
func Run(ctx context.Context, k Kernel, nb *nbformat.Notebook, o Options) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	go watch(ctx, k, cancel, beatEvery, beatLimit)
	r := &run{
		kernel:   k,
		o:        o,
		requests: map[string]*record{},
		displays: map[string][]display{},
	}
	nb.ClearOutputs()
	for _, c := range nb.Cells {
		if c.Type == nbformat.Code {
			delete(c.Metadata, timing)
		}
	}
	defer r.saveNowAndThen()()
	defer func() {
		late, stop := context.WithTimeout(ctx, maxLate)
		defer stop()
		k.Client().Linger(late, lateOutput, r.handle)
	}()

	if o.Setup != "" {
		setup := &record{cell: &nbformat.Cell{Type: nbformat.Code, Source: o.Setup}, silent: true}
		if err := r.execute(ctx, setup); err != nil {
			return err
		}
	}
	r.save()
	var failures []error
	for _, p := range places(nb) {
		err := r.cell(ctx, p, nb.Cells[p.Number-1])
		if err == nil {
			continue
		}
		failures = append(failures, err)
		if !o.KeepGoing {
			break
		}
		if lost := r.recover(ctx, err); lost != nil {
			if lost != err {
				failures = append(failures, lost)
			}
			break
		}
	}
	if len(failures) == 1 {
		return failures[0]
	}
	return errors.Join(failures...)
}

// Failures lists the failures of a run from the error of [Run].
func Failures(err error) []error {
	switch joined := err.(type) {
	case nil:
		return nil
	case interface{ Unwrap() []error }:
		return joined.Unwrap()
	default:
		return []error{err}
	}
}

// cell runs one cell, if it is to be run, and returns its failure unless that
// is what its tag asks for.
func (r *run) cell(ctx context.Context, p Place, c *nbformat.Cell) error {
	if slices.ContainsFunc(tagsSkip, c.HasTag) {
		r.progress(Event{Kind: Skipped, Place: p})
		return nil
	}
	if strings.TrimSpace(c.Source) == "" {
		return nil
	}
	r.progress(Event{Kind: Started, Place: p})
	start := time.Now()
	err := r.execute(ctx, &record{cell: c, place: p})
	failed, ok := errors.AsType[*CellError](err)
	meant := ok && failed.Name != NotFailed && c.HasTag(tagFails)
	r.save()
	r.progress(Event{Kind: Finished, Place: p, Elapsed: time.Since(start), Err: err, Meant: meant})
	if meant {
		return nil
	}
	return err
}

// run is the state of one Run.
type run struct {
	kernel   Kernel
	o        Options
	records  []*record            // in the order they were run
	last     string               // message ID of the last request
	requests map[string]*record   // by the message ID of their request
	displays map[string][]display // by display ID

	mu      sync.Mutex // guards the notebook
	changed bool       // since it was last saved
}

func (r *run) progress(e Event) {
	if r.o.Progress != nil {
		r.o.Progress(e)
	}
}

// errTimeout is the cause of the end of a cell's context.
var errTimeout = errors.New("out of time")

// execute runs one cell and returns how it failed.
func (r *run) execute(ctx context.Context, rec *record) error {
	r.records = append(r.records, rec)
	cellCtx, cancel := ctx, func() {}
	if r.o.CellTimeout > 0 {
		cellCtx, cancel = context.WithTimeoutCause(ctx, r.o.CellTimeout, errTimeout)
	}
	defer cancel()
	request := wire.NewRequest(rec.cell.Source, rec.silent)
	sent := func(id string) { r.last, r.requests[id] = id, rec }
	reply, err := r.kernel.Client().Execute(cellCtx, request, sent, r.handle)
	if err != nil {
		err = r.broken(ctx, rec, err)
		r.mu.Lock()
		defer r.mu.Unlock()
		rec.keepTiming()
		rec.addError(err)
		return err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	rec.keepTiming()
	failed := r.diagnose(rec, reply)
	if failed == nil && rec.cell.HasTag(tagFails) {
		failed = &CellError{
			Place: rec.place, Name: NotFailed,
			Message: fmt.Sprintf("it is tagged %s, but did not fail", tagFails),
		}
	}
	if failed == nil {
		return nil
	}
	err = asLost(failed)
	rec.addError(err)
	return err
}

// lastOutput is how long what a cell sent before it was broken off may be on
// its way.
const lastOutput = 50 * time.Millisecond

// deathNotice is how long after a broken connection the kernel's process may
// take to end.
const deathNotice = 2 * time.Second

// broken turns the error of a cell that never finished into one of ours.
func (r *run) broken(ctx context.Context, rec *record, err error) error {
	late, stop := context.WithTimeout(context.WithoutCancel(ctx), maxLate)
	r.kernel.Client().Linger(late, lastOutput, r.handle)
	stop()
	if errors.Is(err, errTimeout) {
		return &CellTimeout{Place: rec.place, Limit: r.o.CellTimeout}
	}
	if cause := context.Cause(ctx); cause != nil {
		if died, ok := errors.AsType[*silentKernel](cause); ok {
			return &KernelDied{Place: rec.place, Err: died}
		}
		if !isDead(r.kernel) {
			return &Stopped{Place: rec.place, Err: cause}
		}
	}
	select {
	case <-r.kernel.Died():
		err = r.kernel.DeathError()
	case <-time.After(deathNotice):
	}
	return &KernelDied{Place: rec.place, Err: err}
}
