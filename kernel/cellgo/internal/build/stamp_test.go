//go:build unix

package build

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestWatch(t *testing.T) {
	dir := t.TempDir()
	path := func(name string) string { return filepath.Join(dir, name) }
	write(t, path("a.go"), "package a\n")
	write(t, path("notes.txt"), "x")
	write(t, path("sub/b.go"), "package b\n")
	for _, tt := range []struct {
		kind, path string
		change     func()
		noticed    bool
	}{
		{watchSources, dir, func() { write(t, path("a.go"), "package a // longer\n") }, true},
		{watchSources, dir, func() { write(t, path("new.go"), "package a\n") }, true},
		{watchSources, dir, func() { write(t, path("new.s"), "") }, true},
		{watchSources, dir, func() { os.Remove(path("new.go")) }, true},
		{watchSources, dir, func() { os.Rename(path("a.go"), path("c.go")) }, true},
		{watchSources, dir, func() { os.Chmod(path("c.go"), 0o600) }, true},
		{watchSources, dir, func() { write(t, path("notes.txt"), "xyz") }, false},
		{watchSources, dir, func() { write(t, path("c_test.go"), "package a\n") }, false},
		{watchSources, dir, func() { write(t, path(".c.go.swp"), "") }, false},
		{watchSources, dir, func() { write(t, path("_c.go"), "") }, false},
		{watchSources, dir, func() { write(t, path("sub/c.go"), "package b\n") }, false},
		{watchTree, dir, func() { write(t, path("sub/deep/x"), "") }, true},
		{watchTree, dir, func() { write(t, path("sub/deep/y"), "") }, true},
		{watchFile, path("notes.txt"), func() { write(t, path("notes.txt"), "abcd") }, true},
		{watchFile, path("notes.txt"), func() { os.Remove(path("notes.txt")) }, true},
		{watchFile, path("notes.txt"), func() { write(t, path("other.txt"), "") }, false},
		{watchFile, path("notes.txt"), func() { write(t, path("notes.txt"), "") }, true},
	} {
		w := watch{Kind: tt.kind, Path: tt.path}
		state, _, err := w.now()
		if err != nil {
			t.Fatal(err)
		}
		w.State = state
		if !unchanged([]watch{w}) {
			t.Errorf("%s %s: changes by itself", tt.kind, tt.path)
		}
		tt.change()
		if noticed := !unchanged([]watch{w}); noticed != tt.noticed {
			t.Errorf("%s %s: noticed %t, want %t", tt.kind, tt.path, noticed, tt.noticed)
		}
	}
	for _, w := range []watch{{Kind: watchSources, Path: path("none")}, {Kind: watchTree, Path: path("none")}, {Kind: "other", Path: dir}} {
		if unchanged([]watch{w}) {
			t.Errorf("%+v counts as unchanged", w)
		}
	}
}

// TestTake takes the state of what was changed before and after a build began,
// and of what is not there any more.
func TestTake(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.go")
	write(t, path, "package a\n")
	ws := func() []watch { return []watch{{Kind: watchSources, Path: dir}, {Kind: watchFile, Path: path}} }
	if take(ws(), time.Now()) {
		t.Error("what was changed just now is taken")
	}
	if !take(ws(), time.Now().Add(time.Minute)) {
		t.Error("what was changed long before is not taken")
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if take(ws()[:1], time.Now()) || take(ws()[1:], time.Now()) {
		t.Error("what was removed just now is not noticed")
	}
}
