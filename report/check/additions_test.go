package check

import (
	"bytes"
	"strings"
	"testing"

	"github.com/phpdave11/gofpdf"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/sign"
)

// made is a file of two pages in two steps, as a report is made.
func made(t *testing.T) []byte {
	t.Helper()
	pdf := gofpdf.New("P", "mm", "A4", "")
	pdf.AddPage()
	pdf.AddPage()
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		t.Fatal(err)
	}
	return step(t, out.Bytes(), func(f *pdffile.File, u *pdffile.Update) {
		pages, err := f.Pages()
		if err != nil {
			t.Fatal(err)
		}
		link := u.Add(pdffile.Dict{"Subtype": pdffile.Name("Link")})
		pages[0].Dict["Annots"] = pdffile.Array{link}
		u.Set(pages[0].Ref, pages[0].Dict)
	})
}

func step(t *testing.T, pdf []byte, change func(f *pdffile.File, u *pdffile.Update)) []byte {
	t.Helper()
	f, err := pdffile.Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Update()
	if err != nil {
		t.Fatal(err)
	}
	change(f, u)
	out, _ := u.Bytes()
	return out
}

// TestAdditions: what a step may do that ends with a signature that holds, and what not.
func TestAdditions(t *testing.T) {
	box := func(v ...pdffile.Object) pdffile.Array { return v }
	widget := func(rect pdffile.Array) pdffile.Dict {
		return pdffile.Dict{"Subtype": pdffile.Name("Widget"), "FT": pdffile.Name("Sig"), "Rect": rect}
	}
	type change = func(f *pdffile.File, u *pdffile.Update, root pdffile.Dict, pages []pdffile.Page)
	onPage := func(n int, add func(u *pdffile.Update, notes pdffile.Array) pdffile.Array) change {
		return func(f *pdffile.File, u *pdffile.Update, _ pdffile.Dict, pages []pdffile.Page) {
			notes, _ := pages[n].Dict["Annots"].(pdffile.Array)
			pages[n].Dict["Annots"] = add(u, notes)
			u.Set(pages[n].Ref, pages[n].Dict)
		}
	}
	with := func(d pdffile.Dict) func(u *pdffile.Update, notes pdffile.Array) pdffile.Array {
		return func(u *pdffile.Update, notes pdffile.Array) pdffile.Array { return append(notes, u.Add(d)) }
	}
	inRoot := func(key pdffile.Name, value pdffile.Object) change {
		return func(f *pdffile.File, u *pdffile.Update, root pdffile.Dict, _ []pdffile.Page) {
			root[key] = value
			u.Set(f.Trailer["Root"].(pdffile.Ref), root)
		}
	}
	for _, c := range []struct {
		name   string
		change change
		want   Outcome
		says   string
	}{
		{"an unseen signature", onPage(0, with(widget(box(int64(0), int64(0), int64(0), int64(0))))), Holds, "signatures were appended (1)"},
		{"the form", inRoot("AcroForm", pdffile.Dict{"SigFlags": int64(3)}), Holds, "nothing else"},
		{"a new object that nothing leads to", func(_ *pdffile.File, u *pdffile.Update, _ pdffile.Dict, _ []pdffile.Page) { u.Add(pdffile.Dict{}) }, Holds, "nothing else"},
		{"a signature that can be seen", onPage(1, with(widget(box(int64(0), int64(0), int64(90), 20.5)))), Noted, "page 2: look at what it may cover"},
		{"a stamp", onPage(1, with(pdffile.Dict{"Subtype": pdffile.Name("Stamp")})), Fails, "page 2: it adds a note that is no signature"},
		{"another field", onPage(1, with(pdffile.Dict{"Subtype": pdffile.Name("Widget"), "FT": pdffile.Name("Tx")})), Fails, "no signature"},
		{"a note removed", onPage(0, func(*pdffile.Update, pdffile.Array) pdffile.Array { return nil }), Fails, "page 1: it changes or removes a note"},
		{"a note replaced", onPage(0, func(u *pdffile.Update, _ pdffile.Array) pdffile.Array { return pdffile.Array{u.Add(pdffile.Dict{})} }), Fails, "page 1: it changes or removes a note"},
		{"another size of a page", func(_ *pdffile.File, u *pdffile.Update, _ pdffile.Dict, pages []pdffile.Page) {
			pages[1].Dict["MediaBox"] = box(int64(0), int64(0), int64(1), int64(1))
			u.Set(pages[1].Ref, pages[1].Dict)
		}, Fails, "it changes page 2"},
		{"other content of a page", func(_ *pdffile.File, u *pdffile.Update, _ pdffile.Dict, pages []pdffile.Page) {
			u.Set(pages[1].Dict["Contents"].(pdffile.Ref), &pdffile.Stream{Dict: pdffile.Dict{}, Data: []byte("0 0 m")})
		}, Fails, "it changes object"},
		{"other attachments", inRoot("Names", pdffile.Dict{}), Fails, "it changes the document as a whole"},
		{"an action on opening", inRoot("OpenAction", pdffile.Dict{}), Fails, "it changes the document as a whole"},
		{"a page less", func(f *pdffile.File, u *pdffile.Update, root pdffile.Dict, pages []pdffile.Page) {
			u.Set(root["Pages"].(pdffile.Ref), pdffile.Dict{"Type": pdffile.Name("Pages"), "Kids": pdffile.Array{pages[0].Ref}})
		}, Fails, "it adds or removes pages"},
	} {
		t.Run(c.name, func(t *testing.T) {
			pdf := step(t, made(t), func(f *pdffile.File, u *pdffile.Update) {
				_, root, err := f.Root()
				if err != nil {
					t.Fatal(err)
				}
				pages, err := f.Pages()
				if err != nil {
					t.Fatal(err)
				}
				c.change(f, u, root, pages)
			})
			read, err := pdffile.Open(pdf)
			if err != nil {
				t.Fatal(err)
			}
			r := &run{Checked: &Checked{}, pdf: pdf, read: read}
			r.additions([]sign.Signature{{Covers: len(pdf)}})
			if f := r.Findings[0]; f.Outcome != c.want || !strings.Contains(f.Text, c.says) {
				t.Errorf("%v, want %v that says %q", f, c.want, c.says)
			}
			r = &run{Checked: &Checked{}, pdf: pdf, read: read}
			r.additions(nil)
			if f := r.Findings[0]; f.Outcome != Fails || !strings.Contains(f.Text, "it ends without a signature") {
				t.Errorf("without a signature: %v", f)
			}
		})
	}
}

