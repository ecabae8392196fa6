// Package atomicfile writes files that are either complete or not there.
package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Write calls fill with a writer to a temporary file beside path and, once all
// is written, renames that file to path. When fill or the writing fails,
// whatever was at path stays as it was and nothing else is left behind.
// An existing file's permissions are kept; a symbolic link is followed.
func Write(path string, fill func(io.Writer) error) (err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	perm := os.FileMode(0o666) // less the user's umask
	old, statErr := os.Stat(path)
	if statErr == nil && !old.Mode().IsRegular() {
		return fmt.Errorf("%s: not a regular file", path)
	}
	f, err := createBeside(path, perm)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	buf := bufio.NewWriter(f)
	err = fill(buf)
	if err == nil {
		err = buf.Flush()
	}
	if err == nil && statErr == nil {
		err = f.Chmod(old.Mode().Perm())
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return os.Rename(f.Name(), path)
}

// createBeside makes a new file with a free name in the folder of path.
func createBeside(path string, perm os.FileMode) (*os.File, error) {
	for i := 0; ; i++ {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".%s.%d-%d.tmp", filepath.Base(path), os.Getpid(), i))
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, perm)
		if !errors.Is(err, os.ErrExist) {
			return f, err
		}
	}
}
