package pdffile

import (
	"bytes"
	"reflect"
	"testing"
)

// However the objects of a document are numbered, it is written the same.
func TestWhole(t *testing.T) {
	written := func(data []byte) []byte {
		t.Helper()
		u, err := opened(t, data).Update()
		if err != nil {
			t.Fatal(err)
		}
		u.Set(Ref{1, 0}, Dict{"Type": Name("Catalog"), "Pages": Ref{2, 0}, "New": u.Add(Dict{"Back": Ref{1, 0}})})
		out, err := u.Whole()
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	stream := "<</Length 3 /On 3 0 R>>\nstream\nabc\nendstream"
	one := written(file("<</Type /Catalog>>", "<</Type /Pages /Kids [3 0 R 4 0 R]>>", "<</Type /Page /A 5 0 R>>", "<</Type /Page /B 7 0 R>>", stream, "<</Unused 1 0 R>>", "(text)"))
	two := written(file("<</Type /Catalog>>", "<</Type /Pages /Kids [7 0 R 3 0 R]>>", "<</Type /Page /B 6 0 R>>", "null", "<</Length 3 /On 7 0 R>>\nstream\nabc\nendstream", "(text)", "<</Type /Page /A 5 0 R>>"))
	if !bytes.Equal(one, two) {
		t.Errorf("written as\n%s\nand as\n%s", one, two)
	}
	f := opened(t, one)
	if len(f.Revisions) != 1 || !reflect.DeepEqual(f.Revisions[0].Objects, []int{1, 2, 3, 4, 5, 6, 7}) {
		t.Errorf("revisions %v", f.Revisions)
	}
	pages, err := f.Pages()
	if err != nil || len(pages) != 2 {
		t.Fatalf("pages %v, %v", pages, err)
	}
	if o, err := f.Resolve(pages[1].Dict["B"]); err != nil || o != String("text") {
		t.Errorf("on page 2: %v, %v", o, err)
	}
	o, err := f.Resolve(pages[0].Dict["A"])
	if s, ok := o.(*Stream); err != nil || !ok || string(s.Data) != "abc" || s.Dict["On"] != pages[0].Ref {
		t.Errorf("on page 1: %v, %v", o, err)
	}
	broken, err := opened(t, bytes.Replace(file("<</A 2 0 R>>", "null"), []byte("2 0 obj"), []byte("7 0 obj"), 1)).Update()
	if err != nil {
		t.Fatal(err)
	}
	if out, err := broken.Whole(); err == nil || out != nil {
		t.Errorf("an object that cannot be read: %q, %v", out, err)
	}
}
