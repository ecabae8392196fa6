package main

import (
	"context"
	"fmt"
	"time"
)

// sweepBar shows how far a long sweep is: on a terminal in one line that changes, in a log
// with a line now and then.
type sweepBar struct {
	p           *progress
	now         func() time.Time
	start, last time.Time
	open        bool // the line is on the terminal
	done, all   int
}

func newSweepBar(p *progress, all int) *sweepBar {
	now := time.Now()
	return &sweepBar{p: p, now: time.Now, start: now, last: now, all: all}
}

// How long a sweep goes on before it is told of, and from one time to the next.
const (
	terminalPause = time.Second / 4
	logPause      = 20 * time.Second
	quietFor      = time.Second
)

// tell takes note of how far the sweep is.
func (b *sweepBar) tell(done, all int) {
	b.done, b.all = done, all
	now := b.now()
	pause := logPause
	if b.p.terminal {
		pause = terminalPause
	}
	if now.Sub(b.start) < quietFor || now.Sub(b.last) < pause || done == all {
		return
	}
	b.last = now
	text := fmt.Sprintf("%s of %s points, about %s left", thousands(done), thousands(all), seconds(left(now.Sub(b.start), done, all)))
	if !b.p.terminal {
		b.p.line("%s", text)
		return
	}
	fmt.Fprintf(b.p.w, "\r\x1b[K%s", text)
	b.open = true
}

// clear takes the line off the terminal.
func (b *sweepBar) clear() {
	if b.open {
		fmt.Fprint(b.p.w, "\r\x1b[K")
		b.open = false
	}
}

// stopped says so where an error comes of being told to stop.
func (b *sweepBar) stopped(ctx context.Context, err error) error {
	b.clear()
	if err == nil || ctx.Err() == nil {
		return err
	}
	return fmt.Errorf("stopped after %s of %s points, and nothing written: %w", thousands(b.done), thousands(b.all), context.Cause(ctx))
}
