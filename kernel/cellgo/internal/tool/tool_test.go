//go:build unix

package tool

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/cellgo/setting"
)

func TestFind(t *testing.T) {
	dir := t.TempDir()
	folder := func(name string) string { return filepath.Join(dir, name) }
	for name, mode := range map[string]os.FileMode{"shims/go": 0o755, "text/go": 0o644, "real/go": 0o755, "later/go": 0o755} {
		if err := os.MkdirAll(filepath.Dir(folder(name)), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(folder(name), nil, mode); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(folder("folder/go"), 0o777); err != nil {
		t.Fatal(err)
	}
	s := setting.Setting{Shims: folder("shims")}
	path := func(names ...string) string {
		for i, name := range names {
			names[i] = folder(name)
		}
		return strings.Join(names, ":")
	}
	t.Setenv("PATH", ":"+path("shims", "none", "folder", "text", "real", "later"))
	if got, err := Find(s, "go"); err != nil || got != folder("real/go") {
		t.Errorf("got %s, %v, want the first program that is no shim", got, err)
	}
	t.Setenv("PATH", path("shims", "text"))
	if got, err := Find(s, "go"); err == nil || err.Error() != "go is not on PATH" {
		t.Errorf("got %s, %v, want no program", got, err)
	}
	if err := Become(s, "go", nil); err == nil || err.Error() != "go is not on PATH" {
		t.Errorf("got %v", err)
	}
	if err := Exec(folder("none"), []string{"none"}, nil); err == nil || !strings.Contains(err.Error(), folder("none")) {
		t.Errorf("got %v, want an error that names the program", err)
	}
}
