package launch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"example.com/railbook/kernel/cache"
)

// TestBuild lets several processes, played by goroutines, want the same tools
// at once.
func TestBuild(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cache.Env, dir)
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	var mu sync.Mutex
	var lines []string
	built := map[Tools]int{}
	for range 3 {
		wg.Go(func() {
			tools, err := m.Build(t.Context(), func(line string) {
				mu.Lock()
				lines = append(lines, line)
				mu.Unlock()
			})
			if err != nil {
				t.Error(err)
			}
			mu.Lock()
			built[tools]++
			mu.Unlock()
		})
	}
	wg.Wait()
	if len(lines) != 2 || !strings.Contains(lines[0], "gonb "+m.Gonb) || !strings.Contains(lines[1], "beside the cell kernel") {
		t.Errorf("progress lines %q, want one that names gonb's version and one for the programs beside it", lines)
	}
	if len(built) != 1 {
		t.Fatalf("got %v, want the same tools three times", built)
	}
	programs := func(tools Tools) []string {
		return []string{
			filepath.Join(tools.Kernel, "gonb"), filepath.Join(tools.Kernel, "goimports"),
			filepath.Join(tools.shims(), "go"), filepath.Join(tools.shims(), "goimports"), tools.cellgo(),
		}
	}
	for tools := range built {
		for _, path := range programs(tools) {
			if info, err := os.Stat(path); err != nil || info.Mode()&0o111 == 0 {
				t.Errorf("%s: %v, want a program", path, err)
			}
		}
		for _, path := range []string{filepath.Join(tools.Kernel, "goimports"), tools.cellgo()} {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
		}
	}
	// What was damaged is built again.
	tools, err := m.Build(t.Context(), func(string) {})
	if err != nil || built[tools] == 0 {
		t.Fatalf("after a program was lost: got %v, %v", tools, err)
	}
	for _, path := range programs(tools) {
		if _, err := os.Stat(path); err != nil {
			t.Error(err)
		}
	}
	entries, err := os.ReadDir(filepath.Join(dir, "tools"))
	if err != nil || len(entries) != 4 {
		t.Errorf("the cache holds %v, %v, want two folders and their locks", entries, err)
	}
}

func TestBuildStops(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(cache.Env, dir)
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	stop := errors.New("stop")
	ctx, cancel := context.WithCancelCause(t.Context())
	if _, err := m.Build(ctx, func(string) { cancel(stop) }); !errors.Is(err, stop) {
		t.Errorf("got %v, want the cause of the context's end", err)
	}
	entries, err := filepath.Glob(filepath.Join(dir, "tools", "building-*"))
	if err != nil || len(entries) > 0 {
		t.Errorf("left behind: %v, %v", entries, err)
	}
}

func TestBuildFailureTellsGosWords(t *testing.T) {
	t.Setenv(cache.Env, t.TempDir())
	m := Module{Root: t.TempDir(), Gonb: "v0.0.0", sum: "x"}
	write(t, filepath.Join(m.Root, "go.mod"), "module example.com/railbook\n")
	_, err := m.Build(t.Context(), func(string) {})
	if err == nil || !strings.Contains(err.Error(), "building g") || !strings.Contains(err.Error(), "no required module provides package") {
		t.Errorf("got %v, want the go command's own words", err)
	}
}

func TestNoGo(t *testing.T) {
	t.Setenv(cache.Env, t.TempDir())
	t.Setenv("PATH", t.TempDir())
	_, err := Module{Root: t.TempDir()}.Build(t.Context(), func(string) {})
	if want := "the go command is not on PATH: install Go and try again"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}
