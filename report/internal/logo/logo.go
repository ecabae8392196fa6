// Package logo reads the picture that a build sheet names for the title page.
package logo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"io"
	"io/fs"

	xdraw "golang.org/x/image/draw"
)

// Err marks a picture that cannot be used.
var Err = errors.New("not usable as a logo")

// What a picture can be at most. It is looked at before it is decoded.
const (
	MostBytes = 4 << 20
	mostDots  = 16 << 20
	mostSide  = 8192
)

// What room a logo has on the page, in millimetres, and how finely it is drawn there.
const (
	Width, Height = 60.0, 18.0
	dotsPerInch   = 300
)

// Logo is a picture that has been read.
type Logo struct {
	Type          string  // "image/png" or "image/jpeg"
	Data          []byte  // as it was
	PNG           []byte  // ready to be drawn: on white, and no finer than it is drawn
	Width, Height float64 // on the page, in millimetres
}

// Read reads the picture of a name, with slashes, in a folder: a PNG or a JPEG. The error
// names it, and wraps [Err] or one of the folder's.
func Read(folder fs.FS, name string) (*Logo, error) {
	if !fs.ValidPath(name) {
		return nil, fmt.Errorf("%q is %w: want the name of a picture in the sheet's folder, such as logo.png", name, Err)
	}
	data, err := read(folder, name)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	l, err := Parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return l, nil
}

func read(folder fs.FS, name string) ([]byte, error) {
	// Before it is opened, as to open a pipe may take forever.
	info, err := fs.Stat(folder, name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%w: it is not a regular file", Err)
	}
	if info.Size() > MostBytes {
		return nil, fmt.Errorf("%w: it has %d bytes, want at most %d", Err, info.Size(), MostBytes)
	}
	f, err := folder.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, MostBytes+1))
}

// kinds are those of pictures that are read, by their first bytes.
var kinds = []struct {
	mark, name string
	config     func(io.Reader) (image.Config, error)
	decode     func(io.Reader) (image.Image, error)
}{
	{"\x89PNG\r\n\x1a\n", "image/png", png.DecodeConfig, png.Decode},
	{"\xff\xd8\xff", "image/jpeg", jpeg.DecodeConfig, jpeg.Decode},
}

// Parse reads a picture. The error wraps [Err].
func Parse(data []byte) (*Logo, error) {
	if len(data) > MostBytes {
		return nil, fmt.Errorf("%w: it has more than %d bytes", Err, MostBytes)
	}
	for _, k := range kinds {
		if !bytes.HasPrefix(data, []byte(k.mark)) {
			continue
		}
		c, err := k.config(bytes.NewReader(data))
		if err != nil {
			return nil, fmt.Errorf("%w: it cannot be read: %v", Err, err)
		}
		if c.Width <= 0 || c.Height <= 0 || c.Width > mostSide || c.Height > mostSide || c.Width*c.Height > mostDots {
			return nil, fmt.Errorf("%w: it is %d by %d dots, want at most %d a side and %d in all", Err, c.Width, c.Height, mostSide, mostDots)
		}
		picture, err := k.decode(bytes.NewReader(data))
		if err != nil {
			return nil, fmt.Errorf("%w: it cannot be read: %v", Err, err)
		}
		l := &Logo{Type: k.name, Data: data}
		l.PNG, l.Width, l.Height, err = fitted(picture)
		return l, err
	}
	return nil, fmt.Errorf("%w: it is neither a PNG nor a JPEG picture", Err)
}

// fitted draws a picture on white into the room that it has on the page, and returns it
// with its size there, in millimetres.
func fitted(picture image.Image) (data []byte, width, height float64, err error) {
	const perMM = dotsPerInch / 25.4
	size := picture.Bounds().Size()
	x, y := float64(size.X), float64(size.Y)
	scale := min(Width/x, Height/y) // mm of a dot
	width, height = x*scale, y*scale
	dots := image.Rect(0, 0, min(size.X, max(1, int(width*perMM))), min(size.Y, max(1, int(height*perMM))))
	drawn := image.NewRGBA(dots)
	draw.Draw(drawn, dots, image.NewUniform(color.White), image.Point{}, draw.Src)
	xdraw.CatmullRom.Scale(drawn, dots, picture, picture.Bounds(), xdraw.Over, nil)
	var b bytes.Buffer
	if err := png.Encode(&b, drawn); err != nil {
		return nil, 0, 0, fmt.Errorf("%w: %v", Err, err)
	}
	return b.Bytes(), width, height, nil
}
