package main

import (
	"strings"
	"sync"
	"testing"
	"time"
)

func TestProgressInALog(t *testing.T) {
	var b strings.Builder
	p := newProgress(&b)
	p.show("live")
	p.line("one %d", 1)
	p.show("")
	p.line("two")
	if got, want := b.String(), "one 1\ntwo\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestProgressOnATerminal(t *testing.T) {
	var b strings.Builder
	p := &progress{w: &b, terminal: true}
	p.line("one")
	p.show("live")
	p.show("live") // no change, no write
	p.show("lives")
	p.line("two")
	p.show("")
	p.line("three")
	const shown, gone = "\x1b[?7l", "\x1b[?7h"
	want := "one\n" + shown + "live" + gone + "\r\x1b[K" + shown + "lives" + gone +
		"\r\x1b[Ktwo\n" + shown + "lives" + gone + "\r\x1b[K" + "three\n"
	if b.String() != want {
		t.Errorf("got  %q\nwant %q", b.String(), want)
	}
}

// TestProgressKeepsLinesWhole has many goroutines write at the same time.
func TestProgressKeepsLinesWhole(t *testing.T) {
	var b strings.Builder
	p := &progress{w: &b, terminal: true}
	var writers sync.WaitGroup
	for range 8 {
		writers.Go(func() {
			for range 100 {
				p.line("first\nsecond")
				p.show("live")
			}
		})
	}
	writers.Wait()
	if got := strings.Count(b.String(), "first\nsecond\n"); got != 800 {
		t.Errorf("%d pairs of lines stand together, want 800", got)
	}
}

func TestSeconds(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0: "0.0 s", 1234 * time.Millisecond: "1.2 s", 61400 * time.Millisecond: "1 min 1 s", time.Hour: "60 min 0 s",
	} {
		if got := seconds(d); got != want {
			t.Errorf("seconds(%v) = %q, want %q", d, got, want)
		}
	}
}
