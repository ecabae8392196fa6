package display

import (
	"os/exec"
	"strings"
	"testing"
)

// What display imports is linked into every cell, so it must not bring along
// what writes PDF files or draws pictures; package paper does, for its own cells.
func TestCellsStayLight(t *testing.T) {
	list := func(pkg string) []string {
		out, err := exec.Command("go", "list", "-deps", pkg).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.Fields(string(out))
	}
	heavy := func(path string) bool {
		return path == "example.com/railbook/report" || path == "net/http" ||
			strings.HasPrefix(path, "gonum.org/v1/plot") || strings.Contains(path, "maroto") || strings.Contains(path, "fpdf")
	}
	count := func(paths []string) (n int) {
		for _, p := range paths {
			if heavy(p) {
				n++
			}
		}
		return n
	}
	for _, p := range list(".") {
		if heavy(p) {
			t.Errorf("display imports %s", p)
		}
	}
	if count(list("./paper")) == 0 {
		t.Error("paper writes reports without a PDF writer, or this test looks for the wrong packages")
	}
}
