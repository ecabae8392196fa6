// Package pdftest looks at reports in tests: whether everything printed has room, and
// whether other programs accept the file.
package pdftest

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/internal/typeface"
)

// box is what a piece of text takes up, in points.
type box struct{ left, foot, right, top float64 }

// Fits fails the test for every text that leaves its page, or lies over another one.
func Fits(t testing.TB, pdf []byte) {
	t.Helper()
	width, height, err := paper(pdf)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := pdftext.Placed(pdf)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range faults(pages, width, height) {
		t.Error(f)
	}
}

// faults lists what does not fit on pages of a size in points.
func faults(pages [][]pdftext.Piece, width, height float64) (list []string) {
	const side, edge = 20 / 25.4 * 72, 10 / 25.4 * 72 // margins of package layout, points
	for n, pieces := range pages {
		var boxes []box
		var set []string
		for _, p := range pieces {
			if strings.TrimSpace(p.Text) == "" {
				continue
			}
			style, ok := typeface.Named(p.Font)
			if !ok || p.Size == 0 {
				list = append(list, fmt.Sprintf("page %d: %.40q is set in %q", n+1, p.Text, p.Font))
				continue
			}
			// From below a g to above an l.
			b := box{p.X, p.Y - 0.24*p.Size, p.X + style.Width(p.Text, p.Size), p.Y + 0.76*p.Size}
			if b.left < side-0.1 || b.right > width-side+0.1 || b.foot < edge || b.top > height-edge {
				list = append(list, fmt.Sprintf("page %d: %.40q leaves the page: %.1f", n+1, p.Text, b))
			}
			for k, other := range boxes {
				if b.left < other.right-0.1 && other.left < b.right-0.1 && b.foot < other.top-0.1 && other.foot < b.top-0.1 {
					list = append(list, fmt.Sprintf("page %d: %.40q lies over %.40q", n+1, p.Text, set[k]))
				}
			}
			boxes, set = append(boxes, b), append(set, p.Text)
		}
	}
	return list
}

// paper is the size of the first page in points.
func paper(pdf []byte) (width, height float64, err error) {
	f, err := pdffile.Open(pdf)
	if err != nil {
		return 0, 0, err
	}
	_, root, err := f.Root()
	if err != nil {
		return 0, 0, err
	}
	d, err := f.Dict(root["Pages"])
	if err != nil {
		return 0, 0, err
	}
	size, err := f.Array(d["MediaBox"])
	if err != nil {
		return 0, 0, err
	}
	if len(size) != 4 {
		return 0, 0, fmt.Errorf("pages of size %v", size)
	}
	return Number(size[2]), Number(size[3]), nil
}

// Number returns the value of an object that is a number, and else -1.
func Number(o pdffile.Object) float64 {
	switch n := o.(type) {
	case int64:
		return float64(n)
	case float64:
		return n
	}
	return -1
}

// Valid fails the test for a file that pdfcpu does not accept or, where it is installed,
// qpdf.
func Valid(t testing.TB, pdf []byte) {
	t.Helper()
	api.DisableConfigDir()
	if err := api.Validate(bytes.NewReader(pdf), model.NewDefaultConfiguration()); err != nil {
		t.Errorf("pdfcpu: %v", err)
	}
	qpdf, err := exec.LookPath("qpdf")
	if err != nil {
		t.Log("qpdf is not installed; it would check the file's structure")
		return
	}
	path := filepath.Join(t.TempDir(), "file.pdf")
	if err := os.WriteFile(path, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(qpdf, "--check", path).CombinedOutput(); err != nil || bytes.Contains(out, []byte("WARNING")) {
		t.Errorf("qpdf: %v: %s", err, out)
	}
}
