package report_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/internal/pdftext"
)

var update = flag.Bool("update", false, "write the golden texts anew")

// Regression only: what stands on every page of a report, piece by piece in the
// order it is drawn. The golden texts were made by this package and read.
func TestGoldenText(t *testing.T) {
	for _, sheet := range sheets {
		t.Run(nameOf(sheet), func(t *testing.T) {
			b := open(t, sheet)
			if b.Job.Date == "" {
				b.Job.Date = "2026-01-31"
			}
			got := pageText(t, rendered(t, assessed(t, b), report.Options{Version: "0.0"}))
			path := filepath.Join("testdata", nameOf(sheet)+".golden.txt")
			if *update {
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatalf("%v; make it with -update and read it", err)
			}
			if got != string(want) {
				t.Errorf("the text differs from %s %s; if that is meant, write it anew with -update and read it", path, firstDifference(got, string(want)))
			}
		})
	}
}

func pageText(t *testing.T, data []byte) string {
	t.Helper()
	pages, err := pdftext.Pages(data)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for i, p := range pages {
		fmt.Fprintf(&b, "--- page %d ---\n%s\n", i+1, strings.Join(p, "\n"))
	}
	return b.String()
}

func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			return fmt.Sprintf("at line %d: %q, want %q", i+1, g[i], w[i])
		}
	}
	return fmt.Sprintf("in length: %d lines, want %d", len(g), len(w))
}
