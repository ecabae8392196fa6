//go:build unix

package pump

import (
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"iter"

	"github.com/janpfeifer/gonb/gonbui/protocol"
)

// The kernel understands these types beside those of package protocol.
func init() {
	gob.Register(map[string]any{})
	gob.Register([]any{})
}

// displays decodes what a program sends to be shown: a stream that comes in
// pieces, of which nobody knows where a display ends before it is decoded.
type displays struct {
	next func() (item, bool) // runs the decoder until it has something to tell
	stop func()

	rest []byte // what the decoder has not taken yet
	size int    // how much it has taken of the present display
	bad  int    // errors in a row
}

// item is what the decoder tells: a display, an error, or, if it is empty, that
// it needs more.
type item struct {
	data *protocol.DisplayData
	err  error
}

const (
	// maxDisplay is the size of the largest display that is taken for one.
	maxDisplay = 1 << 30
	// maxBad is after how many errors in a row a stream is given up.
	maxBad = 10
)

func newDisplays() *displays {
	d := &displays{}
	d.next, d.stop = iter.Pull(d.decode)
	return d
}

// add takes more of the stream, which it keeps until it returns, and calls show for every display that is
// complete, with its size in the stream. The error is about displays that were
// lost.
func (d *displays) add(p []byte, show func(data *protocol.DisplayData, size int)) error {
	var errs []error
	d.rest = p
	for {
		it, ok := d.next()
		switch {
		case !ok: // it was given up before
			d.rest = nil
			return errors.Join(errs...)
		case it.data != nil:
			show(it.data, d.size)
			d.size, d.bad = 0, 0
		case it.err != nil:
			errs = append(errs, it.err)
			d.size = 0
			if d.bad++; d.bad == maxBad {
				d.stop()
			}
		case d.size > maxDisplay:
			errs = append(errs, fmt.Errorf("a display of more than %d bytes", maxDisplay))
			d.stop()
		default:
			return errors.Join(errs...)
		}
	}
}

// begun reports whether a display has come in part.
func (d *displays) begun() bool { return d.size > 0 }

// decode is the decoder.
func (d *displays) decode(yield func(item) bool) {
	decoder := gob.NewDecoder(reader{d, yield})
	for {
		var it item
		var data protocol.DisplayData
		switch err := decoder.Decode(&data); {
		case errors.Is(err, io.EOF): // the reader was stopped
			return
		case err != nil:
			it.err = err
		default:
			it.data = &data
		}
		if !yield(it) {
			return
		}
	}
}

// reader is the stream as the decoder sees it.
type reader struct {
	d     *displays
	yield func(item) bool
}

func (r reader) Read(p []byte) (int, error) {
	for len(r.d.rest) == 0 {
		if !r.yield(item{}) {
			return 0, io.EOF
		}
	}
	n := copy(p, r.d.rest)
	r.d.rest = r.d.rest[n:]
	r.d.size += n
	return n, nil
}

// ReadByte keeps the decoder from reading ahead.
func (r reader) ReadByte() (byte, error) {
	var p [1]byte
	_, err := io.ReadFull(r, p[:])
	return p[0], err
}

// syncRequest returns the number of the request to confirm what was sent before,
// if the message is one.
func syncRequest(data *protocol.DisplayData) (int, bool) {
	v, ok := data.Data[protocol.MIMECommValue].(protocol.CommValue)
	if !ok || v.Address != protocol.GonbuiSyncAddress {
		return 0, false
	}
	n, ok := v.Value.(int)
	return n, ok
}
