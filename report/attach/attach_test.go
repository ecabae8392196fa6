package attach_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/phpdave11/gofpdf"

	"example.com/railbook/report/attach"
	"example.com/railbook/report/internal/pdffile"
)

// document is a PDF of one page without attachments.
func document(t testing.TB) []byte {
	t.Helper()
	pdf := gofpdf.New("P", "mm", "A4", "")
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(about.Date)
	pdf.SetModificationDate(about.Date)
	pdf.SetFont("Helvetica", "", 12)
	pdf.AddPage()
	pdf.Cell(40, 10, "One page")
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

var (
	about = attach.About{
		Title: "A title (1) & more", Author: "Ångström 漢", Subject: "one < two", Creator: "a test", Language: "en",
		Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC),
	}
	files = []attach.File{
		{Name: "sheet.toml", Type: "application/toml", Description: "what it was made from (all of it)", Relation: attach.Source, Data: []byte("[job]\nname = \"x\"\n")},
		{Name: "empty", Type: "text/plain", Relation: attach.Other},
		{Name: "Größe 漢.json", Type: "application/json", Description: "größe", Relation: attach.Data, Data: []byte(`{"a": 1}`)},
		{Name: "zeros.bin", Type: "application/octet-stream", Relation: attach.Supplement, Data: make([]byte, 100_000)},
	}
)

func added(t testing.TB, pdf []byte, files []attach.File) []byte {
	t.Helper()
	out, err := attach.Add(pdf, about, files)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestWhatIsAddedComesBack(t *testing.T) {
	base := document(t)
	pdf := added(t, base, files)
	if !bytes.Equal(pdf[:len("%PDF-1.7")], []byte("%PDF-1.7")) || !bytes.Equal(pdf[8:len(base)], base[8:]) {
		t.Error("what was there before has changed")
	}
	got, err := attach.Files(pdf)
	if err != nil {
		t.Fatal(err)
	}
	want := []attach.File{files[2], files[1], files[0], files[3]} // by name
	want[1].Data = []byte{}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("came back as\n%.300v\nwant\n%.300v", got, want)
	}
	for range 10 {
		if !bytes.Equal(added(t, base, files), pdf) {
			t.Fatal("the same attachments give other bytes")
		}
	}
	// In another order, and a second time.
	if !bytes.Equal(added(t, base, []attach.File{files[3], files[0], files[2], files[1]}), pdf) {
		t.Error("attachments in another order give other bytes")
	}
	again, err := attach.Files(added(t, pdf, files[:1]))
	if err != nil || len(again) != 1 || again[0].Name != files[0].Name {
		t.Errorf("added anew: %v, %v", again, err)
	}
	if none, err := attach.Files(base); err != nil || len(none) != 0 {
		t.Errorf("a file without attachments has %d, error %v", len(none), err)
	}
}

// The metadata are XML that says what the document is.
func TestMetadata(t *testing.T) {
	f, err := pdffile.Open(added(t, document(t), files))
	if err != nil {
		t.Fatal(err)
	}
	_, root, err := f.Root()
	if err != nil {
		t.Fatal(err)
	}
	o, err := f.Resolve(root["Metadata"])
	if err != nil {
		t.Fatal(err)
	}
	data := o.(*pdffile.Stream).Data
	var texts strings.Builder
	for d := xml.NewDecoder(bytes.NewReader(data)); ; {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, data)
		}
		if text, ok := token.(xml.CharData); ok {
			texts.WriteString(strings.TrimSpace(string(text)) + "|")
		}
	}
	for _, want := range []string{about.Title, about.Author, about.Subject, about.Creator, about.Language, "2026-11-20T00:00:00Z"} {
		if !strings.Contains(texts.String(), want+"|") {
			t.Errorf("%q is not in %s", want, texts.String())
		}
	}
	if root["Lang"] != pdffile.String("en") {
		t.Errorf("language %v", root["Lang"])
	}
}

