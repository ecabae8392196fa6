package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/serve"
	"example.com/railbook/kernel/session"
)

// errChanged is why a run is stopped that has been overtaken by a change.
var errChanged = errors.New("a file has changed")

// overtaken reports whether the run has been stopped for that.
func overtaken(ctx context.Context) bool { return errors.Is(context.Cause(ctx), errChanged) }

// watchAll runs the notebooks, and again those that a change may concern, until
// ctx ends.
func (r *notebookRun) watchAll(ctx context.Context, targets []runTarget) error {
	if _, err := r.open(targets); err != nil { // what is wrong from the start is told as ever
		return err
	}
	closeViewer, err := r.openViewer()
	if err != nil {
		return err
	}
	defer closeViewer()
	w, err := newWatcher(targets, r.out)
	if err != nil {
		return err
	}
	defer w.close()

	due := targets
	strikes, during := map[string]int{}, map[string]bool{}
	for {
		maps.DeleteFunc(strikes, func(file string, _ int) bool { return !during[file] })
		during = map[string]bool{} // files that change while the notebooks run
		seen := w.scan()
		run := r.begin(ctx, due)
		ended := run.ended
		for due = nil; due == nil; {
			select {
			case <-ctx.Done():
				run.wait()
				return nil
			case <-ended:
				ended = nil // it has been seen
				r.progress.line("waiting for a change; Ctrl-C ends the watch")
			case err := <-w.errors():
				r.progress.line("warning: watching for changes: %v", err)
			case <-w.settled:
				now := w.scan()
				changed := slices.DeleteFunc(changes(seen, now), func(file string) bool {
					return run.covers(file) && !r.believe(file, strikes, during)
				})
				seen = now
				if due = w.concerned(changed); due != nil {
					r.progress.line("changed: %s", strings.Join(w.names(changed), ", "))
				}
			}
		}
		run.stop(errChanged)
		due = merged(due, run.wait(), targets)
	}
}

// mostStrikes is how often in a row a file may change while the notebooks run.
const mostStrikes = 2

// believe reports whether to act at once upon a change to a file that came while
// the notebooks ran: not if it is one that changes in run after run, as does what
// a cell writes.
func (r *notebookRun) believe(file string, strikes map[string]int, during map[string]bool) bool {
	if filepath.Ext(file) == ".ipynb" {
		return true
	}
	during[file] = true
	strikes[file]++
	if strikes[file] <= mostStrikes {
		return true
	}
	r.progress.line("%s changes whenever the notebook runs, so it seems to write it: not run again for that; "+
		"if it was you, save it again when the run has ended", filepath.Base(file))
	return false
}

// merged returns those of all that are due, or were left undone.
func merged(due, undone, all []runTarget) []runTarget {
	return slices.DeleteFunc(slices.Clone(all), func(t runTarget) bool {
		return !slices.Contains(due, t) && !slices.Contains(undone, t)
	})
}

// cycle is one run among many.
type cycle struct {
	stop  context.CancelCauseFunc
	ended chan struct{} // closed at its end; then the following are set
	at    time.Time
	// undone are the notebooks that were stopped or not begun.
	undone []runTarget
}

// covers reports whether the file was written before the run had ended. One that
// is gone counts as not.
func (c *cycle) covers(file string) bool {
	select {
	case <-c.ended:
		info, err := os.Stat(file)
		return err == nil && !info.ModTime().After(c.at)
	default:
		return true
	}
}

// begin runs the notebooks in the background.
func (r *notebookRun) begin(ctx context.Context, targets []runTarget) *cycle {
	ctx, stop := context.WithCancelCause(ctx)
	c := &cycle{stop: stop, ended: make(chan struct{})}
	go func() {
		defer close(c.ended)
		defer func() { c.at = time.Now() }()
		defer r.viewer.say("")
		jobs, err := r.open(targets)
		if err != nil {
			r.progress.line("%v", err)
			c.undone = targets
			return
		}
		limited, cancel := r.limited(ctx)
		defer cancel()
		results := r.all(limited, jobs)
		for i, o := range results {
			stopped := slices.ContainsFunc(append(o.failures, o.err), func(err error) bool { return errors.Is(err, errChanged) })
			if o.notRun || stopped {
				c.undone = append(c.undone, targets[i])
			}
		}
		if ctx.Err() == nil {
			r.summarize(results)
		}
	}()
	return c
}

// wait waits for the end and returns what was left undone.
func (c *cycle) wait() []runTarget {
	<-c.ended
	c.stop(nil)
	return c.undone
}

// viewer shows the pages in a browser; a nil one does nothing.
type viewer struct{ server *serve.Server }

// openViewer begins to serve the pages and says where they are. Without a server
// the pages are written all the same.
func (r *notebookRun) openViewer() (closeViewer func(), err error) {
	root, err := os.OpenRoot(r.out)
	if err != nil {
		return nil, fmt.Errorf("--out: %w", err)
	}
	server, err := serve.Listen(root.FS())
	if err != nil {
		r.progress.line("warning: the pages are written but not shown: %v", err)
		return func() { root.Close() }, nil
	}
	r.viewer = &viewer{server}
	fmt.Fprintf(r.stdout, "the pages are shown at %s\n", server.URL())
	return func() {
		server.Close()
		root.Close()
	}, nil
}

func (v *viewer) say(state string) {
	if v != nil {
		v.server.Say(state)
	}
}

// said tells who looks at a page what its notebook is at.
func (r *notebookRun) said(j *runJob, e session.Event) {
	if e.Kind == session.Started {
		r.viewer.say(j.show.prefix + cellOf(e.Place) + " …")
	}
}

// publish shows the job's page.
func (r *notebookRun) publish(j *runJob, o page.Options) error {
	if r.viewer == nil {
		return nil
	}
	return r.viewer.server.Put(filepath.Base(j.output(".html")), func(events string) ([]byte, error) {
		o.Events = events
		var html bytes.Buffer
		err := page.Render(&html, j.nb, o)
		return html.Bytes(), err
	})
}
