package main

import (
	"errors"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/session"
)

func TestProgress(t *testing.T) {
	place := session.Place{Number: 2, Of: 3, Code: 1, CodeOf: 2, Title: "Boost"}
	bad := errors.New("bad")
	events := []session.Event{
		{Kind: session.Started, Place: place},
		{Kind: session.Warning, Place: place, Err: errors.New("no picture")},
		{Kind: session.Finished, Place: place, Elapsed: 1234 * time.Millisecond},
		{Kind: session.Started, Place: place},
		{Kind: session.Finished, Place: place, Elapsed: 61400 * time.Millisecond, Err: bad},
		{Kind: session.Started, Place: session.Place{Number: 3, Of: 3}},
		{Kind: session.Finished, Place: session.Place{Number: 3, Of: 3}, Err: bad, Meant: true},
		{Kind: session.Finished, Place: place, Err: &session.Stopped{Place: place, Err: bad}},
		{Kind: session.Skipped, Place: place},
	}
	for _, tt := range []struct {
		name     string
		terminal bool
		want     string
	}{
		{"log", false, `warning: cell 2 (code cell 1, "Boost"): no picture
cell 2 of 3: Boost … 1.2 s
cell 2 of 3: Boost … failed after 1 min 1 s
cell 3 of 3 … failed as it should, 0.0 s
cell 2 of 3: Boost … stopped after 0.0 s
cell 2 of 3: Boost … skipped
`},
		{"terminal", true, `cell 2 of 3: Boost …
warning: cell 2 (code cell 1, "Boost"): no picture
cell 2 of 3: Boost … 1.2 s
cell 2 of 3: Boost … failed after 1 min 1 s
cell 3 of 3 … failed as it should, 0.0 s
cell 2 of 3: Boost … stopped after 0.0 s
cell 2 of 3: Boost … skipped
`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var b strings.Builder
			p := newProgress(&b)
			if p.terminal {
				t.Fatal("a string builder counts as a terminal")
			}
			p.terminal = tt.terminal
			for _, e := range events {
				p.event(e)
			}
			if b.String() != tt.want {
				t.Errorf("got\n%s\nwant\n%s", b.String(), tt.want)
			}
		})
	}
}

// TestProgressShowsTheStart checks that on a terminal a cell is named while it
// runs.
func TestProgressShowsTheStart(t *testing.T) {
	var b strings.Builder
	p := newProgress(&b)
	p.terminal = true
	p.event(session.Event{Kind: session.Started, Place: session.Place{Number: 1, Of: 2}})
	if got, want := b.String(), "cell 1 of 2 …"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
