package sizing_test

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "example.com/railbook/"

// TestDependencyDirection holds the module to its layers: a package may import
// those of its own module that stand before it here, and none behind.
func TestDependencyDirection(t *testing.T) {
	layers := [][]string{
		{"sizing/quantity"},
		{"sizing/internal/check", "sizing/internal/choice", "sizing/internal/monotone", "sizing/internal/near", "sizing/internal/parallel", "sizing/internal/root"},
		{"sizing/internal/sheet", "sizing/uncertainty/spread", "sizing/evidence/table"},
		{"sizing/fuel", "sizing/uncertainty/montecarlo"},
		{"sizing/air", "sizing/wiring"},
		{"sizing/demand", "sizing/injector", "sizing/plumbing", "sizing/pump", "sizing/regulator"},
		{"sizing"},
		{"sizing/catalogue", "sizing/evidence", "sizing/evidence/predict"},
		{"sizing/evidence/record"},
		{"sizing/sweep"},
		{"sizing/sweep/export"},
		{"sizing/sweep/export/parquet"},
		{"sizing/uncertainty"},
		{"sizing/outside"}, // checks of all the above against the outside
		{"report/figure"},
	}
	level := map[string]int{}
	for i, layer := range layers {
		for _, p := range layer {
			level[module+p] = i
		}
	}
	for p, imports := range importsOf(t, "./sizing/...", "./report/figure") {
		at, known := level[p]
		if !known {
			t.Errorf("%s has no place in the layers; give it one", p)
			continue
		}
		for _, q := range imports {
			if !strings.HasPrefix(q, module) {
				continue
			}
			if below, ok := level[q]; !ok || below >= at {
				t.Errorf("%s imports %s, which does not stand below it", p, q)
			}
		}
	}
}

// TestComputationIsPure wants no plots, PDF or Jupyter among all that sizing
// depends on, and no file or network access below its root.
func TestComputationIsPure(t *testing.T) {
	for p, deps := range depsOf(t, "./sizing/...") {
		for _, q := range deps {
			for _, banned := range []string{"gonum.org/v1/plot", "maroto", "fpdf", "zmq", "gonb", "go-echarts", "net/http"} {
				// The Parquet library imports a compressor that imports net/http for a part
				// of it that is not used here; so it stands in a package of its own.
				if banned == "net/http" && p == module+"sizing/sweep/export/parquet" {
					continue
				}
				if strings.Contains(q, banned) {
					t.Errorf("%s depends on %s", p, q)
				}
			}
		}
	}
	for p, imports := range importsOf(t, "./sizing/...") {
		if p != module+"sizing" && slices.Contains(imports, "os") {
			t.Errorf("%s imports os", p)
		}
	}
}

// TestSides keeps the protocol packages of kernel apart from sizing and report,
// and report apart from kernel: only the command, the cells' display and the
// what-if page join them.
func TestSides(t *testing.T) {
	for p, imports := range importsOf(t, "./kernel/...", "./report/...") {
		joins := strings.HasPrefix(p, module+"kernel/railbook") || strings.HasPrefix(p, module+"kernel/display") ||
			strings.HasPrefix(p, module+"kernel/whatif")
		for _, q := range imports {
			trade := strings.HasPrefix(q, module+"sizing") || strings.HasPrefix(q, module+"report")
			if strings.HasPrefix(p, module+"kernel/") && !joins && trade {
				t.Errorf("%s imports %s", p, q)
			}
			if strings.HasPrefix(p, module+"report") && strings.HasPrefix(q, module+"kernel/") {
				t.Errorf("%s imports %s", p, q)
			}
		}
	}
}

func importsOf(t *testing.T, patterns ...string) map[string][]string {
	return list(t, "{{.ImportPath}} {{range .Imports}} {{.}}{{end}}", patterns)
}

func depsOf(t *testing.T, patterns ...string) map[string][]string {
	return list(t, "{{.ImportPath}} {{range .Deps}} {{.}}{{end}}", patterns)
}

func list(t *testing.T, format string, patterns []string) map[string][]string {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-f", format}, patterns...)...)
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	packages := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		packages[fields[0]] = fields[1:]
	}
	if len(packages) == 0 {
		t.Fatal("go list found no package")
	}
	return packages
}
