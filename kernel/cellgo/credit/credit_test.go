package credit

import (
	"path/filepath"
	"sync"
	"testing"
)

func TestCredit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "credit")
	if _, err := Open(path); err == nil {
		t.Error("a file that is not there is opened")
	}
	w, err := Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	check := func(want uint64, wantOK bool) {
		t.Helper()
		if n, ok, err := r.Taken(); n != want || ok != wantOK || err != nil {
			t.Errorf("got %d, %t, %v, want %d, %t", n, ok, err, want, wantOK)
		}
	}
	check(0, false)
	if err := w.Took(0); err != nil {
		t.Fatal(err)
	}
	check(0, true)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 100 {
				if err := w.Took(3); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	check(1200, true)
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := w.Took(1); err == nil {
		t.Error("a closed file is written to")
	}
	check(1200, true)
}
