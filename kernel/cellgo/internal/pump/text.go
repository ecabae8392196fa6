//go:build unix

package pump

import (
	"time"
	"unicode/utf8"

	"example.com/railbook/kernel/cellio"
)

const (
	// flushDelay is how long text may wait for more.
	flushDelay = 10 * time.Millisecond
	// chunkSize is how much text goes into one event, at most twice that.
	chunkSize = 256 << 10
)

// text collects what a program prints into events of a good size: what comes
// after a pause goes at once, what follows closely goes together.
type text struct {
	send func(cellio.Event) error
	now  func() time.Time

	stream string // of what is in buf
	buf    []byte
	part   map[string][]byte // the beginning of a character, of the other stream
	last   time.Time         // of the last event
}

// add takes text that was written to the stream.
func (t *text) add(stream string, p []byte) error {
	if stream != t.stream {
		if err := t.flush(); err != nil {
			return err
		}
		if t.part == nil {
			t.part = map[string][]byte{}
		}
		t.part[t.stream] = append([]byte(nil), t.buf...)
		t.stream, t.buf = stream, append(t.buf[:0], t.part[stream]...)
		delete(t.part, stream)
	}
	t.buf = append(t.buf, p...)
	if len(t.buf) >= chunkSize || t.now().Sub(t.last) >= flushDelay {
		return t.flush()
	}
	return nil
}

// due returns how long it takes until the text has to be flushed; ok is false
// if there is none.
func (t *text) due() (wait time.Duration, ok bool) {
	if complete(t.buf) == 0 {
		return 0, false
	}
	return max(0, flushDelay-t.now().Sub(t.last)), true
}

// flushDue sends the text if it has waited long enough.
func (t *text) flushDue() error {
	if wait, ok := t.due(); !ok || wait > 0 {
		return nil
	}
	return t.flush()
}

// flush sends the text, up to the last complete character.
func (t *text) flush() error {
	n := complete(t.buf)
	if n == 0 {
		return nil
	}
	err := t.send(cellio.Event{Stream: t.stream, Text: string(t.buf[:n])})
	t.buf = append(t.buf[:0], t.buf[n:]...)
	t.last = t.now()
	return err
}

// end sends what is left, be it a complete character or not.
func (t *text) end() error {
	if err := t.flush(); err != nil {
		return err
	}
	if t.stream != "" {
		if t.part == nil {
			t.part = map[string][]byte{}
		}
		t.part[t.stream] = t.buf
	}
	for _, stream := range []string{cellio.Stdout, cellio.Stderr} {
		if rest := t.part[stream]; len(rest) > 0 {
			if err := t.send(cellio.Event{Stream: stream, Text: string(rest)}); err != nil {
				return err
			}
		}
	}
	return nil
}

// complete returns the length of p without the beginning of a character at its
// end. What can be no character counts as one.
func complete(p []byte) int {
	for back := 1; back < utf8.UTFMax && back <= len(p); back++ {
		if start := len(p) - back; utf8.RuneStart(p[start]) {
			if !utf8.FullRune(p[start:]) {
				return start
			}
			break
		}
	}
	return len(p)
}
