package check_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/check"
	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/pdftest"
)

// What is attached comes out of a report signed twice as it went in, by this program and
// by others.
func TestAttachmentsOutliveSigning(t *testing.T) {
	pdf := quick()
	want, err := attach.Files(pdf)
	if err != nil || len(want) < 3 {
		t.Fatalf("%d attachments, %v", len(want), err)
	}
	twice := signed(t, signed(t, pdf, identity(t, "Maker")), identity(t, "Customer"))
	if got, err := attach.Files(twice); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("other attachments, %v", err)
	}
	pdftest.Valid(t, twice)

	api.DisableConfigDir()
	raw, err := api.ExtractAttachmentsRaw(bytes.NewReader(twice), "", nil, model.NewDefaultConfiguration())
	if err != nil || len(raw) != len(want) {
		t.Fatalf("pdfcpu finds %d attachments, %v", len(raw), err)
	}
	byName := map[string][]byte{}
	for _, f := range want {
		byName[f.Name] = f.Data
	}
	for _, f := range raw {
		var data bytes.Buffer
		if _, err := data.ReadFrom(f); err != nil || !bytes.Equal(data.Bytes(), byName[f.FileName]) {
			t.Errorf("pdfcpu finds another %s, %v", f.FileName, err)
		}
	}

	pdfdetach, err := exec.LookPath("pdfdetach")
	if err != nil {
		t.Skip("pdfdetach is not installed; it would take the attachments out too")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "signed.pdf")
	if err := os.WriteFile(path, twice, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(pdfdetach, "-saveall", "-o", dir, path).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, f := range want {
		if data, err := os.ReadFile(filepath.Join(dir, f.Name)); err != nil || !bytes.Equal(data, f.Data) {
			t.Errorf("pdfdetach saves another %s, %v", f.Name, err)
		}
	}
}

// A small file whose pages share a large content is refused in time.
func TestPagesWithoutEnd(t *testing.T) {
	pdf := appended(t, quick(), func(f *pdffile.File, u *pdffile.Update) {
		pages, err := f.Pages()
		if err != nil {
			t.Fatal(err)
		}
		_, root, err := f.Root()
		if err != nil {
			t.Fatal(err)
		}
		large, err := pdffile.Deflate(nil, bytes.Repeat([]byte(" "), 7<<20))
		if err != nil {
			t.Fatal(err)
		}
		pages[0].Dict["Contents"] = u.Add(large)
		u.Set(pages[0].Ref, pages[0].Dict)
		kids := pdffile.Array{}
		for range 4000 {
			kids = append(kids, pages[0].Ref)
		}
		u.Set(root["Pages"].(pdffile.Ref), pdffile.Dict{"Type": pdffile.Name("Pages"), "Count": len(kids), "Kids": kids})
	})
	c := check.Run(pdf, check.Options{Unsigned: true})
	if !strings.Contains(lines(c), "the pages hold more than 67108864 bytes") {
		t.Errorf("%s", lines(c))
	}
}

// How parts were chosen is made again from what the report carries of it.
func TestChoice(t *testing.T) {
	b := open(t, "../../testdata/sheets/natural.toml")
	b.Job.Date = "2026-11-20"
	pdf := rendered(t, b, report.Options{Figures: none, Choice: &report.Choice{Words: []string{"The smaller set was cheaper by a third."}}})
	for _, c := range []struct {
		name       string
		pdf        []byte
		want, says string
	}{
		{"as made", pdf, "", "choice.json is taken as it stands"},
		{"other words", swapped(t, pdf, map[string][]byte{report.ChoiceName: []byte(`{"words": ["The larger set was cheaper."], "tables": null}`)}), "pages", "The larger set"},
		{"no JSON", swapped(t, pdf, map[string][]byte{report.ChoiceName: []byte("x")}), "choice", report.ChoiceName},
	} {
		checked := check.Run(c.pdf, check.Options{Unsigned: true})
		if got := strings.Join(checked.Failed(), " "); got != c.want || !strings.Contains(lines(checked), c.says) {
			t.Errorf("%s: fails %q, want %q and %q:\n%s", c.name, got, c.want, c.says, lines(checked))
		}
	}
}
