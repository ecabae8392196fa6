package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// shop makes a folder with two notebooks and what belongs to them, and watches
// it.
func shop(t *testing.T) (dir string, w *watcher) {
	t.Helper()
	dir = t.TempDir()
	for _, name := range []string{"a/one.ipynb", "a/sheet.toml", "a/parts/pumps.csv", "a/out/result.csv", "a/.hidden/x.csv", "a/notes.txt", "b/two.ipynb", "b/two.toml"} {
		save(t, filepath.Join(dir, name), "old")
	}
	targets, err := planRun([]string{filepath.Join(dir, "a/one.ipynb"), filepath.Join(dir, "b/two.ipynb")}, filepath.Join(dir, "a/out"))
	if err != nil {
		t.Fatal(err)
	}
	if w, err = newWatcher(targets, filepath.Join(dir, "a/out")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.close)
	return dir, w
}

func save(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func TestWatcher(t *testing.T) {
	for _, tt := range []struct {
		name      string
		act       func(t *testing.T, dir string)
		changed   string // files, from their notebook's folder
		concerned string // notebooks
	}{
		{"notebook", func(t *testing.T, dir string) { save(t, dir+"/a/one.ipynb", "new") }, "one.ipynb", "one"},
		{"sheet", func(t *testing.T, dir string) { save(t, dir+"/b/two.toml", "new") }, "two.toml", "two"},
		{"table below", func(t *testing.T, dir string) { save(t, dir+"/a/parts/pumps.csv", "new") }, "parts/pumps.csv", "one"},
		{"another put in its place", func(t *testing.T, dir string) {
			save(t, dir+"/a/.sheet.toml.swp", "new")
			if err := os.Rename(dir+"/a/.sheet.toml.swp", dir+"/a/sheet.toml"); err != nil {
				t.Fatal(err)
			}
		}, "sheet.toml", "one"},
		{"moved away and written anew", func(t *testing.T, dir string) {
			if err := os.Rename(dir+"/a/one.ipynb", dir+"/a/one.ipynb~"); err != nil {
				t.Fatal(err)
			}
			time.Sleep(20 * time.Millisecond)
			save(t, dir+"/a/one.ipynb", "new")
		}, "one.ipynb", "one"},
		{"new folder", func(t *testing.T, dir string) {
			save(t, dir+"/b/logs/pull.csv", "new")
		}, "logs/pull.csv", "two"},
		{"in a folder that is new", func(t *testing.T, dir string) {
			if err := os.Mkdir(dir+"/b/logs", 0o777); err != nil {
				t.Fatal(err)
			}
			time.Sleep(300 * time.Millisecond)
			save(t, dir+"/b/logs/pull.csv", "new")
		}, "logs/pull.csv", "two"},
		{"gone", func(t *testing.T, dir string) {
			if err := os.Remove(dir + "/a/sheet.toml"); err != nil {
				t.Fatal(err)
			}
		}, "sheet.toml", "one"},
		{"both", func(t *testing.T, dir string) {
			save(t, dir+"/a/one.ipynb", "new")
			save(t, dir+"/b/two.ipynb", "new")
		}, "one.ipynb two.ipynb", "one two"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir, w := shop(t)
			before := w.scan()
			tt.act(t, dir)
			// On a busy machine one act may be seen as several.
			var changed []string
			for start := time.Now(); strings.Join(w.names(changed), " ") != tt.changed; {
				select {
				case <-w.settled:
					changed = changes(before, w.scan())
				case <-time.After(patience - time.Since(start)):
					t.Fatalf("saw changes to %q, want %s", w.names(changed), tt.changed)
				}
			}
			var concerned []string
			for _, target := range w.concerned(changed) {
				concerned = append(concerned, target.name())
			}
			if got := strings.Join(concerned, " "); got != tt.concerned {
				t.Errorf("concerns %q, want %q", got, tt.concerned)
			}
		})
	}
}

