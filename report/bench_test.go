package report_test

import (
	"context"
	"io"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
)

// BenchmarkRender measures a report on the demo sheet: with its figures computed
// and drawn, with figures at hand, and without any.
func BenchmarkRender(b *testing.B) {
	a := assess(b, demoSheet)
	list, err := report.Figures(context.Background(), a.Build)
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name    string
		figures []figure.Figure
	}{{"all", nil}, {"figures at hand", list}, {"no figures", []figure.Figure{}}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if err := report.Render(io.Discard, a, report.Options{Figures: c.figures}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
