package sign

import (
	"bytes"
	"crypto/elliptic"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/report/internal/pdffile"
)

func TestFile(t *testing.T) {
	dir := t.TempDir()
	path, out := filepath.Join(dir, "report.pdf"), filepath.Join(dir, "signed.pdf")
	pdf := document(t)
	if err := os.WriteFile(path, pdf, 0o640); err != nil {
		t.Fatal(err)
	}
	id := identity(t, "Maker", ecKey(t, elliptic.P256()))
	if err := File(path, out, id, Options{Time: at}); err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(out); err != nil || !intact(data, 1) {
		t.Errorf("another file: %v", err)
	}
	if data, err := os.ReadFile(path); err != nil || !bytes.Equal(data, pdf) {
		t.Errorf("the report itself has changed, %v", err)
	}
	for n := 1; n <= 2; n++ {
		if err := File(path, path, id, Options{Time: at}); err != nil {
			t.Fatal(err)
		}
		if data, err := os.ReadFile(path); err != nil || !intact(data, n) {
			t.Errorf("in place, %d: %v", n, err)
		}
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
}

func TestFileErrors(t *testing.T) {
	dir := t.TempDir()
	id := identity(t, "Maker", ecKey(t, elliptic.P256()))
	put := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	good := put("good.pdf", document(t))
	folder := filepath.Join(dir, "folder.pdf")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, path, out, says string }{
		{"missing", filepath.Join(dir, "missing.pdf"), good, "no such file"},
		{"a folder", folder, good, "not a regular file"},
		{"no PDF", put("text.pdf", []byte("plain text")), good, "does not begin with %PDF-"},
		{"empty", put("empty.pdf", nil), good, "does not begin with %PDF-"},
		{"cut short", put("cut.pdf", document(t)[:500]), good, "cut short"},
		{"encrypted", put("encrypted.pdf", bytes.Replace(document(t), []byte("/Size"), []byte("/Encrypt 1 0 R /Size"), 1)), good, "is encrypted"},
		{"huge", put("huge.pdf", make([]byte, pdffile.MaxFile+1)), good, "larger than 64 MB"},
		{"no folder to write to", good, filepath.Join(dir, "missing", "out.pdf"), "no such file"},
		{"a folder in the way", good, folder, "not a regular file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, _ := os.ReadDir(dir)
			err := File(c.path, c.out, id, Options{Time: at})
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v, want one that says %q", err, c.says)
			}
			if after, _ := os.ReadDir(dir); len(after) != len(before) {
				t.Errorf("%d files, were %d: something is left behind", len(after), len(before))
			}
			if data, err := os.ReadFile(good); err != nil || !bytes.Equal(data, document(t)) {
				t.Error("the file to be written has changed")
			}
		})
	}
	if _, err := Sign(document(t), id, Options{Time: at, Reason: strings.Repeat("x", 1001)}); err == nil || !strings.Contains(err.Error(), "1001 bytes") {
		t.Errorf("a long reason: error %v", err)
	}
}

// TestReadOnlyFolder: nothing is written where nothing may be.
func TestReadOnlyFolder(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root writes anywhere")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "report.pdf")
	if err := os.WriteFile(path, document(t), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o700)
	if err := File(path, path, identity(t, "Maker", ecKey(t, elliptic.P256())), Options{Time: at}); !errors.Is(err, os.ErrPermission) {
		t.Errorf("error %v", err)
	}
}

// TestMovedSignature: a signature dictionary that comes later than what it signs, and
// leaves out the place where the first one stood, is none.
func TestMovedSignature(t *testing.T) {
	once := signed(t, document(t), identity(t, "Maker", ecKey(t, elliptic.P256())))
	f, err := pdffile.Open(once)
	if err != nil {
		t.Fatal(err)
	}
	_, catalogue, err := f.Root()
	if err != nil {
		t.Fatal(err)
	}
	form := catalogue["AcroForm"].(pdffile.Dict)
	field, err := f.Dict(form["Fields"].(pdffile.Array)[0])
	if err != nil {
		t.Fatal(err)
	}
	signature := field["V"].(pdffile.Ref)
	about, err := f.Dict(signature)
	if err != nil {
		t.Fatal(err)
	}
	u, err := f.Update()
	if err != nil {
		t.Fatal(err)
	}
	u.Set(signature, about)
	moved, _ := u.Bytes()
	list, err := Verify(moved)
	if err != nil || len(list) != 1 || !errors.Is(list[0].Err, ErrMalformed) {
		t.Errorf("%+v, %v", list, err)
	}
}
