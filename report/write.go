package report

import (
	"errors"
	"fmt"
	"os"

	"github.com/google/renameio/v2/maybe"

	"example.com/railbook/sizing"
)

// Write makes a report on a in the file at path; see [Render]. The file is
// written beside path first and then renamed, where the system can do so, and path
// then holds a whole report or what it held before. The error names the path.
func Write(path string, a *sizing.Assessment, o Options) error {
	data, err := render(a, o)
	if err == nil {
		err = replace(path, data)
	}
	if err != nil {
		return fmt.Errorf("cannot write the report %s: %w", path, err)
	}
	return nil
}

// replace puts data into the file at path, keeping the permissions of one that is
// there already.
func replace(path string, data []byte) error {
	perm := os.FileMode(0o644)
	if old, err := os.Stat(path); err == nil {
		if !old.Mode().IsRegular() {
			return errors.New("it exists and is not a regular file")
		}
		perm = old.Mode().Perm()
	}
	return maybe.WriteFile(path, data, perm)
}
