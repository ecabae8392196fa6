package stream

import "strings"

// tailSize is how much of the end of a stream is kept at least; up to twice as
// much is.
const tailSize = 8 << 10

// Tail keeps the end of what is added to it. Its zero value is empty.
type Tail struct {
	buf []byte
}

// Add adds a piece.
func (t *Tail) Add(text string) {
	t.buf = append(t.buf, text...)
	if extra := len(t.buf) - tailSize; extra > tailSize { // not for every piece
		t.buf = append(t.buf[:0], t.buf[extra:]...)
	}
}

// String returns what is kept, without a character that was cut in two.
func (t *Tail) String() string { return strings.ToValidUTF8(string(t.buf), "") }
