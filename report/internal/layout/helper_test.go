package layout

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"strings"
	"testing"
	"time"

	"example.com/railbook/report/internal/pdftext"
)

func newDoc() *Doc {
	return New(Setup{Title: "Title", Author: "Author", Foot: "Foot", Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)})
}

func picture(t *testing.T, w, h int) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewGray(image.Rect(0, 0, w, h))); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func letters(s string) string { return strings.Join(strings.Fields(s), "") }

// long is a document that has a bit of everything and many pages.
func long(t *testing.T) *Doc {
	t.Helper()
	d := newDoc()
	titles := make([]string, 30)
	for i := range titles {
		titles[i] = fmt.Sprint("Title ", i+1)
	}
	d.Contents(titles)
	d.NewPage()
	for i, title := range titles {
		d.Section(title)
		d.Text(strings.Repeat("Neither the first line nor the last stands alone. ", 3+7*i), Body)
		d.Heading("A part of it")
		table := Table{Caption: "Rows", Columns: []Column{{Name: "Head of one"}, {Name: "Head of two", Align: Right}}}
		for r := range 3 * i {
			table.Rows = append(table.Rows, []string{fmt.Sprint("row ", r), strings.Repeat("word ", r%40)})
		}
		d.Table(table)
		if i%3 == 0 {
			if _, err := d.Picture(picture(t, 100+i, 50), "A picture", "What it shows."); err != nil {
				t.Fatal(err)
			}
		}
		d.List("–", Body, "one", strings.Repeat("two ", 40))
		d.Lead("What follows is on the same page.", Body)
	}
	d.Row(Row{Cells: []Cell{{Width: grid, Text: strings.Repeat("A row that is higher than a page. ", 700), Type: Body, Pad: tight}}})
	return d
}

func read(t *testing.T, data []byte) [][]string {
	t.Helper()
	pages, err := pdftext.Pages(data)
	if err != nil {
		t.Fatal(err)
	}
	return pages
}
