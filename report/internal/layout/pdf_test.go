package layout

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"strings"
	"testing"
	"time"

	"example.com/railbook/report/internal/pdftest"
	"example.com/railbook/report/internal/pdftext"
)

func TestPDFHoldsEveryWordAndNumbersItsPages(t *testing.T) {
	d := long(t)
	data, err := d.PDF()
	if err != nil {
		t.Fatal(err)
	}
	pages := read(t, data)
	text := pdftext.Join(pages)
	for _, want := range []struct {
		text  string
		least int
	}{{"Neither", 30 * 3}, {"higher", 700}, {"Title 30", 2}, {"Table 30. Rows", 1}, {"Figure 10. A picture", 1}} {
		if got := strings.Count(text, want.text); got < want.least {
			t.Errorf("%q stands %d times in the file, want %d or more", want.text, got, want.least)
		}
	}
	for i, p := range pages {
		if want := fmt.Sprintf("Page %d of %d", i+1, len(pages)); !strings.Contains(pdftext.Join([][]string{p}), want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
	}
}

func TestSameDocumentSameBytes(t *testing.T) {
	for name, made := range map[string]func(*testing.T) *Doc{"long": long, "linked": linked} {
		first, err := made(t).PDF()
		if err != nil {
			t.Fatal(err)
		}
		for range 5 {
			again, err := made(t).PDF()
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first, again) {
				t.Fatalf("%s: the same document gave other bytes", name)
			}
		}
	}
}

// What maroto cannot draw it replaces by words in red on the page, and reports
// no error: here a picture of 16 bits a dot, which PNG has and the PDF library
// below maroto has not.
func TestFailureOfTheLibraryIsAnError(t *testing.T) {
	var deep bytes.Buffer
	if err := png.Encode(&deep, image.NewGray16(image.Rect(0, 0, 40, 20))); err != nil {
		t.Fatal(err)
	}
	d := newDoc()
	if _, err := d.Picture(deep.Bytes(), "A picture", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := d.PDF(); !errors.Is(err, ErrDrawing) {
		t.Errorf("error %v, want one that wraps ErrDrawing", err)
	}
}

// FuzzPDF: whatever a text is, it is printed where it has room, as words and as a link.
func FuzzPDF(f *testing.F) {
	for _, s := range []string{
		"", "λ ≥ 0.82", "\xff", "(brackets) \\ and \r", strings.Repeat("w", 500), "漢字 \u202e\x00", "a\nb\n\nc", "e\u0301\u0323 x\u200dy",
		opens + "x" + divides + "y" + closes, strings.Repeat("long-part/name", 30),
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d := New(Setup{Title: text, Author: text, Subject: text, Creator: text, Foot: text, Date: time.Unix(0, 0).UTC()})
		d.Section(text)
		d.Text(text, Body)
		d.Text(Anchor("here")+Link("table-1", text)+text+Link("here", text), Aside)
		d.Table(Table{Caption: text, Columns: []Column{{Name: text}, {Name: "x", Align: Right}}, Rows: [][]string{{"y", text}, {Link("section-1", text), text}}})
		data, err := d.PDF()
		if err != nil {
			t.Fatal(err)
		}
		pdftest.Fits(t, data)
		want := d.printable(strings.SplitN(text, "\n", 2)[0])
		if got := pdftext.Join(read(t, data)); !strings.Contains(letters(got), letters(want)) {
			t.Errorf("%q is not in the file: %q", want, got)
		}
	})
}
