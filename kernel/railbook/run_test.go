package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/pagetest"
	"example.com/railbook/kernel/scripts"
)

// firstNotebook is the one the demo begins with.
const firstNotebook = "../../notebooks/01-first-build.ipynb"

// runFirst runs the first notebook into a folder of its own.
func runFirst(t testing.TB) (out string) {
	t.Helper()
	out = t.TempDir()
	r := &notebookRun{out: out, jobs: 1, progress: newProgress(io.Discard), stdout: io.Discard}
	if err := r.run(t.Context(), []string{firstNotebook}); err != nil {
		t.Fatal(err)
	}
	return out
}

// mostBytes is how large the page of the first notebook may be.
const mostBytes = 3_000_000

// TestFirstNotebook runs the demo's first notebook as a user does and looks at
// what comes of it: a page that is not too large, all of whose charts are drawn
// with nothing on the console and no request, and a notebook that fits the
// published schema.
func TestFirstNotebook(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a while")
	}
	out := runFirst(t)
	path := filepath.Join(out, "01-first-build.html")
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("the page has %s", size(info.Size()))
	if info.Size() > mostBytes {
		t.Errorf("the page has %s, want %s at most", size(info.Size()), size(mostBytes))
	}
	t.Run("schema", func(t *testing.T) {
		const python = "/usr/bin/python3" // Debian's, with its package python3-nbformat
		if err := exec.Command(python, "-c", "import nbformat").Run(); err != nil {
			t.Skipf("no %s with the package nbformat: %v", python, err)
		}
		const check = "import sys, warnings; warnings.simplefilter('error'); import nbformat; nbformat.validate(nbformat.read(sys.argv[1], as_version=4))"
		if out, err := exec.Command(python, "-c", check, filepath.Join(out, "01-first-build.ipynb")).CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, out)
		}
	})
	t.Run("browser", func(t *testing.T) {
		if _, err := scripts.Load(t.Context(), nil); err != nil {
			t.Skipf("no chart scripts: %v", err)
		}
		report, err := pagetest.Check(t.Context(), path)
		if errors.Is(err, pagetest.ErrNoBrowser) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		if err := report.Problem(); err != nil {
			t.Error(err)
		}
		if len(report.Charts) == 0 {
			t.Error("the page has no charts")
		}
	})
}

// BenchmarkPage makes the page of the first notebook's output, with the scripts
// of its live charts.
func BenchmarkPage(b *testing.B) {
	out := runFirst(b)
	nb, err := nbformat.ReadFile(filepath.Join(out, "01-first-build.ipynb"))
	if err != nil {
		b.Fatal(err)
	}
	bundle, err := scripts.Load(context.Background(), nil)
	if err != nil {
		b.Skipf("no chart scripts: %v", err)
	}
	o := page.Options{Scripts: bundle, Files: os.DirFS(filepath.Dir(firstNotebook))}
	var bytes counter
	for b.Loop() {
		bytes = 0
		if err := page.Render(&bytes, nb, o); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(bytes))
	b.ReportMetric(float64(bytes)/1e6, "MB/page")
}
