package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestFileList(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string, age time.Duration) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		at := time.Now().Add(-age)
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
	}
	write("same.txt", "x", time.Hour)
	write("rewritten.txt", "x", time.Hour)
	write("longer.txt", "x", time.Hour)
	before, err := listFiles(dir)
	if err != nil {
		t.Fatal(err)
	}
	write("rewritten.txt", "x", time.Minute)
	write("longer.txt", strings.Repeat("x", 1500), time.Hour)
	write("sub/new.txt", strings.Repeat("x", 2_000_000), 0)
	after, err := listFiles(dir)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := after.since(before).print(&b, "out"); err != nil {
		t.Fatal(err)
	}
	const want = "out/longer.txt     1.5 kB\nout/rewritten.txt  1 B\nout/sub/new.txt    2.0 MB\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
	if _, err := listFiles(filepath.Join(dir, "absent")); err == nil {
		t.Error("listed a folder that is not there")
	}
}
