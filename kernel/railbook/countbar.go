package main

import (
	"fmt"
	"sync"
	"time"
)

// countBar shows how far long work is that is counted: on a terminal in one line that
// changes, in a log with a line now and then. Any number of goroutines may tell it.
type countBar struct {
	mu          sync.Mutex
	p           *progress
	what        string // that is counted: "points"
	now         func() time.Time
	start, last time.Time
	open        bool // the line is on the terminal
	done, all   int
}

// begin starts the clock.
func (b *countBar) begin(p *progress, what string) {
	b.p, b.what, b.now = p, what, time.Now
	b.start = b.now()
	b.last = b.start
}

// How long work goes on before it is told of, and from one time to the next.
const (
	terminalPause = time.Second / 4
	logPause      = 20 * time.Second
	quietFor      = time.Second
)

// tell takes note of how far the work is.
func (b *countBar) tell(done, all int) {
	b.mu.Lock()
	defer b.mu.Unlock()
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
	text := fmt.Sprintf("%s of %s %s, about %s left", thousands(done), thousands(all), b.what, seconds(left(now.Sub(b.start), done, all)))
	if !b.p.terminal {
		b.p.line("%s", text)
		return
	}
	fmt.Fprintf(b.p.w, "\r\x1b[K%s", text)
	b.open = true
}

// clear takes the line off the terminal.
func (b *countBar) clear() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.open {
		fmt.Fprint(b.p.w, "\r\x1b[K")
		b.open = false
	}
}
