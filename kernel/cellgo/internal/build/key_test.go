//go:build unix

package build

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestSplitFlags(t *testing.T) {
	for _, tt := range []struct {
		text string
		want []string
	}{
		{"", nil},
		{"  -a\t-b ", []string{"-a", "-b"}},
		{"-buildvcs=false '-ldflags=-s -w'", []string{"-buildvcs=false", "-ldflags=-s -w"}},
		{`"-tags=a b" -x='y'`, []string{"-tags=a b", "-x='y'"}},
	} {
		got, err := splitFlags(tt.text)
		if err != nil || !slices.Equal(got, tt.want) {
			t.Errorf("%q: got %q, %v, want %q", tt.text, got, err, tt.want)
		}
	}
	if _, err := splitFlags("'-ldflags=-s"); err == nil {
		t.Error("an open quote is accepted")
	}
}

// keyIn returns the key for a cell in an environment.
func keyIn(t *testing.T, dir string, env ...string) (string, bool) {
	t.Helper()
	config := filepath.Join(dir, "config")
	return keyOf(filepath.Join(dir, "gonb_0123abcd"), os.Args[0], append([]string{
		"GOFLAGS=-buildvcs=false", "GOENV=" + config, "PATH=/bin",
	}, env...))
}

func TestKey(t *testing.T) {
	dir := t.TempDir()
	cell := filepath.Join(dir, "gonb_0123abcd")
	write(t, filepath.Join(cell, "go.mod"), "module gonb_0123abcd\n")
	first, ok := keyIn(t, dir)
	if !ok {
		t.Fatal("a plain cell has no key")
	}
	for _, same := range [][]string{
		{"TMPDIR=/x", "GOTMPDIR=/x", "GONB_TMP_DIR=/x", "LANG=C", "RAILBOOK_CACHE=/x"},
	} {
		if key, ok := keyIn(t, dir, same...); !ok || key != first {
			t.Errorf("%q changes the key", same)
		}
	}
	keys := map[string]string{first: "nothing"}
	different := func(name string, key string, ok bool) {
		t.Helper()
		if other, have := keys[key]; !ok || have {
			t.Errorf("%s: has the key of %s, %t", name, other, ok)
		}
		keys[key] = name
	}
	for _, entry := range []string{
		"GOFLAGS=-buildvcs=false -tags=a", "GOFLAGS=-buildvcs=false -tags=b", "GOARCH=arm64", "GOOS=darwin", "GOAMD64=v3",
		"CGO_ENABLED=0", "CGO_CFLAGS=-O1", "CC=clang", "PATH=/usr/bin", "GODEBUG=x=1", "GOEXPERIMENT=x", "GOCACHE=/x",
		"GOMODCACHE=/x", "GOTOOLCHAIN=local", "GOROOT=/x", "HOME=/x",
	} {
		key, ok := keyIn(t, dir, entry)
		different(entry, key, ok)
	}
	for _, name := range moduleFiles {
		write(t, filepath.Join(cell, name), "module gonb_0123abcd // changed\n")
		key, ok := keyIn(t, dir)
		different(name, key, ok)
	}
	write(t, filepath.Join(dir, "config"), "GOAMD64=v2\nGOFLAGS=-x\n")
	key, ok := keyIn(t, dir)
	different("go env -w", key, ok)

	// Another kernel's folder makes no difference.
	elsewhere := t.TempDir()
	if err := os.CopyFS(filepath.Join(elsewhere, "gonb_89abcdef"), os.DirFS(cell)); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(elsewhere, "gonb_89abcdef", "go.mod"), "module gonb_89abcdef // changed\n")
	for _, name := range moduleFiles[1:] {
		write(t, filepath.Join(elsewhere, "gonb_89abcdef", name), "module gonb_89abcdef // changed\n")
	}
	other, ok := keyOf(filepath.Join(elsewhere, "gonb_89abcdef"), os.Args[0],
		[]string{"GOFLAGS=-buildvcs=false", "GOENV=" + filepath.Join(dir, "config"), "PATH=/bin"})
	if !ok || other != key {
		t.Error("the key differs between two kernels")
	}
}