// TestWatcherPassesOver does what is no reason to run again.
func TestWatcherPassesOver(t *testing.T) {
	dir, w := shop(t)
	before := w.scan()
	save(t, dir+"/a/notes.txt", "new")
	save(t, dir+"/a/out/result.csv", "new")
	save(t, dir+"/a/.hidden/x.csv", "new")
	save(t, dir+"/a/sheet.toml", "old") // with what was there
	if err := os.Chmod(dir+"/b/two.toml", 0o600); err != nil {
		t.Fatal(err)
	}
	for quiet := time.After(3 * quietAfter); ; {
		select {
		case <-w.settled:
			if changed := changes(before, w.scan()); len(changed) > 0 {
				t.Errorf("saw changes to %q", w.names(changed))
			}
			continue
		case <-quiet:
		}
		break
	}
	if got := w.concerned([]string{dir + "/a/out/../elsewhere.toml", "/x.csv"}); len(got) != 1 || got[0].name() != "one" {
		t.Errorf("concerned %v", got)
	}
}

// TestWatcherWaitsForTheEnd has a file change for a while.
func TestWatcherWaitsForTheEnd(t *testing.T) {
	dir, w := shop(t)
	seen := 0
	for end := time.Now().Add(2 * quietAfter); time.Now().Before(end); time.Sleep(quietAfter / 20) {
		save(t, dir+"/a/sheet.toml", time.Now().String())
		select {
		case <-w.settled:
			seen++
		default:
		}
	}
	select {
	case <-w.settled:
	case <-time.After(patience):
		t.Fatal("the change was not seen")
	}
	if seen > 1 { // a busy machine may take a pause for the end
		t.Errorf("seen %d times before it was over", seen)
	}
}

func TestConcernedLeavesOutWhatIsGone(t *testing.T) {
	dir, w := shop(t)
	if err := os.Remove(dir + "/a/one.ipynb"); err != nil {
		t.Fatal(err)
	}
	if got := w.concerned([]string{dir + "/a/one.ipynb"}); len(got) != 0 {
		t.Errorf("would run %v, which is gone", got)
	}
}

// TestBelieve has a file change while the notebooks run, in run after run.
func TestBelieve(t *testing.T) {
	var b strings.Builder
	r := &notebookRun{progress: &progress{w: &b}}
	strikes, during := map[string]int{}, map[string]bool{}
	for i, want := range []bool{true, true, false, false} {
		if got := r.believe("/a/log.csv", strikes, during); got != want {
			t.Errorf("time %d: believed %v, want %v", i+1, got, want)
		}
		if !r.believe("/a/note.ipynb", strikes, during) {
			t.Errorf("time %d: did not believe in a change of the notebook", i+1)
		}
	}
	if got := strings.Count(b.String(), "log.csv changes whenever the notebook runs"); got != 2 {
		t.Errorf("said %d times, want 2: %s", got, b.String())
	}
	if !during["/a/log.csv"] || during["/a/note.ipynb"] {
		t.Errorf("during: %v", during)
	}
}

func TestCovers(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.csv")
	save(t, file, "x")
	c := &cycle{ended: make(chan struct{})}
	if !c.covers(file) {
		t.Error("while it runs, a run covers every change")
	}
	close(c.ended)
	c.at = time.Now().Add(time.Hour)
	if !c.covers(file) || c.covers(file+".gone") {
		t.Error("written before the end counts, gone does not")
	}
	c.at = time.Now().Add(-time.Hour)
	if c.covers(file) {
		t.Error("written after the end counts")
	}
}

func TestMerged(t *testing.T) {
	a, b, c := runTarget{path: "a"}, runTarget{path: "b"}, runTarget{path: "c"}
	if got := merged([]runTarget{c}, []runTarget{a}, []runTarget{a, b, c}); !slices.Equal(got, []runTarget{a, c}) {
		t.Errorf("got %v, want a and c", got)
	}
}
