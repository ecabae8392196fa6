package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// watcher watches the folders of notebooks: the notebooks themselves, and what
// they may read there or in folders below, which is sheets and tables. Folders are
// watched rather than files, since editors save by putting another file in place.
type watcher struct {
	targets []runTarget
	out     os.FileInfo // the folder of the outputs, which is not watched
	system  *fsnotify.Watcher
	// settled is sent to when something has changed and nothing more does.
	settled chan struct{}
	done    chan struct{}
}

// How long after a change nothing must follow for it to be over, and how long it
// may go on altogether.
const (
	quietAfter = 200 * time.Millisecond
	longest    = 2 * time.Second
)

func newWatcher(targets []runTarget, out string) (*watcher, error) {
	info, err := os.Stat(out)
	if err != nil {
		return nil, err
	}
	system, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, fmt.Errorf("watching for changes: %w", err)
	}
	w := &watcher{targets: targets, out: info, system: system, settled: make(chan struct{}), done: make(chan struct{})}
	for _, t := range targets {
		if err := w.add(t.folder); err != nil {
			system.Close()
			return nil, fmt.Errorf("watching %s for changes: %w", t.folder, err)
		}
	}
	go w.settle()
	return w, nil
}

func (w *watcher) close() {
	close(w.done)
	w.system.Close()
}

func (w *watcher) errors() <-chan error { return w.system.Errors }

// add watches the folder and those below.
func (w *watcher) add(folder string) error {
	return w.walk(folder, func(path string, d fs.DirEntry) error {
		if d.IsDir() {
			return w.system.Add(path)
		}
		return nil
	})
}

// walk visits the files and folders that are of interest.
func (w *watcher) walk(folder string, visit func(path string, d fs.DirEntry) error) error {
	return filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return nil // gone in the meantime, or not for us to read
		}
		if d.IsDir() && path != folder {
			info, err := d.Info()
			if strings.HasPrefix(d.Name(), ".") || err == nil && os.SameFile(info, w.out) {
				return filepath.SkipDir
			}
		}
		return visit(path, d)
	})
}

// settle waits for changes to be over.
func (w *watcher) settle() {
	var timer <-chan time.Time
	var since time.Time
	for {
		select {
		case e, ok := <-w.system.Events:
			if !ok {
				return
			}
			if e.Has(fsnotify.Create) {
				if info, err := os.Stat(e.Name); err == nil && info.IsDir() {
					w.add(e.Name) // failing that, its files are not watched
				}
			}
			if !w.relevant(e) {
				continue
			}
			if timer == nil {
				since = time.Now()
			}
			timer = time.After(min(quietAfter, max(0, longest-time.Since(since))))
		case <-timer:
			timer = nil
			select {
			case w.settled <- struct{}{}:
			case <-w.done:
				return
			}
		case <-w.done:
			return
		}
	}
}

// relevant reports whether an event may be a change to a file of interest.
func (w *watcher) relevant(e fsnotify.Event) bool {
	if e.Op == fsnotify.Chmod {
		return false
	}
	return w.isData(e.Name) || w.isNotebook(e.Name) || e.Has(fsnotify.Create) // of a folder, perhaps
}

// isData reports whether the file is a sheet or a table.
func (w *watcher) isData(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".toml", ".csv":
		return !strings.HasPrefix(filepath.Base(path), ".")
	}
	return false
}

func (w *watcher) isNotebook(path string) bool {
	return slices.ContainsFunc(w.targets, func(t runTarget) bool { return path == t.file() })
}

// digests are those of the content of files, by path.
type digests map[string][sha256.Size]byte

// scan reads all files of interest.
func (w *watcher) scan() digests {
	found := digests{}
	for _, t := range w.targets {
		w.walk(t.folder, func(path string, d fs.DirEntry) error {
			if d.IsDir() || !w.isData(path) && !w.isNotebook(path) {
				return nil
			}
			if _, again := found[path]; again {
				return nil
			}
			if data, err := os.ReadFile(path); err == nil {
				found[path] = sha256.Sum256(data)
			}
			return nil
		})
	}
	return found
}

// changes lists the files that are new, changed or gone, sorted.
func changes(before, after digests) []string {
	all := map[string]bool{}
	for path, sum := range after {
		if old, ok := before[path]; !ok || old != sum {
			all[path] = true
		}
	}
	for path := range before {
		if _, ok := after[path]; !ok {
			all[path] = true
		}
	}
	return slices.Sorted(maps.Keys(all))
}

// concerned lists the notebooks that a change to the files may make a difference
// to: those that have changed, but not those that are gone, and those in the
// folder of a changed sheet or table or above it.
func (w *watcher) concerned(changed []string) []runTarget {
	var list []runTarget
	for _, t := range w.targets {
		if _, err := os.Stat(t.path); err != nil {
			continue // an editor is about to put it back
		}
		if slices.ContainsFunc(changed, func(path string) bool {
			return path == t.file() || w.isData(path) && within(path, t.folder)
		}) {
			list = append(list, t)
		}
	}
	return list
}

// within reports whether the path is in the folder or below it.
func within(path, folder string) bool {
	rel, err := filepath.Rel(folder, path)
	return err == nil && filepath.IsLocal(rel)
}

// names are the files as seen from the notebooks' folders.
func (w *watcher) names(files []string) []string {
	var names []string
	for _, f := range files {
		name := f
		for _, t := range w.targets {
			if rel, err := filepath.Rel(t.folder, f); err == nil && filepath.IsLocal(rel) {
				name = rel
				break
			}
		}
		names = append(names, name)
	}
	return names
}
