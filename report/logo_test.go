package report_test

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/railbook/report"
	"example.com/railbook/report/attach"
	"example.com/railbook/report/internal/pdftest"
)

// mark is a picture to put on a title page.
func mark(t *testing.T, w, h int) []byte {
	t.Helper()
	p := image.NewNRGBA(image.Rect(0, 0, w, h))
	draw.Draw(p, image.Rect(0, 0, w, h/2), image.NewUniform(color.NRGBA{0x24, 0x4a, 0x5c, 0xff}), image.Point{}, draw.Src)
	var b bytes.Buffer
	if err := png.Encode(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestLogo(t *testing.T) {
	b := open(t, demoSheet)
	b.Job.Logo = "art/mark.png"
	picture := mark(t, 900, 300)
	o := report.Options{Figures: bare.Figures, Logo: picture}
	pdf := rendered(t, assessed(t, b), o)
	pdftest.Fits(t, pdf)
	pdftest.Valid(t, pdf)
	if again := rendered(t, assessed(t, b), o); !bytes.Equal(again, pdf) {
		t.Error("the same logo gives other bytes")
	}
	if n := bytes.Count(pdf, []byte("/Subtype /Image")); n != 1 {
		t.Errorf("%d pictures, want the logo alone", n)
	}
	list, err := attach.Files(pdf)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if f.Name == "mark.png" {
			if !bytes.Equal(f.Data, picture) || f.Type != "image/png" {
				t.Errorf("it carries another picture, of type %q", f.Type)
			}
			return
		}
	}
	t.Error("it does not carry the logo")
}

// A logo that cannot be used keeps the report from being written, and says why.
func TestLogoErrors(t *testing.T) {
	dir := t.TempDir()
	sheets := filepath.Join(dir, "sheets")
	for path, data := range map[string][]byte{
		filepath.Join(sheets, "good.png"): mark(t, 30, 10),
		filepath.Join(sheets, "text.png"): []byte("no picture"),
		filepath.Join(dir, "outside.png"): mark(t, 30, 10),
	} {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("../outside.png", filepath.Join(sheets, "link.png")); err != nil {
		t.Log(err)
	}
	b := open(t, demoSheet)
	for _, c := range []struct {
		logo string
		is   error
		says string
	}{
		{"missing.png", fs.ErrNotExist, "missing.png"},
		{"text.png", report.ErrLogo, "text.png: not usable as a logo: it is neither a PNG nor a JPEG picture"},
		{"../outside.png", report.ErrLogo, "want the name of a picture in the sheet's folder"},
		{"link.png", nil, "escapes"},
		{".", report.ErrLogo, "not a regular file"},
	} {
		b.Job.Logo = c.logo
		data, err := report.LogoOf(b, sheets)
		if err == nil || c.is != nil && !errors.Is(err, c.is) || !strings.Contains(err.Error(), "job.logo: ") || !strings.Contains(err.Error(), c.says) || data != nil {
			t.Errorf("%q: error %v, want %v that says %q", c.logo, err, c.is, c.says)
		}
	}
	b.Job.Logo = "good.png"
	if data, err := report.LogoOf(b, sheets); err != nil || data == nil {
		t.Error(err)
	}
	if _, err := report.LogoOf(b, filepath.Join(dir, "missing")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no folder: error %v", err)
	}
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, o := range map[string]report.Options{"not given": bare, "not a picture": {Figures: bare.Figures, Logo: []byte("x")}} {
		if err := report.Write(path, assessed(t, b), o); !errors.Is(err, report.ErrLogo) || !strings.Contains(err.Error(), "job.logo: good.png") {
			t.Errorf("%s: error %v", name, err)
		}
	}
	b.Job.Logo = ""
	if err := report.Write(path, assessed(t, b), report.Options{Figures: bare.Figures, Logo: mark(t, 3, 1)}); !errors.Is(err, report.ErrLogo) {
		t.Errorf("not named by the sheet: error %v", err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "old" {
		t.Errorf("the file holds %q, error %v; want what it held", got, err)
	}
	onlyFile(t, path)
}
