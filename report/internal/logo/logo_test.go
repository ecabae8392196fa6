package logo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func picture(t testing.TB, w, h int, c color.Color) image.Image {
	t.Helper()
	p := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i := range w * h {
		p.Set(i%w, i/w, c)
	}
	return p
}

func pngOf(t testing.TB, p image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func jpegOf(t testing.TB, p image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, p, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// vast is a PNG of a few bytes that says it is of a size.
func vast(t testing.TB, w, h uint32) []byte {
	t.Helper()
	data := pngOf(t, picture(t, 1, 1, color.Black))
	header := data[12:29] // type and content of the first chunk
	binary.BigEndian.PutUint32(header[4:], w)
	binary.BigEndian.PutUint32(header[8:], h)
	binary.BigEndian.PutUint32(data[29:], crc32.ChecksumIEEE(header))
	return data
}

func TestParse(t *testing.T) {
	clear := color.NRGBA{}
	red := color.NRGBA{R: 0xc0, A: 0xff}
	for _, c := range []struct {
		name          string
		data          []byte
		width, height float64 // mm
		dots          image.Point
		middle        color.RGBA
	}{
		{"wide", pngOf(t, picture(t, 3000, 300, red)), 60, 6, image.Pt(708, 70), color.RGBA{0xc0, 0, 0, 0xff}},
		{"high", pngOf(t, picture(t, 40, 80, red)), 9, 18, image.Pt(40, 80), color.RGBA{0xc0, 0, 0, 0xff}},
		{"one dot", pngOf(t, picture(t, 1, 1, red)), 18, 18, image.Pt(1, 1), color.RGBA{0xc0, 0, 0, 0xff}},
		{"a thread", pngOf(t, picture(t, 8000, 1, red)), 60, 0.0075, image.Pt(708, 1), color.RGBA{0xc0, 0, 0, 0xff}},
		{"clear becomes white", pngOf(t, picture(t, 60, 18, clear)), 60, 18, image.Pt(60, 18), color.RGBA{0xff, 0xff, 0xff, 0xff}},
		{"16 bits a dot", pngOf(t, image.NewGray16(image.Rect(0, 0, 60, 18))), 60, 18, image.Pt(60, 18), color.RGBA{A: 0xff}},
		{"JPEG", jpegOf(t, image.NewGray(image.Rect(0, 0, 120, 36))), 60, 18, image.Pt(120, 36), color.RGBA{A: 0xff}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := Parse(c.data)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(l.Width-c.width) > 1e-9 || math.Abs(l.Height-c.height) > 1e-9 || !bytes.Equal(l.Data, c.data) {
				t.Errorf("%v by %v mm, want %v by %v", l.Width, l.Height, c.width, c.height)
			}
			drawn, err := png.Decode(bytes.NewReader(l.PNG))
			if err != nil {
				t.Fatal(err)
			}
			if got := drawn.Bounds().Size(); got != c.dots {
				t.Errorf("drawn with %v dots, want %v", got, c.dots)
			}
			if got := color.RGBAModel.Convert(drawn.At(c.dots.X/2, c.dots.Y/2)); got != c.middle {
				t.Errorf("its middle is %v, want %v", got, c.middle)
			}
			if _, ok := drawn.(*image.RGBA); !ok {
				t.Errorf("drawn as %T, with transparent parts", drawn)
			}
		})
	}
}

func TestRefused(t *testing.T) {
	good := pngOf(t, picture(t, 60, 18, color.Black))
	var moving bytes.Buffer
	if err := gif.Encode(&moving, picture(t, 4, 4, color.Black), nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, says string
		data       []byte
	}{
		{"nothing", "neither a PNG nor a JPEG", nil},
		{"text", "neither a PNG nor a JPEG", []byte("a logo")},
		{"another kind of picture", "neither a PNG nor a JPEG", moving.Bytes()},
		{"a drawing", "neither a PNG nor a JPEG", []byte("<svg/>")},
		{"half a PNG", "cannot be read", good[:len(good)/2]},
		{"a damaged PNG", "cannot be read", append(bytes.Clone(good[:50]), good[51:]...)},
		{"half a JPEG", "cannot be read", jpegOf(t, picture(t, 60, 18, color.Black))[:100]},
		{"vast", "60000 by 60000 dots", vast(t, 60000, 60000)},
		{"vast in all", "8000 by 8000 dots", vast(t, 8000, 8000)},
		{"long", "8193 by 1 dots", vast(t, 8193, 1)},
		{"large", "more than 4194304 bytes", append(bytes.Clone(good), make([]byte, MostBytes)...)},
	} {
		if l, err := Parse(c.data); !errors.Is(err, Err) || !strings.Contains(err.Error(), c.says) || l != nil {
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.says)
		}
	}
}

