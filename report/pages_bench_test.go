package report_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/internal/pdftext"
)

// BenchmarkPages measures what a page costs in reports of many, made so by long notes: the
// cost of a report is that of a short one and so much a page.
func BenchmarkPages(b *testing.B) {
	for _, paragraphs := range []int{1, 30, 60, 120, 240, 480} {
		build := open(b, demoSheet)
		build.Job.Notes = strings.Repeat(strings.Repeat("The pump is held by two straps and stands on rubber. ", 18)+"\n", paragraphs)
		a := assessed(b, build)
		o := report.Options{Figures: []figure.Figure{}}
		pages, err := pdftext.Pages(rendered(b, a, o))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%d", len(pages)), func(b *testing.B) {
			for b.Loop() {
				var out bytes.Buffer
				if err := report.Render(&out, a, o); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N)/float64(len(pages)), "ms/page")
		})
	}
}
