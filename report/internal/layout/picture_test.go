package layout

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftest"
	"example.com/railbook/report/internal/pdftext"
)

func TestPictureErrors(t *testing.T) {
	good := picture(t, 40, 20)
	damaged := bytes.Clone(good)
	damaged[len(damaged)-25] ^= 1
	for _, c := range []struct {
		name string
		data []byte
	}{
		{"nothing", nil},
		{"not a picture", []byte("hello")},
		{"half a picture", good[:len(good)-30]},
		{"a damaged picture", damaged},
		{"higher than a page", picture(t, 20, 60)},
	} {
		if _, err := newDoc().Picture(c.data, "A picture", ""); err == nil {
			t.Errorf("%s: no error", c.name)
		}
	}
}

// The library below orders pictures by their width, and those of one width in any order.
func TestPicturesOfOneWidth(t *testing.T) {
	made := func() []byte {
		d := newDoc()
		for i := range 6 {
			if _, err := d.Picture(picture(t, 64, 20+i), "A picture", ""); err != nil {
				t.Fatal(err)
			}
		}
		data, err := d.PDF()
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	first := made()
	for range 20 {
		if !bytes.Equal(made(), first) {
			t.Fatal("pictures of one width give other bytes")
		}
	}
}

// TestImageInACell reads the place and size of an image off the page.
func TestImageInACell(t *testing.T) {
	for _, c := range []struct {
		name         string
		cell         Cell
		x, y         float64 // of its upper left corner, mm
		wide, height float64
	}{
		{"left", Cell{Width: 500, Pad: Pad{Left: 3, Top: 2, Bottom: 4}, Image: &Image{Width: 40, Height: 10}}, 23, 19, 40, 10},
		{"right", Cell{Width: 400, Align: Right, Pad: Pad{Right: 1}, Image: &Image{Width: 40, Height: 10}}, 20 + 68 - 41, 17, 40, 10},
		{"full", Cell{Width: 900, Image: &Image{Width: 153, Height: 38.25}}, 20, 17, 153, 38.25},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newDoc()
			c.cell.Image.PNG = picture(t, 400, 100)
			d.Row(Row{Cells: []Cell{c.cell, {Width: grid - c.cell.Width, Text: "beside\nit", Type: Body}}})
			d.Text("below it", Body)
			data, err := d.PDF()
			if err != nil {
				t.Fatal(err)
			}
			pdftest.Fits(t, data)
			content := pageContent(t, data)
			end := bytes.Index(content, []byte(" Do Q"))
			start := bytes.LastIndex(content[:end], []byte("q "))
			var w, h, x, y float64
			if _, err := fmt.Sscanf(string(content[start:end]), "q %f 0 0 %f %f %f cm", &w, &h, &x, &y); err != nil {
				t.Fatal(err)
			}
			for what, pair := range map[string][2]float64{"width": {w, c.wide}, "height": {h, c.height}, "x": {x, c.x}, "y": {841.89 - y - h, c.y}} {
				if math.Abs(pair[0]*point-pair[1]) > 0.02 {
					t.Errorf("%s is %.2f mm, want %v", what, pair[0]*point, pair[1])
				}
			}
			list, err := pdftext.Pieces(content)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range list {
				if p.Text == "below it" && p.Y > y {
					t.Errorf("the text below it is at %v, its foot at %v", p.Y, y)
				}
			}
		})
	}
}

// pageContent is what the first page of a file draws.
func pageContent(t *testing.T, data []byte) []byte {
	t.Helper()
	f, err := pdffile.Open(data)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := f.Pages()
	if err != nil {
		t.Fatal(err)
	}
	content, err := f.Content(pages[0])
	if err != nil {
		t.Fatal(err)
	}
	return content
}
