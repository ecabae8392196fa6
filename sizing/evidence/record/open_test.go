package record

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestRefused: what is no record, or none that this version knows, is refused with the
// path and the reason, and stays as it was to the last byte.
func TestRefused(t *testing.T) {
	whole := func(t *testing.T) []byte {
		path := t.TempDir() + "/pulls.db"
		r := create(t, path)
		for i := range 40 {
			must[[]Outcome](t)(r.Add(t.Context(), "a", day, invented(i)))
		}
		r.Close()
		return must[[]byte](t)(os.ReadFile(path))
	}
	database := func(statements string) func(t *testing.T) []byte {
		return func(t *testing.T) []byte {
			path := t.TempDir() + "/x.db"
			db := must[*sql.DB](t)(sql.Open("sqlite", path))
			if _, err := db.Exec(statements); err != nil {
				t.Fatal(err)
			}
			db.Close()
			return must[[]byte](t)(os.ReadFile(path))
		}
	}
	cut := func(share float64) func(t *testing.T) []byte {
		return func(t *testing.T) []byte {
			data := whole(t)
			return data[:int(share*float64(len(data)))]
		}
	}
	text := func(s string) func(t *testing.T) []byte {
		return func(t *testing.T) []byte { return []byte(s) }
	}
	tests := []struct {
		name string
		data func(t *testing.T) []byte
		want error
	}{
		{"newer version", database("PRAGMA application_id = 0x7262706c; PRAGMA user_version = 99; CREATE TABLE pull (x)"), ErrNewer},
		{"another program's database", database("CREATE TABLE song (title TEXT)"), ErrForeign},
		{"another program's empty database", database("PRAGMA application_id = 77; PRAGMA user_version = 3"), ErrForeign},
		{"a record without a version", database("PRAGMA application_id = 0x7262706c; CREATE TABLE pull (x)"), ErrDamaged},
		{"text", text("speed,power\n3000,200\n"), ErrForeign},
		{"long text", text(strings.Repeat("speed,power\n3000,200\n", 1000)), ErrForeign},
		{"a tenth", cut(0.1), ErrDamaged},
		{"a half", cut(0.5), ErrDamaged},
		{"half a page less", cut(0.97), ErrDamaged},
		{"half a header", func(t *testing.T) []byte { return whole(t)[:50] }, ErrDamaged},
		{"a page of zeros within", func(t *testing.T) []byte {
			data := whole(t)
			return append(append(data[:4096:4096], make([]byte, 4096)...), data[8192:]...)
		}, ErrDamaged},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			data := c.data(t)
			dir := t.TempDir()
			path := filepath.Join(dir, "kept.db")
			if err := os.WriteFile(path, data, 0o644); err != nil {
				t.Fatal(err)
			}
			r, err := Open(t.Context(), path, Create)
			if err == nil {
				r.Close()
			}
			if !errors.Is(err, c.want) || !strings.HasPrefix(err.Error(), path+" "+c.want.Error()) {
				t.Errorf("error %v\nwant %s %v", err, path, c.want)
			}
			if after := must[[]byte](t)(os.ReadFile(path)); !bytes.Equal(after, data) {
				t.Error("the file was changed")
			}
			if files := must[[]os.DirEntry](t)(os.ReadDir(dir)); len(files) != 1 {
				t.Errorf("files left behind: %v", files)
			}
		})
	}
}

