package draw_test

import (
	"testing"

	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
)

func BenchmarkPNG(b *testing.B) {
	for _, f := range []figure.Figure{bowl(), headroom(), waves()} {
		b.Run(f.ID, func(b *testing.B) {
			for b.Loop() {
				if _, err := draw.PNG(f, draw.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
