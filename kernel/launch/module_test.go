package launch

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const goMod = `module example.com/railbook

go 1.26

require (
	github.com/janpfeifer/gonb v0.11.3
	golang.org/x/tools v0.52.0
)
`

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func TestFindModule(t *testing.T) {
	dir := t.TempDir()
	elsewhere := t.TempDir()
	write(t, filepath.Join(dir, "go.mod"), goMod)
	// A module of its own within the tree is not the end of the search.
	write(t, filepath.Join(dir, "notebooks", "go.mod"), "module example.com/other\n")
	deep := filepath.Join(dir, "notebooks", "a", "b")
	if err := os.MkdirAll(deep, 0o777); err != nil {
		t.Fatal(err)
	}
	for _, dirs := range [][]string{{dir}, {deep}, {elsewhere, deep}} {
		m, err := FindModule(dirs...)
		if err != nil || m.Root != dir || m.Gonb != "v0.11.3" {
			t.Errorf("FindModule(%q) = %+v, %v, want root %s", dirs, m, err, dir)
		}
	}
	if _, err := FindModule(elsewhere); err == nil || !strings.Contains(err.Error(), "run railbook inside its source tree") {
		t.Errorf("no module: got %v", err)
	}
}

func TestModuleErrors(t *testing.T) {
	for _, tt := range []struct{ name, text, want string }{
		{"syntax", goMod + "requires x\n", "unknown directive: requires"},
		{"no gonb", strings.Replace(goMod, gonbModule, "example.com/x", 1), "does not require both"},
		{"no tools", strings.Replace(goMod, toolsModule, "example.com/x", 1), "does not require both"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, filepath.Join(dir, "go.mod"), tt.text)
			_, err := FindModule(dir)
			if err == nil || !strings.Contains(err.Error(), tt.want) || !strings.Contains(err.Error(), dir) {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}

// TestSum checks that tools are built anew when a module changes and only then.
func TestSum(t *testing.T) {
	dir := t.TempDir()
	sum := func(text string) string {
		write(t, filepath.Join(dir, "go.mod"), text)
		m, err := FindModule(dir)
		if err != nil {
			t.Fatal(err)
		}
		return m.sum
	}
	first := sum(goMod)
	if again := sum("// A comment.\n" + goMod); again != first {
		t.Error("a comment changed the sum")
	}
	if other := sum(strings.Replace(goMod, "v0.52.0", "v0.52.1", 1)); other == first {
		t.Error("another version of a module did not change the sum")
	}
}

// TestThisModule reads the go.mod the tests belong to.
func TestThisModule(t *testing.T) {
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(m.Root, "kernel", "launch", "module.go")); err != nil {
		t.Error(err)
	}
}
