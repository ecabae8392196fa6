package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"example.com/railbook/kernel/session"
	"github.com/mattn/go-isatty"
)

// progress writes what goes on, line by line. On a terminal a cell's line is
// begun when the cell is and completed when it has finished; elsewhere, as in a
// log file, it is written whole at the end.
type progress struct {
	w        io.Writer
	terminal bool
	open     bool // a line is begun
}

func newProgress(w io.Writer) *progress {
	f, ok := w.(*os.File)
	return &progress{w: w, terminal: ok && isatty.IsTerminal(f.Fd())}
}

// line writes a whole line, after the one that may be begun.
func (p *progress) line(format string, args ...any) {
	if p.open {
		fmt.Fprintln(p.w)
		p.open = false
	}
	fmt.Fprintf(p.w, format+"\n", args...)
}

func (p *progress) event(e session.Event) {
	cell := fmt.Sprintf("cell %d of %d", e.Place.Number, e.Place.Of)
	if e.Place.Title != "" {
		cell += ": " + e.Place.Title
	}
	switch e.Kind {
	case session.Started:
		if p.terminal {
			fmt.Fprintf(p.w, "%s …", cell)
			p.open = true
		}
	case session.Finished:
		result := seconds(e.Elapsed)
		_, stopped := errors.AsType[*session.Stopped](e.Err)
		switch {
		case stopped:
			result = "stopped after " + result
		case e.Meant:
			result = "failed as it should, " + result
		case e.Err != nil:
			result = "failed after " + result
		}
		if p.open {
			fmt.Fprintf(p.w, " %s\n", result)
			p.open = false
			return
		}
		p.line("%s … %s", cell, result)
	case session.Skipped:
		p.line("%s … skipped", cell)
	case session.Warning:
		p.line("warning: %s: %v", e.Place, e.Err)
	}
}

// seconds writes a duration as people do.
func seconds(d time.Duration) string {
	if d < time.Minute {
		return fmt.Sprintf("%.1f s", d.Seconds())
	}
	d = d.Round(time.Second)
	return fmt.Sprintf("%d min %d s", int(d.Minutes()), int(d.Seconds())%60)
}
