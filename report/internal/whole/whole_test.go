package whole

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file")
	for _, c := range []struct {
		data string
		perm os.FileMode // before; 0: no file yet
		want os.FileMode
	}{{"new", 0, 0o644}, {"replaced", 0o600, 0o600}, {"", 0o640, 0o640}} {
		if c.perm != 0 {
			if err := os.Chmod(path, c.perm); err != nil {
				t.Fatal(err)
			}
		}
		if err := Write(path, []byte(c.data)); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		info, _ := os.Stat(path)
		if err != nil || string(data) != c.data || info.Mode().Perm() != c.want {
			t.Errorf("it holds %q with mode %v, %v; want %q and %v", data, info.Mode(), err, c.data, c.want)
		}
	}
	for path, says := range map[string]string{dir: "not a regular file", filepath.Join(dir, "missing", "file"): "no such file"} {
		if err := Write(path, nil); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: error %v, want one that says %q", path, err, says)
		}
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 1 {
		t.Errorf("%d files in the folder, want 1: %v", len(list), err)
	}
}