// Other programs find the same attachments and no fault.
func TestOtherReadersAgree(t *testing.T) {
	pdf := added(t, document(t), files)
	api.DisableConfigDir()
	if err := api.Validate(bytes.NewReader(pdf), model.NewDefaultConfiguration()); err != nil {
		t.Errorf("pdfcpu: %v", err)
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "file.pdf")
	if err := os.WriteFile(path, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) string {
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("no %s", name)
		}
		cmd := exec.Command(name, args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
		return string(out)
	}
	if out := run("qpdf", "--check", path); strings.Contains(out, "WARNING") || !strings.Contains(out, "PDF Version: 1.7") {
		t.Errorf("qpdf says\n%s", out)
	}
	out := run("pdfdetach", "-list", path)
	for _, f := range files {
		if !strings.Contains(out, f.Name+"\n") {
			t.Errorf("%s is not in\n%s", f.Name, out)
		}
	}
	run("pdfdetach", "-savefile", "sheet.toml", path)
	if got, err := os.ReadFile(filepath.Join(dir, "sheet.toml")); err != nil || !bytes.Equal(got, files[0].Data) {
		t.Errorf("pdfdetach saves %q, %v", got, err)
	}
}

func TestAddRefuses(t *testing.T) {
	many := make([]attach.File, attach.MostFiles+1)
	for i := range many {
		many[i].Name = fmt.Sprint(i)
	}
	for _, c := range []struct {
		name  string
		files []attach.File
		says  string
	}{
		{"no name", []attach.File{{}}, "it is empty"},
		{"a folder", []attach.File{{Name: "../x"}}, "must not hold"},
		{"another system's folder", []attach.File{{Name: `..\x`}}, "must not hold"},
		{"hidden", []attach.File{{Name: ".x"}}, "begin with a point"},
		{"an option", []attach.File{{Name: "-x"}}, "begin with a point or a hyphen"},
		{"a line feed", []attach.File{{Name: "a\nb"}}, "cannot be printed"},
		{"right to left", []attach.File{{Name: "a\u202egpj.exe"}}, "cannot be printed"},
		{"no UTF-8", []attach.File{{Name: "\xff"}}, "cannot be printed"},
		{"long", []attach.File{{Name: strings.Repeat("x", 201)}}, "longer than 200 bytes"},
		{"twice", []attach.File{{Name: "a"}, {Name: "b"}, {Name: "a"}}, "two of that name"},
		{"large", []attach.File{{Name: "a", Data: make([]byte, attach.MostBytes+1)}}, "more than 16777216"},
		{"many", many, "51 files"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := attach.Add(document(t), about, c.files)
			if !errors.Is(err, attach.ErrFile) || !strings.Contains(err.Error(), c.says) || out != nil {
				t.Errorf("%d bytes, error %v, want one that says %q", len(out), err, c.says)
			}
		})
	}
	for _, pdf := range []string{"", "no PDF", "%PDF-1.7\n", "%PDF-1."} {
		if _, err := attach.Add([]byte(pdf), about, files); !errors.Is(err, attach.ErrPDF) {
			t.Errorf("%q: error %v", pdf, err)
		}
	}
}

// hostile appends to a PDF what a list of attachments should not be.
func hostile(t *testing.T, names pdffile.Object, more ...pdffile.Object) []byte {
	t.Helper()
	f, err := pdffile.Open(document(t))
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Update()
	if err != nil {
		t.Fatal(err)
	}
	root, catalogue, err := f.Root()
	if err != nil {
		t.Fatal(err)
	}
	catalogue["Names"] = pdffile.Dict{"EmbeddedFiles": names}
	u.Set(root, catalogue)
	for _, o := range more {
		u.Add(o)
	}
	data, _ := u.Bytes()
	return data
}

