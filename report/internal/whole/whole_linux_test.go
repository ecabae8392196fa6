package whole

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
)

// mounted is a file system of 64 kB in memory, which only root can have.
func mounted(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		t.Skipf("no file system to fill: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// holds wants a folder with one file, which holds what it held before.
func holds(t *testing.T, path string, want []byte) {
	t.Helper()
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want) {
		t.Errorf("the file holds %d bytes, %v; want what it held", len(got), err)
	}
	list, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(list) != 1 {
		t.Errorf("the folder holds %v, %v; want one file", list, err)
	}
}

func TestFullDisk(t *testing.T) {
	path := filepath.Join(mounted(t), "file")
	old := make([]byte, 20<<10)
	if err := Write(path, old); err != nil {
		t.Fatal(err)
	}
	if err := Write(path, make([]byte, 60<<10)); !errors.Is(err, syscall.ENOSPC) {
		t.Errorf("error %v, want one of a full disk", err)
	}
	holds(t, path, old)
	if err := Write(path, make([]byte, 30<<10)); err != nil {
		t.Errorf("what fits beside the old file: %v", err)
	}
}

func TestReadOnlyDisk(t *testing.T) {
	dir := mounted(t)
	path := filepath.Join(dir, "file")
	if err := Write(path, []byte("old")); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skip(err)
	}
	for _, p := range []string{path, filepath.Join(dir, "another")} {
		if err := Write(p, []byte("new")); !errors.Is(err, syscall.EROFS) {
			t.Errorf("error %v, want one of a disk that can only be read", err)
		}
	}
	holds(t, path, []byte("old"))
}

func TestReadOnlyFolder(t *testing.T) {
	dir, err := os.MkdirTemp("", "whole")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	path := filepath.Join(dir, "file")
	if err := Write(path, []byte("old")); err != nil {
		t.Fatal(err)
	}
	for _, p := range []struct {
		path string
		mode os.FileMode
	}{{path, 0o666}, {dir, 0o555}} {
		if err := os.Chmod(p.path, p.mode); err != nil {
			t.Fatal(err)
		}
	}
	asNobody(t, func() {
		if _, err := os.ReadFile(path); err != nil {
			t.Errorf("the folder cannot even be read: %v", err)
		}
		if err := Write(filepath.Join(dir, "another"), []byte("new")); !errors.Is(err, os.ErrPermission) {
			t.Errorf("a new file: error %v, want one of permission", err)
		}
		if err := Write(path, []byte("new")); !errors.Is(err, os.ErrPermission) {
			t.Errorf("the file that is there: error %v, want one of permission", err)
		}
	})
	holds(t, path, []byte("old"))
}

// asNobody calls a function as a user whom permissions hold back, where the test has none
// of them to heed.
func asNobody(t *testing.T, do func()) {
	t.Helper()
	if os.Geteuid() != 0 {
		do()
		return
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		// One thread changes its user, and ends with the goroutine.
		runtime.LockOSThread()
		const keep, nobody = ^uintptr(0), 65534
		if _, _, errno := syscall.RawSyscall(syscall.SYS_SETRESUID, keep, nobody, keep); errno != 0 {
			t.Errorf("cannot become nobody: %v", errno)
			return
		}
		do()
	}()
	<-done
}
