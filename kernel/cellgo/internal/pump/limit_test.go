//go:build unix

package pump

import (
	"path/filepath"
	"testing"
	"time"

	"example.com/railbook/kernel/cellgo/credit"
)

func TestRate(t *testing.T) {
	c := &clock{time.Unix(1e9, 0)}
	l := newLimit(c.now, "")
	if wait := l.bytes(limitBurst); wait != 0 {
		t.Errorf("a burst waits for %v", wait)
	}
	if wait := l.bytes(limitRate / 2); wait != time.Second/2 {
		t.Errorf("what follows waits for %v, want half a second", wait)
	}
	c.pass(time.Second / 2)
	if wait := l.bytes(limitRate); wait != time.Second {
		t.Errorf("what follows then waits for %v, want a second", wait)
	}
	c.pass(time.Hour)
	if wait := l.bytes(limitBurst); wait != 0 {
		t.Errorf("a burst after an hour waits for %v", wait)
	}
	if wait := l.bytes(1); wait <= 0 {
		t.Error("an hour allows more than one burst")
	}
}

func TestCredit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "credit")
	w, err := credit.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	if l := newLimit(time.Now, path); l.taken != nil {
		t.Error("who has told nothing is waited for")
	}
	const before = 1000 // taken of earlier programs
	w.Took(before)
	l := newLimit(time.Now, path)
	ahead := func(sent, more int) bool {
		t.Helper()
		if err := w.Took(more); err != nil {
			t.Fatal(err)
		}
		l.sent = uint64(sent)
		return l.ahead()
	}
	for _, tt := range []struct {
		sent, more int // more are taken before
		want       bool
	}{
		{1, 0, false},
		{limitEvents, 0, false},
		{limitEvents + 1, 0, true},
		{limitEvents + 1, 1, false},
		{limitEvents + 2, 0, true},
		{limitEvents + 2, 10 * limitEvents, false},
		{11 * limitEvents, 0, false},
	} {
		if got := ahead(tt.sent, tt.more); got != tt.want {
			t.Errorf("%+v: got %t", tt, got)
		}
	}
	// An event waits until one is taken, or until there is nobody to send it to.
	l.sent = 20 * limitEvents
	passed := make(chan struct{})
	go func() {
		l.event(1, nil)
		close(passed)
	}()
	w.Took(20 * limitEvents)
	<-passed
	l.sent = 100 * limitEvents
	gone := make(chan struct{})
	close(gone)
	l.event(1, gone)
}
