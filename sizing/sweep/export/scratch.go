package export

import (
	"bytes"
	"io"
)

// Scratch makes room for a column that has to wait until those before it are written,
// such as a temporary file. It is written once, sought to its start and read once.
type Scratch func() (io.ReadWriteSeeker, error)

// printer collects text, and keeps the first error.
type printer struct {
	w   io.Writer
	buf []byte
	err error
}

// enough is how much text is written at a time.
const enough = 64 << 10

func (p *printer) text(s string) {
	if p.buf = append(p.buf, s...); len(p.buf) >= enough {
		p.flush()
	}
}

func (p *printer) json(v any) {
	text, err := encode(v)
	if p.err == nil {
		p.err = err
	}
	p.text(string(text))
	p.flush()
}

func (p *printer) flush() {
	if p.err == nil {
		_, p.err = p.w.Write(p.buf)
	}
	p.buf = p.buf[:0]
}

// column writes what waits, without the comma behind its last value.
func (p *printer) column(c *waiting) {
	p.flush()
	if p.err != nil {
		return
	}
	if p.err = c.flush(); p.err != nil {
		return
	}
	if _, p.err = c.room.Seek(0, io.SeekStart); p.err != nil {
		return
	}
	_, p.err = io.CopyN(p.w, c.room, max(0, c.n-1))
}

// waiting is text on its way into its room.
type waiting struct {
	room io.ReadWriteSeeker
	buf  []byte
	n    int64
}

func (w *waiting) flush() error {
	n, err := w.room.Write(w.buf)
	w.n += int64(n)
	w.buf = w.buf[:0]
	return err
}

// memory is room in memory; it can be sought to its start only, where a buffer is read
// from anyway.
type memory struct{ bytes.Buffer }

func (*memory) Seek(int64, int) (int64, error) { return 0, nil }
