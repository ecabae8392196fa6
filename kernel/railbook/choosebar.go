package main

import (
	"context"
	"fmt"
	"sync"
	"time"
)

// chooseBar shows how far a long choice is: on a terminal in one line that changes, in a
// log with a line now and then. Any number of goroutines may tell it.
type chooseBar struct {
	mu          sync.Mutex
	p           *progress
	now         func() time.Time
	start, last time.Time
	open        bool // the line is on the terminal
}

func newChooseBar(p *progress) *chooseBar {
	now := time.Now()
	return &chooseBar{p: p, now: time.Now, start: now, last: now}
}

// tell takes note of how many supply sides are looked at.
func (b *chooseBar) tell(done, all int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	now := b.now()
	pause := logPause
	if b.p.terminal {
		pause = terminalPause
	}
	if now.Sub(b.start) < quietFor || now.Sub(b.last) < pause || done == all {
		return
	}
	b.last = now
	text := fmt.Sprintf("%s of %s supply sides, about %s left", thousands(done), thousands(all), seconds(left(now.Sub(b.start), done, all)))
	if !b.p.terminal {
		b.p.line("%s", text)
		return
	}
	fmt.Fprintf(b.p.w, "\r\x1b[K%s", text)
	b.open = true
}

// clear takes the line off the terminal.
func (b *chooseBar) clear() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.open {
		fmt.Fprint(b.p.w, "\r\x1b[K")
		b.open = false
	}
}

// stopped says so where an error comes of being told to stop.
func (b *chooseBar) stopped(ctx context.Context, err error) error {
	b.clear()
	if err == nil || ctx.Err() == nil {
		return err
	}
	return fmt.Errorf("stopped, and nothing written: %w", context.Cause(ctx))
}
