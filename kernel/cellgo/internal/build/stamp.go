//go:build unix

package build

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"
)

// watch is a part of the file tree that a recipe depends on, with its state when
// the recipe was made.
type watch struct {
	Kind  string `json:"kind"` // watchFile, watchSources or watchTree
	Path  string `json:"path"`
	State string `json:"state"`
}

// The kinds of a watch.
const (
	watchFile    = "file"    // one file, which may be missing
	watchSources = "sources" // the files of a package in a folder, tests aside
	watchTree    = "tree"    // all files in a folder and below
)

// now returns the state of what is watched, and the last time at which one of
// its files was changed.
func (w watch) now() (state string, changed time.Time, err error) {
	hash := sha256.New()
	note := func(path string) error {
		info, err := os.Stat(path)
		if os.IsNotExist(err) {
			_, err := fmt.Fprintf(hash, "%q missing\n", path)
			return err
		}
		if err != nil {
			return err
		}
		st, ok := info.Sys().(*syscall.Stat_t)
		if !ok {
			return fmt.Errorf("%s: no file status", path)
		}
		at := changeTime(st)
		if m := info.ModTime(); m.After(at) {
			at = m
		}
		if at.After(changed) {
			changed = at
		}
		_, err = fmt.Fprintf(hash, "%q %d %d %d %d %v\n",
			path, info.Size(), info.ModTime().UnixNano(), changeTime(st).UnixNano(), st.Ino, info.Mode())
		return err
	}
	folder := w.Path
	if w.Kind == watchFile {
		folder = filepath.Dir(w.Path)
	}
	// A file that was removed shows in its folder only. What else happens there is
	// no part of the state.
	if info, err := os.Stat(folder); err == nil {
		changed = info.ModTime()
	}
	switch w.Kind {
	case watchFile:
		err = note(w.Path)
	case watchSources:
		var entries []fs.DirEntry
		if entries, err = os.ReadDir(w.Path); err != nil {
			break
		}
		for _, e := range entries {
			if !isSource(e.Name()) {
				continue
			}
			if err = note(filepath.Join(w.Path, e.Name())); err != nil {
				break
			}
		}
	case watchTree:
		err = filepath.WalkDir(w.Path, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			return note(path)
		})
	default:
		err = fmt.Errorf("watch of the unknown kind %q", w.Kind)
	}
	return base64.RawURLEncoding.EncodeToString(hash.Sum(nil)[:15]), changed, err
}

// isSource reports whether a file of that name may belong to a package. Files of
// tests do not, nor what editors leave about.
func isSource(name string) bool {
	return slices.Contains(special, filepath.Ext(name)) && !strings.HasSuffix(name, "_test.go") &&
		!strings.HasPrefix(name, "_") && !strings.HasPrefix(name, ".")
}

// unchanged reports whether everything watched is in the state it was.
func unchanged(ws []watch) bool {
	for _, w := range ws {
		if state, _, err := w.now(); err != nil || state != w.State {
			return false
		}
	}
	return true
}

// clockSlack is how far the file system's clock may lag behind the system's: a
// tick of the kernel, and then some.
const clockSlack = 200 * time.Millisecond

// take notes the state of everything in ws. It reports false if something cannot
// be read or was changed since start, so that nobody knows in which state a
// build begun at start has seen it.
func take(ws []watch, start time.Time) bool {
	for i := range ws {
		state, changed, err := ws[i].now()
		if err != nil || changed.After(start.Add(-clockSlack)) {
			return false
		}
		ws[i].State = state
	}
	return true
}
