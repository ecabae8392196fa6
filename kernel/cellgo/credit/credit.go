// Package credit lets the reader of a program's output tell, past all that lies
// between them, how much of it was taken, so that the one who sends it can wait.
//
// What lies between them, the cell kernel, keeps without limit what it cannot
// pass on yet.
package credit

import (
	"encoding/binary"
	"errors"
	"io"
	"os"
	"sync"
)

// size is the size of the file: one number.
const size = 8

// Writer is the reader's side.
type Writer struct {
	mu    sync.Mutex
	file  *os.File
	count uint64
}

// Create makes the file at path, in which the number of messages taken is kept. As
// long as it says nothing, nobody waits.
func Create(path string) (*Writer, error) {
	file, err := os.OpenFile(path, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return nil, err
	}
	return &Writer{file: file}, nil
}

// Took tells that n more messages were taken.
func (w *Writer) Took(n int) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.count += uint64(n)
	_, err := w.file.WriteAt(binary.LittleEndian.AppendUint64(nil, w.count), 0)
	return err
}

// Close closes the file and leaves it there.
func (w *Writer) Close() error { return w.file.Close() }

// Reader is the sender's side.
type Reader struct{ file *os.File }

// Open opens the file at path.
func Open(path string) (*Reader, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	return &Reader{file}, nil
}

// Taken returns how many messages were taken; ok is false as long as the reader has
// told nothing.
func (r *Reader) Taken() (n uint64, ok bool, err error) {
	var buf [size]byte
	switch _, err := r.file.ReadAt(buf[:], 0); {
	case errors.Is(err, io.EOF):
		return 0, false, nil
	case err != nil:
		return 0, false, err
	}
	return binary.LittleEndian.Uint64(buf[:]), true, nil
}

// Close closes the file.
func (r *Reader) Close() error { return r.file.Close() }