// TestNoKey has the go command told what a recipe does not account for.
func TestNoKey(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "gonb_0123abcd", "go.mod"), "module gonb_0123abcd\n")
	for _, entry := range []string{
		"GOFLAGS=", "GOFLAGS=-ldflags=-s", "GOFLAGS=-buildvcs=true", "GOFLAGS=-buildvcs=false -mod=mod", "GOFLAGS=-buildvcs=false --overlay=x.json",
		"GOFLAGS=-buildvcs=false -modfile=x", "GOFLAGS=-buildvcs=false -toolexec=x", "GOFLAGS=-buildvcs=false 'x", "GOFLAGS=-buildvcs=false -pgo=x",
		"GOWORK=/x/go.work", "GOWORK=off", "GO111MODULE=off", "GOCACHEPROG=x", "GOCOVERDIR=/x",
	} {
		if _, ok := keyIn(t, dir, entry); ok {
			t.Errorf("%s has a key", entry)
		}
	}
	write(t, filepath.Join(dir, "config"), "GO111MODULE=auto\n")
	if _, ok := keyIn(t, dir); ok {
		t.Error("the settings of go env -w are not looked at")
	}
}

// TestNotRooted has module files that count in the folder above.
func TestNotRooted(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "go.mod"), "module x\n")
	if err := os.Mkdir(filepath.Join(dir, "gonb_0123abcd"), 0o777); err != nil {
		t.Fatal(err)
	}
	if _, ok := keyIn(t, dir); ok {
		t.Error("a cell in a module above has a key")
	}
	write(t, filepath.Join(dir, "gonb_0123abcd", "go.mod"), "module gonb_0123abcd\n")
	if _, ok := keyIn(t, dir); !ok {
		t.Error("a cell in a module of its own has no key")
	}
	write(t, filepath.Join(dir, "go.work"), "go 1.26\n")
	if _, ok := keyIn(t, dir); ok {
		t.Error("a cell in a workspace above has a key")
	}
	write(t, filepath.Join(dir, "gonb_0123abcd", "go.work"), "go 1.26\n")
	if _, ok := keyIn(t, dir); !ok {
		t.Error("a cell in a workspace of its own has no key")
	}
}

func TestReadCell(t *testing.T) {
	dir := t.TempDir()
	main := filepath.Join(dir, mainFile)
	write(t, main, "package main\n\nimport (\n\t\"os\"\n\tx \"fmt\"\n\t. \"math\"\n\t_ \"os\"\n)\n\nfunc main() { x.Println(Pi) }\n")
	c, ok := readCell(dir)
	if !ok || strings.Join(c.imports, " ") != "fmt math os" {
		t.Errorf("got %+v, %t", c, ok)
	}
	for _, text := range []string{
		"package main\n\nimport \"C\"\n", "package main\n\nimport \"./x\"\n", "package main\n\nimport \"/x\"\n", "package other\n",
		"package main\n\n//go:embed x\nvar x string\n", "package main\n\n  //go:noinline\nfunc f() {}\n", "// +build x\n\npackage main\n",
		"package main\n\n//export f\nfunc f() {}\n", "package", "package main\n\nimport \"\"\n",
	} {
		write(t, main, text)
		if _, ok := readCell(dir); ok {
			t.Errorf("%q is plain", text)
		}
	}
	if _, ok := readCell(t.TempDir()); ok {
		t.Error("a folder without a cell is plain")
	}
}

// FuzzReadCell wants no panic, and no special comment overlooked that begins a
// line.
func FuzzReadCell(f *testing.F) {
	f.Add("package main\n\nimport \"fmt\"\n")
	f.Add("package main\n//go:embed x\n")
	f.Add("package main\r\n\t//go:build x\r\n")
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, text string) {
		if err := os.WriteFile(filepath.Join(dir, mainFile), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if _, ok := readCell(dir); ok && (strings.HasPrefix(text, "//go:") || strings.Contains(text, "\n//go:")) {
			t.Errorf("%q is plain", text)
		}
	})
}
