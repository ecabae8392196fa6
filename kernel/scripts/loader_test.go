package scripts

import (
	"context"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func TestFetchedOnceThenFromTheCache(t *testing.T) {
	p, archive := fakePackage(t, fakeFiles)
	npm, calls := delivers(p, archive)
	var said []string
	l := loader{dir: t.TempDir(), npm: npm, progress: func(s string) { said = append(said, s) }}
	for range 3 {
		s, err := l.load(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		if s.Source != fakeFiles["dist/lib.min.js"] || s.Name != "lib" || s.Version != "1.2.3" {
			t.Errorf("load = %+v", s)
		}
		if len(s.Notices) != 1 || s.Notices[0] != (Notice{"LICENSE", "do as you like\n"}) {
			t.Errorf("notices = %+v, want the licence", s.Notices)
		}
	}
	if calls.Load() != 1 {
		t.Errorf("npm was called %d times, want once", calls.Load())
	}
	if len(said) != 1 || !strings.Contains(said[0], "lib@1.2.3") {
		t.Errorf("progress = %q, want one line that names lib@1.2.3", said)
	}
	noStrayFiles(t, l.dir, 2)
}

func TestDamagedCacheIsFetchedAgain(t *testing.T) {
	for name, damage := range map[string]func(path string) error{
		"altered":   func(path string) error { return os.WriteFile(path, []byte("window.lib = 2;\n"), 0o644) },
		"cut short": func(path string) error { return os.Truncate(path, 3) },
		"removed":   os.Remove,
	} {
		t.Run(name, func(t *testing.T) {
			p, archive := fakePackage(t, fakeFiles)
			npm, calls := delivers(p, archive)
			l := loader{dir: t.TempDir(), npm: npm}
			if _, err := l.load(t.Context(), p); err != nil {
				t.Fatal(err)
			}
			if err := damage(l.path(p, p.script)); err != nil {
				t.Fatal(err)
			}
			s, err := l.load(t.Context(), p)
			if err != nil {
				t.Fatal(err)
			}
			if s.Source != fakeFiles["dist/lib.min.js"] {
				t.Errorf("source = %q, want the sound one", s.Source)
			}
			if calls.Load() != 2 {
				t.Errorf("npm was called %d times, want twice", calls.Load())
			}
			if _, err := l.cached(p); err != nil {
				t.Errorf("the cache was not mended: %v", err)
			}
		})
	}
}

func TestWrongArchiveIsRefusedAndNotKept(t *testing.T) {
	good, _ := fakePackage(t, fakeFiles)
	altered := maps.Clone(fakeFiles)
	altered["dist/lib.min.js"] = "window.lib = 'other';\n"
	bad, archive := fakePackage(t, altered)
	missing := maps.Clone(fakeFiles)
	delete(missing, "LICENSE")
	short, shortArchive := fakePackage(t, missing)

	for name, tc := range map[string]struct {
		p       pkg
		archive []byte
		want    string // in the error
	}{
		// good's pins, another archive: the archive's own digest is wrong.
		"archive": {good, archive, good.integrity},
		// bad's integrity fits its archive, but the file's pin does not.
		"file":         {bad, archive, "dist/lib.min.js"},
		"missing file": {short, shortArchive, "got nothing"},
	} {
		t.Run(name, func(t *testing.T) {
			npm, _ := delivers(tc.p, tc.archive)
			l := loader{dir: t.TempDir(), npm: npm}
			_, err := l.load(t.Context(), tc.p)
			var ie *IntegrityError
			if !errors.As(err, &ie) {
				t.Fatalf("error = %v, want an IntegrityError", err)
			}
			for _, part := range []string{tc.want, "lib@1.2.3", Hint} {
				if !strings.Contains(err.Error(), part) {
					t.Errorf("error %q does not contain %q", err, part)
				}
			}
			noStrayFiles(t, l.dir, 0)
		})
	}
}

func TestBrokenArchives(t *testing.T) {
	p, archive := fakePackage(t, fakeFiles)
	for name, b := range map[string][]byte{
		"empty":     {},
		"no gzip":   []byte("hello"),
		"cut short": archive[:len(archive)/2],
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := unpack(b, p); err == nil || !strings.Contains(err.Error(), "lib@1.2.3") {
				t.Errorf("unpack error = %v, want one that names lib@1.2.3", err)
			}
		})
	}
}

func TestNoArchiveLeft(t *testing.T) {
	p, _ := fakePackage(t, fakeFiles)
	l := loader{dir: t.TempDir(), npm: func(context.Context, string, string) error { return nil }}
	_, err := l.load(t.Context(), p)
	var ne *NPMError
	if !errors.As(err, &ne) || ne.Package != "lib@1.2.3" {
		t.Errorf("error = %v, want an NPMError for lib@1.2.3", err)
	}
}

func TestUnwritableCacheStillServes(t *testing.T) {
	p, archive := fakePackage(t, fakeFiles)
	npm, _ := delivers(p, archive)
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	var said []string
	l := loader{dir: file, npm: npm, progress: func(s string) { said = append(said, s) }}
	s, err := l.load(t.Context(), p)
	if err != nil || s.Source == "" {
		t.Fatalf("load = %+v, %v, want the script", s, err)
	}
	if len(said) != 2 || !strings.Contains(said[1], "could not be kept") {
		t.Errorf("progress = %q, want a second line on the cache", said)
	}
}

func TestConcurrentLoads(t *testing.T) {
	p, archive := fakePackage(t, fakeFiles)
	npm, _ := delivers(p, archive)
	l := loader{dir: t.TempDir(), npm: npm}
	var wg sync.WaitGroup
	for range 16 {
		wg.Go(func() {
			if s, err := l.load(context.Background(), p); err != nil || s.Source != fakeFiles["dist/lib.min.js"] {
				t.Errorf("load = %+v, %v", s, err)
			}
		})
	}
	wg.Wait()
	noStrayFiles(t, l.dir, 2)
}

func TestCancelled(t *testing.T) {
	p, archive := fakePackage(t, fakeFiles)
	npm, calls := delivers(p, archive)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	l := loader{dir: t.TempDir(), npm: npm}
	if _, err := l.load(ctx, p); !errors.Is(err, context.Canceled) {
		t.Errorf("error = %v, want context.Canceled", err)
	}
	if calls.Load() != 0 {
		t.Error("npm was called after the cancellation")
	}
}

// noStrayFiles checks that dir holds want files and no temporary one.
func noStrayFiles(t *testing.T, dir string, want int) {
	t.Helper()
	var files []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			files = append(files, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != want {
		t.Errorf("files = %q, want %d", files, want)
	}
}
