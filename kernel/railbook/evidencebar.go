package main

import (
	"fmt"
	"os"
	"time"
)

// readBar reads a file and shows how much of it has been read: on a terminal in one line
// that changes, in a log with a line now and then.
type readBar struct {
	p           *progress
	file        *os.File
	name        string
	now         func() time.Time
	start, last time.Time
	read, size  int64
	open        bool // the line is on the terminal
}

func newReadBar(p *progress, f *os.File, name string) *readBar {
	b := &readBar{p: p, file: f, name: name, now: time.Now}
	if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
		b.size = info.Size()
	}
	b.start = b.now()
	b.last = b.start
	return b
}

// Read reads the file.
func (b *readBar) Read(data []byte) (int, error) {
	n, err := b.file.Read(data)
	b.read += int64(n)
	now := b.now()
	pause := logPause
	if b.p.terminal {
		pause = terminalPause
	}
	if now.Sub(b.start) < quietFor || now.Sub(b.last) < pause || b.read == b.size {
		return n, err
	}
	b.last = now
	text := fmt.Sprintf("%s: %s read", b.name, size(b.read))
	if b.size > 0 {
		text = fmt.Sprintf("%s: %s of %s read, about %s left", b.name, size(b.read), size(b.size),
			seconds(left(now.Sub(b.start), int(b.read>>10), int(b.size>>10))))
	}
	if b.p.terminal {
		fmt.Fprintf(b.p.w, "\r\x1b[K%s", text)
		b.open = true
	} else {
		b.p.line("%s", text)
	}
	return n, err
}

// clear takes the line off the terminal.
func (b *readBar) clear() {
	if b.open {
		fmt.Fprint(b.p.w, "\r\x1b[K")
		b.open = false
	}
}
