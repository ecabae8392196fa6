package cell

import (
	"bufio"
	"errors"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes a file and returns its size. The file appears under its name whole or not
// at all: it is written beside it and renamed.
func WriteFile(path string, write func(io.Writer) error) (size int64, err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return 0, err
	}
	buffered := bufio.NewWriter(f)
	err = write(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		const readable = 0o644 // a temporary file is its owner's alone
		err = f.Chmod(readable)
	}
	if err == nil {
		size, err = f.Seek(0, io.SeekCurrent)
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return 0, errors.Join(err, os.Remove(f.Name()))
	}
	return size, nil
}
