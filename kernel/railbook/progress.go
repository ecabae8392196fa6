package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/mattn/go-isatty"
)

// progress writes what goes on, in whole lines. On a terminal there may be one
// more below them, the live line, which changes. Any number of goroutines may
// write; what one writes in a go is never parted.
type progress struct {
	w        io.Writer
	terminal bool

	mu   sync.Mutex
	live string // on the terminal at present
}

func newProgress(w io.Writer) *progress {
	f, ok := w.(*os.File)
	return &progress{w: w, terminal: ok && isatty.IsTerminal(f.Fd())}
}

// line writes a line, or several if there are line ends in it.
func (p *progress) line(format string, args ...any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.write(fmt.Sprintf(format, args...)+"\n", p.live)
}

// show replaces the live line; an empty one takes it away. Elsewhere than on a
// terminal it does nothing.
func (p *progress) show(text string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.terminal && text != p.live {
		p.write("", text)
	}
}

// Terminal sequences: to the start of the line and clear it; and let the end of
// a line that is too long be cut off rather than go on in the next.
const (
	clearLine = "\r\x1b[K"
	cutOff    = "\x1b[?7l"
	wrap      = "\x1b[?7h"
)

// write writes lines, if any, and the live line below them.
func (p *progress) write(lines, live string) {
	var b strings.Builder
	if p.live != "" {
		b.WriteString(clearLine)
	}
	b.WriteString(lines)
	if live != "" {
		b.WriteString(cutOff + live + wrap)
	}
	p.live = live
	io.WriteString(p.w, b.String()) // there is nowhere to tell that this cannot be written
}

// seconds writes a duration as people do.
func seconds(d time.Duration) string {
	if d < time.Minute {
		return fmt.Sprintf("%.1f s", d.Seconds())
	}
	d = d.Round(time.Second)
	return fmt.Sprintf("%d min %d s", int(d.Minutes()), int(d.Seconds())%60)
}
