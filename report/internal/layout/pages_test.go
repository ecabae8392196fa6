package layout

import (
	"testing"
)

func TestPagesHoldTheirStrips(t *testing.T) {
	d := long(t)
	pages, starts := d.pages()
	seen := 0
	for n, page := range pages {
		sum := 0.0
		for _, s := range page {
			sum += s.height
		}
		if sum > d.bodyHeight() {
			t.Errorf("page %d is %v mm high, want at most %v", n+1, sum, d.bodyHeight())
		}
		if page[0].blank {
			t.Errorf("page %d starts with white", n+1)
		}
		last := page[len(page)-1]
		if last.keep && n < len(pages)-1 && sum < d.bodyHeight()/2 {
			t.Errorf("page %d ends with a strip that belongs to the next one", n+1)
		}
		if last.section > 0 {
			t.Errorf("page %d ends with the heading of section %d", n+1, last.section)
		}
		for _, s := range page {
			if s.section > 0 {
				seen++
				if starts[s.section] != n+1 {
					t.Errorf("section %d is on page %d, listed on %d", s.section, n+1, starts[s.section])
				}
			}
		}
	}
	if seen != 30 || len(pages) < 20 {
		t.Errorf("%d sections on %d pages", seen, len(pages))
	}
}

func TestNoHeadingIsLeftAtTheEndOfAPage(t *testing.T) {
	// Every amount of text above the heading is tried.
	for lines := 1; lines < 60; lines++ {
		d := newDoc()
		for range lines {
			d.Text("A line.", Body)
		}
		d.Section("Heading")
		d.Text("The text below it.", Body)
		pages, _ := d.pages()
		for _, page := range pages {
			for i, s := range page {
				if s.section > 0 && i >= len(page)-2 {
					t.Fatalf("with %d lines above, the heading is the last but %d of its page", lines, len(page)-1-i)
				}
			}
		}
	}
}
