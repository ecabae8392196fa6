package page

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"html/template"
	"image"
	_ "image/jpeg" // decoders for the sizes of pictures
	_ "image/png"
	"io"
	"strings"

	"example.com/railbook/kernel/nbformat"
)

// picture is a still picture that is part of the page.
type picture struct {
	Source        template.URL // a data URL
	Alt           string
	Width, Height int // in CSS pixels; 0 if not known
}

// picture returns the best picture of an output, or nil if it has none that is
// sound. The alternative text is the output's plain text, if that is a
// sentence rather than a type name.
func (b *builder) picture(o *nbformat.Output) *picture {
	var p *picture
	if text, ok := o.Data.Text("image/svg+xml"); ok {
		p = vectorPicture(text)
	}
	for _, mime := range []string{"image/png", "image/jpeg"} {
		if text, ok := o.Data.Text(mime); ok && p == nil {
			if p = rasterPicture(mime, text); p != nil {
				p.scale(o.Metadata, mime)
			}
		}
	}
	if p == nil {
		return nil
	}
	if text, ok := o.Data.Text("text/plain"); ok && !strings.HasPrefix(text, "<") {
		p.Alt = strings.TrimSpace(plain(text))
	}
	return p
}

// rasterPicture returns the picture in the base64 text, or nil if it is not a
// picture of the type.
func rasterPicture(mime, text string) *picture {
	raw, err := base64.StdEncoding.DecodeString(strings.Join(strings.Fields(text), ""))
	if err != nil {
		return nil
	}
	c, format, err := image.DecodeConfig(bytes.NewReader(raw))
	if err != nil || "image/"+format != mime {
		return nil
	}
	return &picture{Source: dataURL(mime, raw), Width: c.Width, Height: c.Height}
}

// vectorPicture returns the SVG document, or nil if it is not one. Shown as a
// picture, it can run no script and load nothing.
func vectorPicture(text string) *picture {
	d := xml.NewDecoder(strings.NewReader(text))
	root := ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil
		}
		if start, ok := token.(xml.StartElement); ok && root == "" {
			root = start.Name.Local
			if start.Name.Space != "http://www.w3.org/2000/svg" {
				return nil
			}
		}
	}
	if root != "svg" {
		return nil
	}
	return &picture{Source: dataURL("image/svg+xml", []byte(text))}
}

// scale applies the size in CSS pixels that the output's metadata may give for
// a picture of higher resolution.
func (p *picture) scale(m nbformat.Metadata, mime string) {
	var size struct{ Width, Height float64 }
	if ok, err := m.Get(mime, &size); !ok || err != nil {
		return
	}
	w, h := float64(p.Width), float64(p.Height)
	if size.Width < 1 && size.Height < 1 || size.Width > 1e5 || size.Height > 1e5 || w < 1 || h < 1 {
		return
	}
	if size.Width < 1 {
		size.Width = size.Height * w / h
	}
	if size.Height < 1 {
		size.Height = size.Width * h / w
	}
	p.Width, p.Height = int(size.Width+0.5), int(size.Height+0.5)
}

func dataURL(mime string, raw []byte) template.URL {
	return template.URL("data:" + mime + ";base64," + base64.StdEncoding.EncodeToString(raw))
}
