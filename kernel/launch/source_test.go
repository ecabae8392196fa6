package launch

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestCellgoFolders wants all source of cellgo to count for whether it is built
// again.
func TestCellgoFolders(t *testing.T) {
	m, err := FindModule(".")
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("go", "list", "-deps", "./kernel/cellgo")
	cmd.Dir = m.Root
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, path := range strings.Fields(string(out)) {
		rest, ok := strings.CutPrefix(path, modulePath+"/")
		if !ok {
			continue
		}
		folder, below := strings.CutPrefix(rest, "kernel/")
		folder, _, _ = strings.Cut(folder, "/")
		if !below {
			t.Errorf("cellgo imports %s", path)
		}
		found[folder] = true
	}
	for _, folder := range cellgoFolders {
		if !found[folder] {
			t.Errorf("cellgo imports nothing of kernel/%s", folder)
		}
		delete(found, folder)
	}
	for folder := range found {
		t.Errorf("cellgo imports kernel/%s, which does not count", folder)
	}
}

func TestCellgoSum(t *testing.T) {
	m := Module{Root: t.TempDir()}
	for _, folder := range cellgoFolders {
		write(t, filepath.Join(m.Root, "kernel/"+folder+"/a.go"), "package a")
	}
	sum := func() string {
		t.Helper()
		s, err := m.cellgoSum()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	first := sum()
	write(t, filepath.Join(m.Root, "kernel/cellgo/a_test.go"), "package a")
	write(t, filepath.Join(m.Root, "kernel/other/a.go"), "package a")
	if sum() != first {
		t.Error("a test or another package changed the sum")
	}
	seen := map[string]bool{first: true}
	for _, name := range []string{"kernel/cellgo/a.go", "kernel/cellgo/internal/b.go", "kernel/cellio/a.go", "kernel/cache/c.go"} {
		write(t, filepath.Join(m.Root, name), "package b")
		if s := sum(); seen[s] {
			t.Errorf("%s did not change the sum", name)
		} else {
			seen[s] = true
		}
	}
	if _, err := (Module{Root: t.TempDir()}).cellgoSum(); err == nil || !strings.Contains(err.Error(), "source of cellgo") {
		t.Errorf("without source: got %v", err)
	}
}
