package layout

import (
	"fmt"
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdftext"
)

func TestColumnsFillThePage(t *testing.T) {
	d := newDoc()
	for n := 1; n <= 9; n++ {
		for _, text := range []string{"", "x", strings.Repeat("word ", 60), strings.Repeat("W", 400)} {
			table := Table{Columns: make([]Column, n), Rows: [][]string{make([]string, n), {text}}}
			for i := range n {
				table.Columns[i] = Column{Name: fmt.Sprint("Column ", i), Align: Align(i % 2)}
				table.Rows[0][i] = text
			}
			widths, over := d.columnWidths(table)
			sum := over
			for i, w := range widths {
				sum += w
				if w < 5 {
					t.Errorf("%d columns of %.10q: column %d is %d wide", n, text, i, w)
				}
			}
			if sum != grid || over < 0 {
				t.Errorf("%d columns of %.10q: %v and %d over make %d, want %d", n, text, widths, over, sum, grid)
			}
		}
	}
}

func TestTableHeadIsRepeated(t *testing.T) {
	d := newDoc()
	table := Table{Columns: []Column{{Name: "Head of one"}, {Name: "Head of two"}}}
	for i := range 120 {
		table.Rows = append(table.Rows, []string{fmt.Sprint(i), "x"})
	}
	d.Table(table)
	data, err := d.PDF()
	if err != nil {
		t.Fatal(err)
	}
	pages := read(t, data)
	if len(pages) < 3 {
		t.Fatalf("%d pages, want 3 or more", len(pages))
	}
	for n, p := range pages {
		if text := pdftext.Join([][]string{p}); strings.Count(text, "Head of one") != 1 || strings.Count(text, "Head of two") != 1 {
			t.Errorf("page %d has not one head: %.80q", n+1, text)
		}
	}
}
