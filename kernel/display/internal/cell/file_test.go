package cell_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"example.com/railbook/kernel/display/internal/cell"
)

// A file is there whole or as it was.
func TestWriteFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	write := func(text string, fails error) (int64, error) {
		return cell.WriteFile(path, func(w io.Writer) error {
			_, err := io.WriteString(w, text)
			return errors.Join(err, fails)
		})
	}
	for _, text := range []string{"first", "second, longer", ""} {
		if size, err := write(text, nil); err != nil || size != int64(len(text)) {
			t.Errorf("%q: %d bytes, %v", text, size, err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != text {
			t.Errorf("%q: the file holds %q, %v", text, got, err)
		}
	}
	broken := errors.New("broken")
	if _, err := write("half of it", broken); !errors.Is(err, broken) {
		t.Errorf("error %v, want the writer's", err)
	}
	if got, err := os.ReadFile(path); err != nil || len(got) != 0 {
		t.Errorf("after a failure the file holds %q, %v", got, err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("left are %v, %v", left, err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm()&0o444 != 0o444 {
		t.Errorf("its mode is %v, %v: others cannot read it", info.Mode(), err)
	}
}
