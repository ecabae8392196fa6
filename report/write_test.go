package report_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
)

var bare = report.Options{Figures: []figure.Figure{}}

func TestWriteReplacesAWholeFile(t *testing.T) {
	a := assess(t, demoSheet)
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, []byte("old"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := report.Write(path, a, bare); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != string(rendered(t, a, bare)) {
		t.Error("the file does not hold the report")
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("permissions are %v, error %v; want those of the old file", info.Mode(), err)
	}
	onlyFile(t, path)
}

// onlyFile checks that a folder holds one file and nothing half-written.
func onlyFile(t *testing.T, path string) {
	t.Helper()
	list, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		if e.Name() != filepath.Base(path) {
			t.Errorf("%s was left behind", e.Name())
		}
	}
}

func TestWriteErrorsNameThePathAndLeaveNothing(t *testing.T) {
	good := assess(t, demoSheet)
	dir := t.TempDir()
	folder := filepath.Join(dir, "folder")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, path string
		a          *sizing.Assessment
		says       string
	}{
		{"no such folder", filepath.Join(dir, "missing", "report.pdf"), good, "no such file"},
		{"a folder in the way", folder, good, "not a regular file"},
		{"no report", filepath.Join(dir, "report.pdf"), nil, "there is none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := report.Write(c.path, c.a, bare)
			if err == nil || !strings.Contains(err.Error(), c.path) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v, want one that names %s and says %q", err, c.path, c.says)
			}
			onlyFile(t, folder)
		})
	}
}

func TestFailedWriteKeepsTheOldFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := report.Write(path, assess(t, demoSheet), report.Options{Figures: []figure.Figure{{ID: "nothing"}}}); err == nil {
		t.Fatal("no error")
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "old" {
		t.Errorf("the file holds %q, error %v; want what it held", got, err)
	}
	onlyFile(t, path)
}

func ExampleWrite() {
	b, err := sizing.Open("../notebooks/first-build.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := sizing.Assess(b)
	if err != nil {
		fmt.Println(err)
		return
	}
	dir, err := os.MkdirTemp("", "report")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "report.pdf")
	if err := report.Write(path, a, report.Options{Version: "0.1"}); err != nil {
		fmt.Println(err)
		return
	}
	head := make([]byte, 5)
	if f, err := os.Open(path); err == nil {
		f.Read(head)
		f.Close()
	}
	fmt.Printf("%s\n", head)
	// Output: %PDF-
}
