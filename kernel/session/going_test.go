package session

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/wire/wiretest"
)

// TestKeepGoing has cells fail in every way after which a run can go on.
func TestKeepGoing(t *testing.T) {
	t.Parallel()
	running := make(chan *wire.Message, 1)
	var ran []string
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		switch {
		case r.Header.Type == wire.InterruptRequest:
			late := <-running
			p.Stream(late, "stderr", "signal: interrupt\n")
			ok(p, late, 1)
		case code == "loops":
			p.Stream(r, "stdout", "on and on")
			running <- r
		case code == "fails":
			p.Stream(r, "stderr", "exit status 1\n")
			ok(p, r, 1)
		default:
			ran = append(ran, code)
			ok(p, r, 1)
		}
	})
	nb := notebook(t, "one", "fails", "two", "loops", "three", "tags: raises-exception\nfour", "tags: raises-exception\nfails", "five")
	var finished []int
	err := Run(t.Context(), k, nb, Options{KeepGoing: true, CellTimeout: 300 * time.Millisecond, Progress: func(e Event) {
		if e.Kind == Finished && e.Err != nil && !e.Meant {
			finished = append(finished, e.Place.Number)
		}
	}})
	if got, want := strings.Join(ran, " "), "one two three four five"; got != want {
		t.Errorf("ran %s, want %s", got, want)
	}
	var got []string
	for _, f := range Failures(err) {
		got = append(got, Headline(f))
	}
	want := []string{
		"cell 2 (code cell 2) failed: its program ended with exit status 1",
		"cell 4 (code cell 4) did not finish within 300ms",
		"cell 6 (code cell 6) failed: it is tagged raises-exception, but did not fail",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got failures\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if !slices.Equal(finished, []int{2, 4, 6}) {
		t.Errorf("events tell of failures in cells %v, want 2, 4, 6", finished)
	}
	if got, want := summary(nb.Cells[3]), "stdout:on and on | error:timeout:the cell did not finish within 300ms"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestKeepGoingEndsWithTheKernel(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(k *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		if code == "dies" {
			k.die()
			return
		}
		p.Stream(r, "stderr", "exit status 1\n")
		ok(p, r, 1)
	})
	nb := notebook(t, "fails", "dies", "never")
	failures := Failures(Run(t.Context(), k, nb, Options{KeepGoing: true}))
	if len(failures) != 2 {
		t.Fatalf("got %v, want two failures", failures)
	}
	if _, ok := errors.AsType[*KernelDied](failures[1]); !ok || nb.Cells[2].ExecutionCount != 0 {
		t.Errorf("got %v, want that the kernel died and no further cell ran", failures[1])
	}
}

func TestListOfFailures(t *testing.T) {
	a, b := errors.New("a"), errors.New("b")
	for _, tt := range []struct {
		err  error
		want []error
	}{{nil, nil}, {a, []error{a}}, {errors.Join(a, b), []error{a, b}}} {
		if got := Failures(tt.err); !slices.Equal(got, tt.want) {
			t.Errorf("Failures(%v) = %v, want %v", tt.err, got, tt.want)
		}
	}
	for text, want := range map[string]string{
		"a": "a", "a\nb": "a", "it ended (signal: killed); its last words:\nhelp": "it ended (signal: killed)", "a; b:": "a; b:", "a:\nb": "a:",
	} {
		if got := Headline(errors.New(text)); got != want {
			t.Errorf("headline of %q: got %q, want %q", text, got, want)
		}
	}
}

func TestSkipTags(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { ok(p, r, 1) })
	nb := notebook(t, "tags: skip\none", "tags: skip-execution\ntwo", "tags: skipped\nthree")
	if err := Run(t.Context(), k, nb, Options{}); err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{0, 0, 1} {
		if got := nb.Cells[i].ExecutionCount; got != want {
			t.Errorf("cell %d: count %d, want %d", i+1, got, want)
		}
	}
}

// TestOutOfTime ends a run whose time is up.
func TestOutOfTime(t *testing.T) {
	t.Parallel()
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, _ string) { p.Stream(r, "stdout", "working") })
	nb := notebook(t, "code", "never")
	ctx, cancel := context.WithTimeoutCause(t.Context(), 300*time.Millisecond, &OutOfTime{300 * time.Millisecond})
	defer cancel()
	err := Run(ctx, k, nb, Options{KeepGoing: true})
	if want := "stopped at cell 1 (code cell 1): the run did not finish within 300ms"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	if got, want := summary(nb.Cells[0]), "stdout:working | error:timeout:the run did not finish within 300ms"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// TestSave checks that the notebook is saved before, after and during cells,
// each time with what there was.
func TestSave(t *testing.T) {
	t.Parallel()
	const pace = 20 * time.Millisecond
	seen := make(chan struct{})
	k := newFake(t, func(_ *fakeKernel, p *wiretest.Peer, r *wire.Message, code string) {
		p.Stream(r, "stdout", "begun")
		if code == "long" {
			select {
			case <-seen:
			case <-time.After(20 * time.Second):
				t.Error("nothing was saved while the cell ran")
			}
			p.Stream(r, "stdout", ", done")
		}
		ok(p, r, 1)
	})
	nb := notebook(t, "short", "long")
	var saves []string
	err := Run(t.Context(), k, nb, Options{SaveEvery: pace, Save: func() {
		state := summary(nb.Cells[0]) + " / " + summary(nb.Cells[1])
		if n := len(saves); n > 0 && saves[n-1] == state {
			return // a change in timing only
		}
		saves = append(saves, state)
		if state == "stdout:begun / stdout:begun" {
			close(seen)
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	if saves[0] != " / " {
		t.Errorf("first saved %q, want the notebook without outputs", saves[0])
	}
	for _, want := range []string{"stdout:begun / ", "stdout:begun / stdout:begun", "stdout:begun / stdout:begun, done"} {
		if !slices.Contains(saves, want) {
			t.Errorf("never saved %q; saved %q", want, saves)
		}
	}
}
