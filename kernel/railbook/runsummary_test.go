package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/session"
)

func cellFailed(cell int) error {
	return &session.CellError{Place: session.Place{Number: cell, Code: cell}, Name: session.Panic, Message: "no fuel", Words: []string{"panic: no fuel"}}
}

func TestSummary(t *testing.T) {
	well := outcome{name: "well", cells: 16, elapsed: 37 * time.Second}
	broken := outcome{name: "a-broken-one", cells: 12, elapsed: 125 * time.Second, failures: []error{cellFailed(2), cellFailed(7)}}
	stopped := outcome{name: "λ", cells: 1, failures: []error{&session.Stopped{Place: session.Place{Number: 3, Code: 1}, Err: errors.New("enough")}}}
	unsaved := outcome{name: "unsaved", err: errors.New("disk full\nreally")}
	left := outcome{name: "left", notRun: true}
	ended, cancel := context.WithCancelCause(context.Background())
	cancel(errors.New("enough"))

	for _, tt := range []struct {
		name      string
		ctx       context.Context
		keepGoing bool
		results   []outcome
		summary   string
		err       string
	}{
		{"one, well", context.Background(), true, []outcome{well}, "", ""},
		{"one, failed", context.Background(), false, []outcome{{name: "x", failures: []error{cellFailed(2)}}}, "",
			"cell 2 (code cell 2) panicked: no fuel\n  the program said:\n    panic: no fuel"},
		{"one that keeps going", context.Background(), true, []outcome{broken}, `
a-broken-one  2 cells failed   12 cells  2 min 5 s
  cell 2 (code cell 2) panicked: no fuel
  cell 7 (code cell 7) panicked: no fuel
`, "2 of 12 cells failed"},
		{"one, not saved", context.Background(), true, []outcome{unsaved}, `
unsaved  failed    0 cells  0.0 s
  disk full
`, "disk full\nreally"},
		{"one, not run", ended, false, []outcome{left}, "", "enough"},
		{"many", ended, false, []outcome{well, broken, stopped, unsaved, left}, `
well          ran through      16 cells  37.0 s
a-broken-one  2 cells failed   12 cells  2 min 5 s
  cell 2 (code cell 2) panicked: no fuel
  cell 7 (code cell 7) panicked: no fuel
λ             stopped            1 cell  0.0 s
  stopped at cell 3 (code cell 1): enough
unsaved       failed            0 cells  0.0 s
  disk full
left          not run
`, "3 of 5 notebooks failed: a-broken-one, λ, unsaved; 1 notebook not run: left; enough"},
		{"many, well", context.Background(), false, []outcome{well, well}, `
well  ran through   16 cells  37.0 s
well  ran through   16 cells  37.0 s
`, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var b strings.Builder
			r := &notebookRun{keepGoing: tt.keepGoing, progress: &progress{w: &b}}
			r.summarize(tt.results)
			if b.String() != tt.summary {
				t.Errorf("got\n%s\nwant\n%s", b.String(), tt.summary)
			}
			err := r.verdict(tt.ctx, tt.results)
			if got := fmt.Sprint(err); got != tt.err && (err != nil || tt.err != "") {
				t.Errorf("got error %s\nwant %s", got, tt.err)
			}
		})
	}
}
