package atomicfile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

func write(path, text string) error {
	return Write(path, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
}

func check(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(want) {
		t.Errorf("got %d files, want %d: %v", len(entries), len(want), entries)
	}
	for name, text := range want {
		if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != text {
			t.Errorf("%s: got %q, %v, want %q", name, got, err, text)
		}
	}
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.txt")
	if err := write(path, "one"); err != nil {
		t.Fatal(err)
	}
	check(t, dir, map[string]string{"a.txt": "one"})
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := write(path, "two"); err != nil {
		t.Fatal(err)
	}
	check(t, dir, map[string]string{"a.txt": "two"})
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode: got %v, %v, want 0600 kept", info.Mode(), err)
	}
}

func TestWriteFailureLeavesOldFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.txt")
	if err := write(path, "old"); err != nil {
		t.Fatal(err)
	}
	boom := errors.New("boom")
	err := Write(path, func(w io.Writer) error {
		io.WriteString(w, "half")
		return boom
	})
	if !errors.Is(err, boom) {
		t.Errorf("got %v, want the error of fill", err)
	}
	check(t, dir, map[string]string{"a.txt": "old"})
}

func TestWriteFollowsLink(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	target := filepath.Join(other, "real.txt")
	if err := write(target, "old"); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(dir, "link.txt")
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	if err := write(link, "new"); err != nil {
		t.Fatal(err)
	}
	check(t, other, map[string]string{"real.txt": "new"})
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link was replaced: %v, %v", info.Mode(), err)
	}
}

func TestWriteRefusesFolders(t *testing.T) {
	dir := t.TempDir()
	if err := write(dir, "x"); err == nil {
		t.Error("wrote over a folder")
	}
	if err := write(filepath.Join(dir, "absent", "a.txt"), "x"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("absent folder: got %v", err)
	}
	check(t, dir, nil)
}
