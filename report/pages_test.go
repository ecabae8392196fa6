package report_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/internal/pdftext"
)

// TestEveryPageHasItsFoot wants each page of each report to bear its number and the
// number of pages. The report of surge.toml fills a page in such a way that rounding
// once moved the foot to a page of its own, and all that follows with it.
func TestEveryPageHasItsFoot(t *testing.T) {
	more, err := filepath.Glob("../testdata/sheets/*.toml")
	if err != nil || len(more) == 0 {
		t.Fatal(err)
	}
	for _, sheet := range append(more, sheets...) {
		t.Run(nameOf(sheet), func(t *testing.T) {
			pages, err := pdftext.Pages(rendered(t, assess(t, sheet), report.Options{}))
			if err != nil {
				t.Fatal(err)
			}
			for n, page := range pages {
				if want := fmt.Sprintf("Page%dof%d", n+1, len(pages)); !strings.Contains(strings.Join(strings.Fields(strings.Join(page, "")), ""), want) {
					t.Errorf("page %d lacks %q", n+1, want)
				}
			}
		})
	}
}
