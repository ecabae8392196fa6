package pdftest

import (
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdftext"
	"example.com/railbook/report/internal/typeface"
)

// What is to be found is found, on a page of A4.
func TestFaultsAreFound(t *testing.T) {
	piece := func(text string, x, y float64) pdftext.Piece {
		return pdftext.Piece{Text: text, X: x, Y: y, Font: typeface.Bold.PostScript(), Size: 10}
	}
	for _, c := range []struct {
		name, says string
		pieces     []pdftext.Piece
	}{
		{"all well", "", []pdftext.Piece{piece("left", 60, 700), piece("right", 500, 700), piece("below", 60, 688)}},
		{"on one another", `"on it" lies over "some words"`, []pdftext.Piece{piece("some words", 60, 700), piece("on it", 80, 700)}},
		{"into one another", "lies over", []pdftext.Piece{piece("some words", 60, 700), piece("below", 60, 692)}},
		{"before the margin", "leaves the page", []pdftext.Piece{piece("left", 50, 700)}},
		{"behind the margin", "leaves the page", []pdftext.Piece{piece("right of the page", 500, 700)}},
		{"below the foot", "leaves the page", []pdftext.Piece{piece("low", 60, 20)}},
		{"another font", "is set in", []pdftext.Piece{{Text: "x", Font: "Helvetica", Size: 10}}},
	} {
		got := strings.Join(faults([][]pdftext.Piece{c.pieces}, 595.28, 841.89), "; ")
		if c.says == "" && got != "" || !strings.Contains(got, c.says) {
			t.Errorf("%s: %q, want %q", c.name, got, c.says)
		}
	}
}
