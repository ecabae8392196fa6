// Package whole writes files that come out whole or not at all.
package whole

import (
	"errors"
	"os"

	"github.com/google/renameio/v2/maybe"
)

// Write puts data into the file at path, keeping the permissions of one that is there
// already. Where the system can do so, it writes a file beside path and then renames it:
// path then holds data, or what it held before.
func Write(path string, data []byte) error {
	perm := os.FileMode(0o644)
	if old, err := os.Stat(path); err == nil {
		if !old.Mode().IsRegular() {
			return errors.New("it exists and is not a regular file")
		}
		perm = old.Mode().Perm()
	}
	return maybe.WriteFile(path, data, perm)
}