// TestMatcher: what is printed in another order or with something in between is not what
// is wanted.
func TestMatcher(t *testing.T) {
	page := func(texts ...string) []line {
		var list []line
		for i, s := range texts {
			list = append(list, line{s, 1, i == 0})
		}
		return list
	}
	for _, c := range []struct {
		name  string
		lines []line
		cells []string
		want  bool
	}{
		{"in one piece each", page("a", "b", "c"), []string{"a", "b", "c"}, true},
		{"broken into lines", page("a1", "a2", "b", "c1", "c2"), []string{"a1a2", "b", "c1c2"}, true},
		{"a row drawn in two parts", page("a1", "b1", "a2", "b2"), []string{"a1a2", "b1b2"}, true},
		{"parts with a head in between", append(page("a1", "b1"), page("h1", "h2", "a2", "b2")...), []string{"a1a2", "b1b2"}, true},
		{"an empty cell", page("a", "c"), []string{"a", "", "c"}, true},
		{"columns the other way round", page("a", "c", "b"), []string{"a", "b", "c"}, false},
		{"another text", page("a", "x", "c"), []string{"a", "b", "c"}, false},
		{"something in between", page("a", "x", "b"), []string{"a", "b"}, false},
		{"one that is missing", page("a"), []string{"a", "b"}, false},
		{"only the beginning", page("a", "b1"), []string{"a", "b1b2"}, false},
		{"nothing", nil, []string{"a"}, false},
	} {
		m := &matcher{lines: c.lines}
		if got := m.row(c.cells, "h1h2"); got != c.want || got && m.at != len(c.lines) {
			t.Errorf("%s: %v at %d of %d, want %v", c.name, got, m.at, len(c.lines), c.want)
		}
	}
}
