package main

import (
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"
)

// TestPreloadedExist checks with the go command that the packages are there
// and called what their paths say, which cells and the help text rely on.
func TestPreloadedExist(t *testing.T) {
	out, err := exec.Command("go", append([]string{"list", "-f", "{{.Name}}"}, preloaded...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	var want []string
	for _, p := range preloaded {
		want = append(want, path.Base(p))
	}
	if got := strings.Fields(string(out)); !slices.Equal(got, want) {
		t.Errorf("packages are called %q, want %q", got, want)
	}
	slices.Sort(want)
	if len(slices.Compact(want)) != len(preloaded) {
		t.Errorf("two packages share a name: %q", want)
	}
}

func TestSetup(t *testing.T) {
	const start = "%noautoget\nimport (\n\t. \"example.com/railbook/kernel/display\"\n\t\"fmt\"\n"
	const end = "\t\"example.com/railbook/sizing/sweep\"\n)\n\nvar _ = Show\n"
	if got := setup(); !strings.HasPrefix(got, start) || !strings.HasSuffix(got, end) {
		t.Errorf("got\n%s\nwant\n%s…\n%s", got, start, end)
	}
}

func TestPackageNames(t *testing.T) {
	if got := packageNames(); !strings.HasPrefix(got, "fmt, math, ") || !strings.Contains(got, " and ") || strings.Contains(got, "/") {
		t.Errorf("got %q", got)
	}
}
