package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"example.com/railbook/kernel/session"
)

// outcome is how the run of a notebook ended.
type outcome struct {
	name     string
	cells    int // that were run
	elapsed  time.Duration
	failures []error // of cells
	err      error   // what else went wrong
	notRun   bool    // it was not begun
}

func (o outcome) failed() bool { return o.err != nil || len(o.failures) > 0 }

// verdict says in a few words how it went.
func (o outcome) verdict() string {
	switch n := len(o.failures); {
	case o.notRun:
		return "not run"
	case n == 0 && o.err == nil:
		return "ran through"
	case n == 0:
		return "failed"
	case n == 1:
		if _, stopped := errors.AsType[*session.Stopped](o.failures[0]); stopped {
			return "stopped"
		}
		fallthrough
	default:
		return plural(n, "cell") + " failed"
	}
}

// summarize prints how each notebook went, if there are several, and which cells
// failed, if more than one may have.
func (r *notebookRun) summarize(results []outcome) {
	if len(results) == 1 && (!r.keepGoing || !results[0].failed()) {
		return
	}
	names, verdicts := 0, 0
	for _, o := range results {
		names = max(names, utf8.RuneCountInString(o.name))
		verdicts = max(verdicts, utf8.RuneCountInString(o.verdict()))
	}
	var b strings.Builder
	for _, o := range results {
		row := fmt.Sprintf("%-*s  %-*s", names, o.name, verdicts, o.verdict())
		if !o.notRun {
			row += fmt.Sprintf("  %9s  %s", plural(o.cells, "cell"), seconds(o.elapsed))
		}
		fmt.Fprintln(&b, strings.TrimRight(row, " "))
		for _, f := range o.failures {
			fmt.Fprintln(&b, "  "+session.Headline(f))
		}
		if o.err != nil {
			fmt.Fprintln(&b, "  "+session.Headline(o.err))
		}
	}
	r.progress.line("\n%s", strings.TrimRight(b.String(), "\n"))
}

// verdict returns the error of the run as a whole. It is the failure itself if
// there could be only one and nobody has been told of it.
func (r *notebookRun) verdict(ctx context.Context, results []outcome) error {
	if len(results) == 1 {
		o := results[0]
		switch {
		case !o.failed():
			if o.notRun {
				return context.Cause(ctx)
			}
			return nil
		case o.err != nil || !r.keepGoing:
			return errors.Join(append(o.failures, o.err)...)
		default:
			return fmt.Errorf("%d of %s failed", len(o.failures), plural(o.cells, "cell"))
		}
	}
	var failed, left []string
	for _, o := range results {
		switch {
		case o.notRun:
			left = append(left, o.name)
		case o.failed():
			failed = append(failed, o.name)
		}
	}
	var parts []string
	if len(failed) > 0 {
		parts = append(parts, fmt.Sprintf("%d of %d notebooks failed: %s", len(failed), len(results), strings.Join(failed, ", ")))
	}
	if len(left) > 0 {
		parts = append(parts, fmt.Sprintf("%s not run: %s", plural(len(left), "notebook"), strings.Join(left, ", ")))
	}
	if len(parts) == 0 {
		return nil
	}
	if cause := context.Cause(ctx); cause != nil {
		parts = append(parts, cause.Error())
	}
	return errors.New(strings.Join(parts, "; "))
}
