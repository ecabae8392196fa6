package layout

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdftest"
)

// linked is a document in which everything that can be a link or a place is one, on many
// pages.
func linked(t *testing.T) *Doc {
	t.Helper()
	d := newDoc()
	d.Outline("Cover")
	d.Text("The cover. See "+Link("section-2", "section 2")+".", Body)
	d.Contents([]string{"First", "Second", "Third"}, "Last", "Very last")
	d.NewPage()
	all := func(n int) string { return Link(fmt.Sprint("place-", n), fmt.Sprint("goes to place ", n)) }
	for i, title := range []string{"First", "Second", "Third"} {
		d.Section(title)
		d.Heading(fmt.Sprint("Heading ", i, " λ"))
		d.Text(strings.Repeat("Words that fill a line or two. "+all(i)+" and on it goes. ", 40), Body)
		table := Table{Caption: "See " + all(3*i), Columns: []Column{{Name: "Number"}, {Name: "What " + all(1)}, {Name: "Right", Align: Right}}}
		for r := range 60 {
			n := 60*i + r
			table.Rows = append(table.Rows, []string{
				Anchor(fmt.Sprint("place-", n)) + fmt.Sprint("is place ", n), strings.Repeat("text ", n%50) + all((n+70)%180), all((n * 7) % 180),
			})
		}
		d.Table(table)
		d.Heading("Another heading")
		d.List("–", Body, "plain", "a list "+all(i))
		d.Row(Row{Cells: []Cell{{Width: 300, Text: all(7), Type: Strong, Note: all(9), Pad: tight}, {Width: 700, Text: all(8), Type: Body, Align: Right, Pad: tight}}})
		if _, err := d.Picture(picture(t, 100+i, 40), "A picture, see "+all(2), "It shows "+all(4)); err != nil {
			t.Fatal(err)
		}
		d.Text("See "+Link("table-1", "table 1")+", "+Link("figure-3", "figure 3")+", "+Link("appendix-B", "appendix B")+" and "+Link("https://example.com/a?b=(c)", "the web")+".", Body)
	}
	d.Appendix("Last")
	d.Text("Some words.", Body)
	d.Appendix("Very last")
	d.Heading("In the appendix")
	d.Text("Some words.", Body)
	return d
}

// Every link stands on its own words, and leads to the line that it names.
func TestLinksLeadWhereTheySay(t *testing.T) {
	data, err := linked(t).PDF()
	if err != nil {
		t.Fatal(err)
	}
	links, web := 0, 0
	for _, l := range pdftest.Links(t, data) {
		kind, n, _ := strings.Cut(l.Target, "-")
		there, says := "", ""
		switch kind {
		case "":
			web++
			says = "the web"
			if l.URI != "https://example.com/a?b=(c)" {
				t.Errorf("%q leads to %q", l.Words, l.URI)
			}
		case "place":
			there, says = "is place "+n+" ", "goes to place "+n
		case "section":
			there, says = n+" ", "First Second Third section 2"
		case "appendix":
			there, says = n+" ", "Last Very last appendix B"
		case "table":
			there, says = "Table "+n+". See", "table 1"
		case "figure":
			there, says = "Figure "+n+". ", "figure 3"
		}
		links++
		if !strings.Contains(l.There, there) {
			t.Errorf("%q leads to %q, where %q stands, want %q", l.Words, l.Target, l.There, there)
		}
		// A link that is broken into lines has a part of its words in each.
		if l.Words == "" || !strings.Contains(letters(says), letters(l.Words)) {
			t.Errorf("the link to %q stands on %q, want %q", l.Target, l.Words, says)
		}
	}
	if links < 400 || web < 3 {
		t.Errorf("%d links, of which %d to the web", links, web)
	}
}

func TestOutlineIsThatOfTheHeadings(t *testing.T) {
	data, err := linked(t).PDF()
	if err != nil {
		t.Fatal(err)
	}
	got := pdftest.Outline(t, data)
	want := []string{
		"Cover → The cover. See section 2. ",
		"1 First", "\tHeading 0 λ", "\tAnother heading",
		"2 Second", "\tHeading 1 λ", "\tAnother heading",
		"3 Third", "\tHeading 2 λ", "\tAnother heading",
		"A Last", "B Very last", "\tIn the appendix",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("outline\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestLinkErrors(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"a link to nowhere", Link("A-1", "x"), `leads to "A-1", which is nowhere`},
		{"a link to no page of the web", Link("https:", "x"), "which is nowhere"},
		{"a script in place of a page", Link("javascript:x", "x"), "which is nowhere"},
		{"a name twice", Anchor("A-1") + "x" + Anchor("A-1"), `two places are named "A-1"`},
		{"the name of a section", Anchor("section-1") + "x", `two places are named "section-1"`},
	} {
		d := newDoc()
		d.Section("One")
		d.Text(c.text, Body)
		if data, err := d.PDF(); !errors.Is(err, ErrLink) || !strings.Contains(err.Error(), c.says) || data != nil {
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.says)
		}
	}
}

func TestEverythingFitsAndOthersAccept(t *testing.T) {
	for name, d := range map[string]*Doc{"linked": linked(t), "long": long(t), "plain": newDoc()} {
		t.Run(name, func(t *testing.T) {
			d.Text("Some words.", Body)
			data, err := d.PDF()
			if err != nil {
				t.Fatal(err)
			}
			pdftest.Fits(t, data)
			pdftest.Valid(t, data)
		})
	}
}

func TestWeb(t *testing.T) {
	for target, want := range map[string]string{
		"https://example.com/a?b=(c)": "https://example.com/a?b=(c)", "http://example.com/é": "http://example.com/%C3%A9",
		"A-1": "", "": "", "https:": "", "https:///x": "", "ftp://example.com/": "", "javascript:x": "", "file:///etc/passwd": "", "https://a b/": "",
	} {
		if got, ok := web(target); got != want || ok != (want != "") {
			t.Errorf("%q is %q, %v; want %q", target, got, ok, want)
		}
	}
}

func TestLettersOfAppendices(t *testing.T) {
	for n, want := range map[int]string{1: "A", 2: "B", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA"} {
		if got := letter(n); got != want {
			t.Errorf("appendix %d is %s, want %s", n, got, want)
		}
	}
}
