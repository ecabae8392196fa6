package draw_test

import (
	"bytes"
	"context"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/figure"
	"example.com/railbook/report/figure/draw"
	"example.com/railbook/sizing"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// Regression only: the golden pictures were made by this package and looked at.
// A dot may differ a little, as arithmetic does from machine to machine.
func TestGolden(t *testing.T) {
	for _, f := range []figure.Figure{bowl(), headroom(), waves()} {
		t.Run(f.ID, func(t *testing.T) {
			got, err := draw.PNG(f, draw.Options{DPI: 80})
			if err != nil {
				t.Fatal(err)
			}
			compare(t, got, filepath.Join("testdata", f.ID+".png"))
		})
	}
}

// TestReadmePicture keeps the picture in the README what the demo build gives.
func TestReadmePicture(t *testing.T) {
	b, err := sizing.Open("../../../notebooks/first-build.toml")
	if err != nil {
		t.Fatal(err)
	}
	figures, err := report.Figures(context.Background(), b)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(figures, func(f figure.Figure) bool { return f.ID == "duty-content" })
	if i < 0 {
		t.Fatal("the report has no such figure")
	}
	got, err := draw.PNG(figures[i], draw.Options{DPI: 120})
	if err != nil {
		t.Fatal(err)
	}
	compare(t, got, "../../../notebooks/first-build-duty.png")
}

// compare holds a picture against a golden one.
func compare(t *testing.T, got []byte, path string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; make it with -update and look at it", err)
	}
	if share := different(t, got, want); share > 0.002 {
		t.Errorf("%.1f %% of the dots differ from %s; if that is meant, write it anew with -update and look at it", 100*share, path)
	}
}

// different returns the share of dots that differ by more than a tenth of the
// way from black to white.
func different(t *testing.T, a, b []byte) float64 {
	t.Helper()
	var imgs [2]image.Image
	for i, data := range [][]byte{a, b} {
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		imgs[i] = img
	}
	r := imgs[0].Bounds()
	if r != imgs[1].Bounds() {
		return 1
	}
	n := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if d := luminance(imgs[0].At(x, y)) - luminance(imgs[1].At(x, y)); d > 0.1 || d < -0.1 {
				n++
			}
		}
	}
	return float64(n) / float64(r.Dx()*r.Dy())
}
