package page_test

import (
	"io"
	"testing"

	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/scripts"
)

// BenchmarkRender makes a page of three charts with their scripts.
func BenchmarkRender(b *testing.B) {
	bundle, err := scripts.Load(b.Context(), nil)
	if err != nil {
		b.Skipf("no chart scripts: %v", err)
	}
	nb := sample(b)
	for b.Loop() {
		if err := page.Render(io.Discard, nb, page.Options{Scripts: bundle}); err != nil {
			b.Fatal(err)
		}
	}
}