func TestFilesRefuses(t *testing.T) {
	size := func() int {
		f, _ := pdffile.Open(document(t))
		return int(f.Trailer["Size"].(int64))
	}()
	next := pdffile.Ref{Number: size}
	spec := func(name string, stream pdffile.Object) pdffile.Dict {
		return pdffile.Dict{"F": pdffile.String(name), "EF": pdffile.Dict{"F": stream}}
	}
	list := func(specs ...pdffile.Object) pdffile.Dict {
		all := pdffile.Array{}
		for _, s := range specs {
			all = append(all, pdffile.String("x"), s)
		}
		return pdffile.Dict{"Names": all}
	}
	plain := &pdffile.Stream{Dict: pdffile.Dict{}, Data: []byte("content")}
	bomb := func() *pdffile.Stream {
		packed := added(t, document(t), []attach.File{{Name: "a", Data: make([]byte, attach.MostBytes)}})
		f, err := pdffile.Open(packed)
		if err != nil {
			t.Fatal(err)
		}
		o, err := f.Get(next)
		if err != nil {
			t.Fatal(err)
		}
		return o.(*pdffile.Stream)
	}()
	full := list()
	for range attach.MostFiles + 1 {
		full["Names"] = append(full["Names"].(pdffile.Array), pdffile.String("x"), spec(fmt.Sprint(len(full["Names"].(pdffile.Array))), next))
	}
	for _, c := range []struct {
		name string
		pdf  []byte
		is   error
		says string
	}{
		{"no dictionary", hostile(t, pdffile.Array{}), attach.ErrPDF, ""},
		{"no list", hostile(t, pdffile.Dict{"Names": int64(3)}), attach.ErrPDF, ""},
		{"a tree in a circle", hostile(t, next, pdffile.Dict{"Kids": pdffile.Array{next, next}}), attach.ErrSize, "more attachments"},
		{"no description", hostile(t, list(int64(3))), attach.ErrPDF, ""},
		{"no name", hostile(t, list(pdffile.Dict{})), attach.ErrFile, "it is empty"},
		{"a name with a folder", hostile(t, list(spec("../../etc/x", next)), plain), attach.ErrFile, "must not hold"},
		{"no content", hostile(t, list(spec("a", int64(3)))), attach.ErrPDF, "has no content"},
		{"content that is missing", hostile(t, list(spec("a", pdffile.Ref{Number: 9999}))), attach.ErrPDF, "has no content"},
		{"two contents", hostile(t, list(pdffile.Dict{"F": pdffile.String("a"), "EF": pdffile.Dict{"F": next, "UF": pdffile.Ref{Number: size + 1}}}), plain, plain), attach.ErrPDF, "has two contents"},
		{"two of a name", hostile(t, list(spec("a", next), spec("a", next)), plain), attach.ErrPDF, "two attachments are named"},
		{"many", hostile(t, full, plain), attach.ErrSize, "more than 50"},
		{"many that are large", hostile(t, list(spec("a", next), spec("b", next), spec("c", next), spec("d", next), spec("e", next)), bomb), attach.ErrSize, `the attachment "e"`},
		{"a thousand times what it seems", hostile(t, list(spec("a", next)), &pdffile.Stream{
			Dict: pdffile.Dict{"Filter": pdffile.Array{pdffile.Name("FlateDecode"), pdffile.Name("FlateDecode")}}, Data: bomb.Data,
		}), attach.ErrPDF, "filter"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := attach.Files(c.pdf)
			if !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) || got != nil {
				t.Errorf("%d files, error %v, want %v that says %q", len(got), err, c.is, c.says)
			}
		})
	}
}

// FuzzFiles: no file breaks the reader of attachments, and what comes out can be put in
// again.
func FuzzFiles(f *testing.F) {
	f.Add(added(f, document(f), files[:3]))
	f.Add([]byte("%PDF-1.3\nxref\n0 1\n0000000000 65535 f \ntrailer<</Root 1 0 R>>startxref 9 %%EOF"))
	f.Add(bytes.Replace(added(f, document(f), files[:1]), []byte("/Names ["), []byte("/Kids  ["), 1))
	base := document(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := attach.Files(data)
		if err != nil {
			return
		}
		pdf, err := attach.Add(base, about, list)
		if err != nil {
			t.Fatalf("what came out does not go in: %v", err)
		}
		again, err := attach.Files(pdf)
		if err != nil || len(again) != len(list) {
			t.Fatalf("%d attachments come out as %d: %v", len(list), len(again), err)
		}
	})
}

func BenchmarkAdd(b *testing.B) {
	pdf := document(b)
	for b.Loop() {
		added(b, pdf, files)
	}
}

func BenchmarkFiles(b *testing.B) {
	pdf := added(b, document(b), files)
	for b.Loop() {
		if _, err := attach.Files(pdf); err != nil {
			b.Fatal(err)
		}
	}
}

func Example() {
	var blank bytes.Buffer
	page := gofpdf.New("P", "mm", "A4", "")
	page.AddPage()
	if err := page.Output(&blank); err != nil {
		fmt.Println(err)
		return
	}
	pdf, err := attach.Add(blank.Bytes(), attach.About{Title: "A page", Language: "en"}, []attach.File{
		{Name: "numbers.json", Type: "application/json", Data: []byte("[1, 2, 3]")},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	list, err := attach.Files(pdf)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range list {
		fmt.Printf("%s: %s\n", f.Name, f.Data)
	}
	// Output: numbers.json: [1, 2, 3]
}
