package launch

import (
	"bytes"
	"regexp"
	"strings"
	"sync"
)

// tailSize is how much of what the kernel writes is kept at least; up to twice
// as much is.
const tailSize = 16 << 10

// tail keeps the end of what is written to it.
type tail struct {
	mu  sync.Mutex
	buf []byte
}

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.buf = append(t.buf, p...)
	if extra := len(t.buf) - tailSize; extra > tailSize { // not for every write
		t.buf = bytes.Clone(t.buf[extra:])
	}
	return len(p), nil
}

// wordLines is how many lines the last words have at most.
const wordLines = 8

var (
	escape = regexp.MustCompile("\x1b\\[[0-9;]*m")
	// A line of gonb's log begins with its severity, the month and the day.
	informs = regexp.MustCompile(`^I\d{4} `)
)

// lastWords returns the last lines written that do more than inform, without
// colours.
func (t *tail) lastWords() string {
	t.mu.Lock()
	text := escape.ReplaceAllString(string(t.buf), "")
	t.mu.Unlock()
	var lines []string
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, " \r\n")
		if line != "" && !informs.MatchString(line) {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines[max(0, len(lines)-wordLines):], "\n")
}