// What a sheet names is read from its own folder, and from nowhere else.
func TestReadStaysInTheFolder(t *testing.T) {
	outer := t.TempDir()
	dir := filepath.Join(outer, "sheets")
	good := pngOf(t, picture(t, 60, 18, color.Black))
	write := func(path string, data []byte) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(dir, "logo.png"), good)
	write(filepath.Join(dir, "art", "logo.png"), good)
	write(filepath.Join(dir, "large.png"), make([]byte, MostBytes+1))
	write(filepath.Join(outer, "secret.png"), good)
	for link, to := range map[string]string{
		"inside.png": "art/logo.png", "outside.png": "../secret.png", "absolute.png": filepath.Join(outer, "secret.png"), "up": "..", "nowhere.png": "gone.png",
	} {
		if err := os.Symlink(to, filepath.Join(dir, link)); err != nil {
			t.Skip(err)
		}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	for _, c := range []struct {
		name, says string
		is         error
	}{
		{"logo.png", "", nil},
		{"art/logo.png", "", nil},
		{"inside.png", "", nil},
		{"", "want the name of a picture in the sheet's folder", Err},
		{"../secret.png", "want the name of a picture in the sheet's folder", Err},
		{"art/../../secret.png", "want the name of a picture in the sheet's folder", Err},
		{filepath.ToSlash(filepath.Join(outer, "secret.png")), "want the name of a picture in the sheet's folder", Err},
		{"outside.png", "escapes", nil},
		{"absolute.png", "escapes", nil},
		{"up/secret.png", "escapes", nil},
		{"nowhere.png", "", fs.ErrNotExist},
		{"gone.png", "gone.png", fs.ErrNotExist},
		{"art", "not a regular file", Err},
		{".", "not a regular file", Err},
		{"large.png", "4194305 bytes", Err},
	} {
		l, err := Read(root.FS(), c.name)
		if c.says == "" && c.is == nil {
			if err != nil || !bytes.Equal(l.Data, good) || l.Type != "image/png" {
				t.Errorf("%q: %v", c.name, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.says) || c.is != nil && !errors.Is(err, c.is) || l != nil {
			t.Errorf("%q: error %v, want %v that says %q", c.name, err, c.is, c.says)
		}
	}
}

// FuzzParse: no file breaks the reader, and whatever it takes can be drawn.
func FuzzParse(f *testing.F) {
	f.Add(pngOf(f, picture(f, 6, 3, color.Black)))
	f.Add(jpegOf(f, picture(f, 6, 3, color.White)))
	f.Add(vast(f, 7000, 2000))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Parse(data)
		if err != nil {
			if !errors.Is(err, Err) {
				t.Errorf("error %v is not Err", err)
			}
			return
		}
		if l.Width <= 0 || l.Width > Width+1e-9 || l.Height <= 0 || l.Height > Height+1e-9 {
			t.Errorf("%v by %v mm", l.Width, l.Height)
		}
		if _, err := png.DecodeConfig(bytes.NewReader(l.PNG)); err != nil {
			t.Error(err)
		}
	})
}
