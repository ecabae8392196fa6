package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"example.com/railbook/kernel/session"
)

// board shows how far the notebooks of a run are: on a terminal in one line that
// changes, in a log with a line for each cell that has finished. With more than
// one notebook each line begins with the name of its own.
type board struct {
	p  *progress
	of int // how many notebooks there are
	// details has failures told in full when they occur.
	details bool

	mu      sync.Mutex
	done    int
	running []*follower
}

// redraw is how often the live line changes.
const redraw = 200 * time.Millisecond

// begin draws the live line until the function it returns is called.
func (b *board) begin() (end func()) {
	done := make(chan struct{})
	var drawer sync.WaitGroup
	drawer.Go(func() {
		tick := time.NewTicker(redraw)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				b.p.show(b.state(time.Now()))
			case <-done:
				return
			}
		}
	})
	return func() {
		close(done)
		drawer.Wait()
		b.p.show("")
	}
}

// state returns the text of the live line.
func (b *board) state(now time.Time) string {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.of == 1 {
		if len(b.running) == 0 {
			return ""
		}
		return b.running[0].state(now)
	}
	parts := []string{fmt.Sprintf("%d of %d notebooks done", b.done, b.of)}
	for _, f := range b.running {
		parts = append(parts, f.name+": "+f.state(now))
	}
	return strings.Join(parts, " · ")
}

// follow begins to show a notebook, until its follower ends.
func (b *board) follow(name string) *follower {
	f := &follower{b: b, name: name, phase: "starting"}
	if b.of > 1 {
		f.prefix = name + ": "
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.running = append(b.running, f)
	return f
}

// follower shows one notebook.
type follower struct {
	b            *board
	name, prefix string

	// Guarded by the board: the cell that is being run, and since when; and
	// what is going on if that is none.
	at    session.Place
	since time.Time
	phase string
}

// line writes a line about the notebook.
func (f *follower) line(format string, args ...any) {
	f.b.p.line("%s", f.prefix+fmt.Sprintf(format, args...))
}

func (f *follower) end() {
	f.b.mu.Lock()
	defer f.b.mu.Unlock()
	f.b.done++
	f.b.running = slices.DeleteFunc(f.b.running, func(o *follower) bool { return o == f })
}

// state says what the notebook is at.
func (f *follower) state(now time.Time) string {
	if f.at.Number == 0 {
		return f.phase
	}
	return fmt.Sprintf("%s … %s", cellOf(f.at), seconds(now.Sub(f.since)))
}

func cellOf(p session.Place) string {
	cell := fmt.Sprintf("cell %d of %d", p.Number, p.Of)
	if p.Title != "" {
		cell += ": " + p.Title
	}
	return cell
}

// event shows a step of the notebook's run.
func (f *follower) event(e session.Event) {
	switch e.Kind {
	case session.Started:
		f.b.mu.Lock()
		f.at, f.since = e.Place, time.Now()
		f.b.mu.Unlock()
	case session.Finished:
		f.b.mu.Lock()
		f.at, f.phase = session.Place{}, "saving"
		f.b.mu.Unlock()
		failed := e.Err != nil && !e.Meant && !errors.Is(e.Err, errChanged)
		if failed || !f.b.p.terminal {
			f.line("%s … %s", cellOf(e.Place), result(e))
		}
		if failed && f.b.details {
			f.line("%v", e.Err)
		}
	case session.Skipped:
		if !f.b.p.terminal {
			f.line("%s … skipped", cellOf(e.Place))
		}
	case session.Warning:
		f.line("warning: %s: %v", e.Place, e.Err)
	}
}

// result says how a cell ended and after how long.
func result(e session.Event) string {
	took := seconds(e.Elapsed)
	_, stopped := errors.AsType[*session.Stopped](e.Err)
	switch {
	case stopped:
		return "stopped after " + took
	case e.Meant:
		return "failed as it should, " + took
	case e.Err != nil:
		return "failed after " + took
	default:
		return took
	}
}
