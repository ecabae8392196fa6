//go:build unix

package build

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/railbook/kernel/cache"
)

// TestMain lets this program play the one that the go command calls in place of
// its tools.
func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == RecordCommand {
		fmt.Fprintln(os.Stderr, Record(os.Args[2:]))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// shop is a workspace of a cell and a module that it uses, with a log of the
// tools called.
type shop struct {
	t    testing.TB
	dir  string // of the cell
	mod  string // of the module
	log  string
	env  []string
	said bytes.Buffer
}

const shopMod = "module example.com/shop\n\ngo 1.26\n"

// newShop makes a workspace with an empty cache of recipes.
func newShop(t testing.TB) *shop {
	t.Helper()
	s := cellOf(t, t.TempDir(), t.TempDir())
	t.Setenv(cache.Env, t.TempDir())
	s.file("go.mod", shopMod)
	s.file("parts/parts.go", "package parts\n\nfunc Name() string { return \"first\" }\n")
	s.file("store/store.go", "package store\n\nimport \"example.com/shop/parts\"\n\nfunc Name() string { return \"store of \" + parts.Name() }\n")
	s.file("label/label.go", "package label\n\nimport _ \"embed\"\n\n//go:embed label.txt\nvar Text string\n")
	s.file("label/label.txt", "pump")
	return s
}

// cellOf makes a cell in the folder parent that uses the module mod.
func cellOf(t testing.TB, parent, mod string) *shop {
	t.Helper()
	goCommand, err := exec.LookPath("go")
	if err != nil {
		t.Skip(err)
	}
	s := &shop{t: t, dir: filepath.Join(parent, "gonb_0123abcd"), mod: mod, log: filepath.Join(t.TempDir(), "log")}
	// A go command that notes how it was called.
	bin := t.TempDir()
	script := fmt.Sprintf("#!/bin/sh\necho \"$1\" >>'%s'\nexec '%s' \"$@\"\n", s.log, goCommand)
	if err := os.WriteFile(filepath.Join(bin, "go"), []byte(script), 0o777); err != nil {
		t.Fatal(err)
	}
	s.env = append(os.Environ(), "GOFLAGS=-buildvcs=false", "GOPROXY=off", "GOWORK=", "GOENV=off",
		"PATH="+bin+string(filepath.ListSeparator)+os.Getenv("PATH"))
	write(t, filepath.Join(s.dir, "go.mod"), "module gonb_0123abcd\n\ngo 1.26\n")
	write(t, filepath.Join(s.dir, "go.work"), fmt.Sprintf("go 1.26\n\nuse (\n\t.\n\t%s\n)\n", mod))
	return s
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// file writes a file of the module.
func (s *shop) file(name, text string) {
	s.t.Helper()
	write(s.t, filepath.Join(s.mod, name), text)
}

// job returns the job of building the cell.
func (s *shop) job() Job {
	first, _, _ := strings.Cut(lookup(s.env, "PATH"), string(filepath.ListSeparator))
	return Job{
		Dir: s.dir, Out: filepath.Join(s.dir, "gonb_0123abcd"),
		Go: filepath.Join(first, "go"), Self: os.Args[0], Env: s.env,
		Stdout: &s.said, Stderr: &s.said,
	}
}

// cell writes the source of the cell.
func (s *shop) cell(body string, imports ...string) {
	s.t.Helper()
	var b strings.Builder
	b.WriteString("package main\n\nimport (\n")
	for _, path := range imports {
		fmt.Fprintf(&b, "\t%q\n", path)
	}
	fmt.Fprintf(&b, ")\n\nfunc main() {\n%s\n}\n", body)
	write(s.t, filepath.Join(s.dir, mainFile), b.String())
}

// build builds the cell and returns what its program prints, and the go commands
// that were called for it.
func (s *shop) build() (printed string, called []string) {
	s.t.Helper()
	os.Remove(s.log)
	s.said.Reset()
	if err := s.job().Run(s.t.Context()); err != nil {
		s.t.Fatalf("%v\n%s", err, s.said.Bytes())
	}
	out, err := exec.Command(s.job().Out).CombinedOutput()
	if err != nil {
		s.t.Fatalf("%v\n%s", err, out)
	}
	return string(out), s.called()
}

func (s *shop) called() []string {
	text, err := os.ReadFile(s.log)
	if err != nil && !os.IsNotExist(err) {
		s.t.Fatal(err)
	}
	called := strings.Fields(string(text))
	slices.Sort(called)
	return called
}

// want builds the cell and checks what its program prints and whether it was
// built directly.
func (s *shop) want(printed string, direct bool) {
	s.t.Helper()
	// What was written has to be older than the build by more than the file
	// system's clock is late.
	time.Sleep(clockSlack + 20*time.Millisecond)
	got, called := s.build()
	if got != printed {
		s.t.Errorf("the program prints %q, want %q", got, printed)
	}
	switch {
	case direct && len(called) > 0:
		s.t.Errorf("the go command was called: %q", called)
	case !direct && !slices.Contains(called, "build"):
		s.t.Errorf("the go command did not build, it was called: %q", called)
	}
}
