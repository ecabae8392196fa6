package program

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/kernel/cache"
	"example.com/railbook/kernel/launch"
)

func module(t *testing.T) launch.Module {
	t.Helper()
	m, err := launch.FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestLoad compiles into a cache of its own, and takes from it what is there and whole.
func TestLoad(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cache.Env, dir)
	m := module(t)
	var said []string
	load := func() *Program {
		t.Helper()
		p, err := Load(t.Context(), m, func(line string) { said = append(said, line) })
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	first := load()
	if len(said) != 1 || !strings.HasPrefix(said[0], "compiling") {
		t.Errorf("progress %q, want one line", said)
	}
	if !strings.Contains(first.Runtime, "globalThis.Go = class") {
		t.Error("no class Go in what starts the program")
	}
	var names []string
	for _, n := range first.Notices {
		names = append(names, n.Name)
		if !strings.Contains(n.Text, "opyright") {
			t.Errorf("licence of %s: %.80q", n.Name, n.Text)
		}
	}
	if list := strings.Join(names, ", "); !strings.HasPrefix(list, "Go, ") || !strings.Contains(list, "gonum.org/v1/gonum v") {
		t.Errorf("licences of %s", list)
	}
	if again := load(); !bytes.Equal(again.Wasm, first.Wasm) || len(said) != 1 {
		t.Errorf("the second time: the same %v, progress %q", bytes.Equal(again.Wasm, first.Wasm), said)
	}
	files, err := filepath.Glob(filepath.Join(dir, "whatif", "*", wasmFile))
	if err != nil || len(files) != 1 {
		t.Fatalf("cache holds %q, %v", files, err)
	}
	if err := os.Truncate(files[0], int64(len(first.Wasm)/2)); err != nil {
		t.Fatal(err)
	}
	if again := load(); !bytes.Equal(again.Wasm, first.Wasm) || len(said) != 2 {
		t.Errorf("after damage: the same %v, progress %q", bytes.Equal(again.Wasm, first.Wasm), said)
	}
	left, err := filepath.Glob(filepath.Join(dir, "whatif", "building-*"))
	if err != nil || left != nil {
		t.Errorf("left behind: %q, %v", left, err)
	}
}

func TestStopped(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cache.Env, dir)
	ctx, stop := context.WithCancel(t.Context())
	_, err := Load(ctx, module(t), func(string) { stop() }) // told when it starts to compile
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want that it was stopped", err)
	}
	if left, err := os.ReadDir(filepath.Join(dir, "whatif")); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestWithoutGo(t *testing.T) {
	t.Setenv(cache.Env, t.TempDir())
	m := module(t)
	t.Setenv("PATH", t.TempDir())
	if _, err := Load(t.Context(), m, func(string) {}); err == nil || !strings.HasPrefix(err.Error(), "the go command is not on PATH") {
		t.Errorf("error %v", err)
	}
}

// TestSourcesThatDoNotCompile wants the compiler's words.
func TestSourcesThatDoNotCompile(t *testing.T) {
	root, entry := t.TempDir(), t.TempDir()
	for name, text := range map[string]string{"go.mod": "module example.com/x\n\ngo 1.26\n", "kernel/whatif/wasm/main.go": "package main\n\nfunc main() { nothing() }\n"} {
		path := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	err := build(t.Context(), launch.Module{Root: root}, "", filepath.Join(entry, "x"))
	if err == nil || !strings.Contains(err.Error(), "undefined: nothing") {
		t.Errorf("error %v", err)
	}
	if left, err := os.ReadDir(entry); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// TestSourcesAreAllThereIs wants the digest to cover every package of the module that the
// program imports.
func TestSourcesAreAllThereIs(t *testing.T) {
	cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if .Main}}{{$.ImportPath}}{{end}}{{end}}", pkg)
	cmd.Dir = module(t).Root
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for line := range strings.Lines(string(out)) {
		path := strings.TrimPrefix(strings.TrimSpace(line), "example.com/railbook/")
		if path == "" {
			continue
		}
		n++
		if !strings.HasPrefix(path, "sizing") && path != "kernel/whatif" && path != "kernel/whatif/wasm" {
			t.Errorf("the program imports %s, which its digest does not cover", path)
		}
	}
	if n < 10 {
		t.Errorf("%d packages", n)
	}
}

// TestDigestMoves wants another digest of other sources, and the same of the same with
// tests and testdata beside them.
func TestDigestMoves(t *testing.T) {
	root := t.TempDir()
	write := func(name, text string) string {
		t.Helper()
		path := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		sum, err := sources(root)
		if err != nil {
			t.Fatal(err)
		}
		return sum
	}
	first := write("sizing/a.go", "package sizing")
	for _, name := range []string{"sizing/a_test.go", "sizing/testdata/a.toml", "kernel/whatif/front/panel.js", "kernel/page/page.go"} {
		if write(name, "x") != first {
			t.Errorf("%s moves the digest", name)
		}
	}
	last := first
	for _, name := range []string{"sizing/fuel/a.csv", "kernel/whatif/state.go", "kernel/whatif/wasm/main.go", "go.mod", "go.sum", "sizing/a.go"} {
		sum := write(name, "y")
		if sum == last {
			t.Errorf("%s does not move the digest", name)
		}
		last = sum
	}
}