// TestPaths: any name of a file is taken as it is.
func TestPaths(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, name := range []string{"pulls.db", "with space.db", "50 %.db", "what?mode=memory", "a#b", "ünïcode.db", "file:x", "'quoted'.db", "a%20b"} {
		r, err := Open(t.Context(), name, Create)
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		must[[]Outcome](t)(r.Add(t.Context(), "a", day, invented(1)))
		r.Close()
		if _, err := os.Stat(name); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// TestMissing: a record that is wanted but is not there is not made.
func TestMissing(t *testing.T) {
	dir := t.TempDir()
	for _, path := range []string{dir + "/none.db", dir + "/no/folder/x.db", dir, ""} {
		for _, mode := range []Mode{Existing, Create} {
			if mode == Create && strings.HasSuffix(path, "none.db") {
				continue
			}
			if r, err := Open(t.Context(), path, mode); !errors.Is(err, ErrMissing) {
				t.Errorf("%q, %s: %v", path, mode, err)
				if err == nil {
					r.Close()
				}
			}
		}
	}
	if files := must[[]os.DirEntry](t)(os.ReadDir(dir)); len(files) != 0 {
		t.Errorf("files were made: %v", files)
	}
}

// TestEmptyFile: what a process leaves that is killed before it wrote anything is an empty
// record.
func TestEmptyFile(t *testing.T) {
	path := t.TempDir() + "/pulls.db"
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	r := must[*Record](t)(Open(t.Context(), path, Existing))
	defer r.Close()
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != 0 {
		t.Errorf("%d pulls", len(pulls))
	}
}

// TestReadOnly: a record that may not be written can be read.
func TestReadOnly(t *testing.T) {
	path := t.TempDir() + "/pulls.db"
	r := create(t, path)
	must[[]Outcome](t)(r.Add(t.Context(), "a", day, invented(1)))
	r.Close()
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	r = must[*Record](t)(Open(t.Context(), path, Existing))
	defer r.Close()
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != 1 {
		t.Errorf("%d pulls, want 1", len(pulls))
	}
}

// TestMigration: a record of an older version is brought to the present one with all that
// it holds, and a step that fails leaves it at the old one.
func TestMigration(t *testing.T) {
	path := t.TempDir() + "/pulls.db"
	r := create(t, path)
	must[[]Outcome](t)(r.Add(t.Context(), "a", day, invented(1), invented(2)))
	r.Close()

	failing := append(steps[:1:1], "ALTER TABLE pull ADD COLUMN tune TEXT; ALTER TABLE nowhere ADD COLUMN x")
	if _, err := open(t.Context(), path, Existing, patience, failing); err == nil || !strings.Contains(err.Error(), "nowhere") {
		t.Errorf("a step that fails: %v", err)
	}
	r = must[*Record](t)(Open(t.Context(), path, Existing))
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != 2 {
		t.Errorf("%d pulls after a step that failed, want 2", len(pulls))
	}
	r.Close()

	next := append(steps[:1:1], "ALTER TABLE pull ADD COLUMN tune TEXT NOT NULL DEFAULT 'unknown'")
	r = must[*Record](t)(open(t.Context(), path, Existing, patience, next))
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != 2 {
		t.Errorf("%d pulls after the step, want 2", len(pulls))
	}
	var tune string
	if err := r.db.QueryRow("SELECT DISTINCT tune FROM pull").Scan(&tune); err != nil || tune != "unknown" {
		t.Errorf("the new column holds %q, %v", tune, err)
	}
	r.Close()
	if _, err := Open(t.Context(), path, Existing); !errors.Is(err, ErrNewer) {
		t.Errorf("the older program opens the newer record: %v", err)
	}
}

// TestBusy: a record kept locked for too long gives an error of its own.
func TestBusy(t *testing.T) {
	path := t.TempDir() + "/pulls.db"
	holder := create(t, path)
	tx, err := holder.db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback()
	r := must[*Record](t)(open(t.Context(), path, Existing, 50*time.Millisecond, steps))
	defer r.Close()
	if _, err := r.Add(t.Context(), "a", day, invented(1)); !errors.Is(err, ErrBusy) {
		t.Errorf("error %v, want %v", err, ErrBusy)
	}
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != 0 { // reading goes on
		t.Errorf("%d pulls", len(pulls))
	}
}

// TestManyWriters: writers that open the same new file at once all get their pulls in.
func TestManyWriters(t *testing.T) {
	const writers, each = 6, 8
	path := t.TempDir() + "/pulls.db"
	var group sync.WaitGroup
	for w := range writers {
		group.Go(func() {
			r, err := Open(t.Context(), path, Create)
			if err != nil {
				t.Error(err)
				return
			}
			defer r.Close()
			for i := range each {
				if _, err := r.Add(t.Context(), "a", day, invented(w*each+i), invented(1000)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	r := must[*Record](t)(Open(t.Context(), path, Existing))
	defer r.Close()
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != writers*each+1 {
		t.Errorf("%d pulls, want %d", len(pulls), writers*each+1)
	}
}
