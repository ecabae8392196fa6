package main

import (
	"errors"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/session"
)

// steps are those of a notebook in which all kinds of things happen.
func steps() []session.Event {
	place := session.Place{Number: 2, Of: 3, Code: 1, CodeOf: 2, Title: "Boost"}
	bad := errors.New("bad\n  at line 1")
	return []session.Event{
		{Kind: session.Started, Place: place},
		{Kind: session.Warning, Place: place, Err: errors.New("no picture")},
		{Kind: session.Finished, Place: place, Elapsed: 1234 * time.Millisecond},
		{Kind: session.Finished, Place: place, Elapsed: 61400 * time.Millisecond, Err: bad},
		{Kind: session.Finished, Place: session.Place{Number: 3, Of: 3}, Err: bad, Meant: true},
		{Kind: session.Finished, Place: place, Err: &session.Stopped{Place: place, Err: bad}},
		{Kind: session.Skipped, Place: place},
	}
}

func TestBoard(t *testing.T) {
	for _, tt := range []struct {
		name  string
		board *board
		want  string
	}{
		{"one in a log", &board{p: &progress{}, of: 1}, `warning: cell 2 (code cell 1, "Boost"): no picture
cell 2 of 3: Boost … 1.2 s
cell 2 of 3: Boost … failed after 1 min 1 s
cell 3 of 3 … failed as it should, 0.0 s
cell 2 of 3: Boost … stopped after 0.0 s
cell 2 of 3: Boost … skipped
`},
		{"many in a log", &board{p: &progress{}, of: 2, details: true}, `note: warning: cell 2 (code cell 1, "Boost"): no picture
note: cell 2 of 3: Boost … 1.2 s
note: cell 2 of 3: Boost … failed after 1 min 1 s
note: bad
  at line 1
note: cell 3 of 3 … failed as it should, 0.0 s
note: cell 2 of 3: Boost … stopped after 0.0 s
note: stopped at cell 2 (code cell 1, "Boost"): bad
  at line 1
note: cell 2 of 3: Boost … skipped
`},
		{"one on a terminal", &board{p: &progress{terminal: true}, of: 1}, `warning: cell 2 (code cell 1, "Boost"): no picture
cell 2 of 3: Boost … failed after 1 min 1 s
cell 2 of 3: Boost … stopped after 0.0 s
`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var b strings.Builder
			tt.board.p.w = &b
			f := tt.board.follow("note")
			for _, e := range steps() {
				f.event(e)
			}
			f.end()
			if b.String() != tt.want {
				t.Errorf("got\n%s\nwant\n%s", b.String(), tt.want)
			}
		})
	}
}

// TestLiveLine checks what a terminal shows while notebooks run.
func TestLiveLine(t *testing.T) {
	now := time.Now()
	at := func(b *board) string { return b.state(now.Add(1500 * time.Millisecond)) }
	begin := func(f *follower, title string) {
		f.event(session.Event{Kind: session.Started, Place: session.Place{Number: 2, Of: 9, Title: title}})
		f.since = now
	}
	one := &board{p: &progress{terminal: true}, of: 1}
	if got := at(one); got != "" {
		t.Errorf("before: %q", got)
	}
	f := one.follow("note")
	if got, want := at(one), "starting"; got != want {
		t.Errorf("at the start: %q, want %q", got, want)
	}
	begin(f, "Boost")
	if got, want := at(one), "cell 2 of 9: Boost … 1.5 s"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}

	f.event(session.Event{Kind: session.Finished, Place: session.Place{Number: 2, Of: 9}})
	if got, want := at(one), "saving"; got != want {
		t.Errorf("between cells: %q, want %q", got, want)
	}

	many := &board{p: &progress{terminal: true}, of: 3}
	a := many.follow("a")
	b := many.follow("b")
	begin(a, "")
	if got, want := at(many), "0 of 3 notebooks done · a: cell 2 of 9 … 1.5 s · b: starting"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	a.end()
	begin(b, "Pumps")
	if got, want := at(many), "1 of 3 notebooks done · b: cell 2 of 9: Pumps … 1.5 s"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestLiveLineGoes checks that the terminal is left as it was.
func TestLiveLineGoes(t *testing.T) {
	var out strings.Builder
	b := &board{p: &progress{w: &out, terminal: true}, of: 1}
	end := b.begin()
	f := b.follow("note")
	for start := time.Now(); time.Since(start) < patience; time.Sleep(redraw / 10) {
		b.p.mu.Lock()
		live := b.p.live
		b.p.mu.Unlock()
		if live == "starting" {
			break
		}
	}
	f.end()
	end()
	if got, want := out.String(), cutOff+"starting"+wrap; !strings.HasPrefix(got, want) || !strings.HasSuffix(got, clearLine) {
		t.Errorf("got %q, want %q first and %q last", got, want, clearLine)
	}
}
