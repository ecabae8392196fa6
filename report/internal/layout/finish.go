package layout

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"example.com/railbook/report/internal/pdffile"
	"example.com/railbook/report/internal/typeface"
)

// finish completes the file that the PDF library wrote: its outline and links, what it
// says of itself, and the names of its fonts. It is written anew as one revision, so that
// what is appended to it later stands by itself.
func (d *Doc) finish(data []byte, b *bearings) ([]byte, error) {
	f, err := pdffile.Open(data)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDrawing, err)
	}
	u, err := f.Update()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDrawing, err)
	}
	for _, step := range []func(*pdffile.File, *pdffile.Update) error{
		d.describe, nameFonts, d.navigator(b).add,
	} {
		if err := step(f, u); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrDrawing, err)
		}
	}
	if data, err = u.Whole(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDrawing, err)
	}
	return data, nil
}

// describe writes what the document is into the file's information (ISO 32000-1, section
// 14.3.3). Any text can stand there, whatever the fonts can print.
func (d *Doc) describe(f *pdffile.File, u *pdffile.Update) error {
	info, err := f.Dict(f.Trailer["Info"])
	if err != nil {
		return err
	}
	r, ok := f.Trailer["Info"].(pdffile.Ref)
	if !ok || info == nil {
		return fmt.Errorf("%w: it does not say what it is", pdffile.ErrFormat)
	}
	for name, text := range map[pdffile.Name]string{
		"Title": d.setup.Title, "Author": d.setup.Author, "Subject": d.setup.Subject, "Creator": d.setup.Creator,
	} {
		if text = pdffile.Line(text); text != "" {
			info[name] = pdffile.Encode(text)
		}
	}
	u.Set(r, info)
	return nil
}

// nameFonts gives the fonts the names that fonts of a part of their characters have: six
// capitals, which are others for other parts, before their own (section 9.6.4).
func nameFonts(f *pdffile.File, u *pdffile.Update) error {
	return f.Each(func(r pdffile.Ref, o pdffile.Object) error {
		font, ok := o.(pdffile.Dict)
		if !ok || font["Subtype"] != pdffile.Name("Type0") {
			return nil
		}
		below, err := f.Array(font["DescendantFonts"])
		if err != nil || len(below) != 1 {
			return fmt.Errorf("%w: a font without its characters: %v", pdffile.ErrFormat, err)
		}
		characters, err := f.Dict(below[0])
		if err != nil {
			return err
		}
		about, err := f.Dict(characters["FontDescriptor"])
		if err != nil {
			return err
		}
		file, err := f.Resolve(about["FontFile2"])
		if err != nil {
			return err
		}
		glyphs, ok := file.(*pdffile.Stream)
		if !ok {
			return fmt.Errorf("%w: a font that is not in the file", pdffile.ErrFormat)
		}
		own, _ := font["BaseFont"].(pdffile.Name)
		name := pdffile.Name(tag(glyphs.Data) + "+" + styleOf(own).PostScript())
		font["BaseFont"], characters["BaseFont"], about["FontName"] = name, name, name
		for r, d := range map[pdffile.Object]pdffile.Dict{r: font, below[0]: characters, characters["FontDescriptor"]: about} {
			ref, ok := r.(pdffile.Ref)
			if !ok {
				return fmt.Errorf("%w: a font in pieces", pdffile.ErrFormat)
			}
			u.Set(ref, d)
		}
		return nil
	})
}

// styleOf returns the style that the PDF library named a font after.
func styleOf(name pdffile.Name) typeface.Style {
	switch {
	case strings.HasSuffix(string(name), "B"):
		return typeface.Bold
	case strings.HasSuffix(string(name), "I"):
		return typeface.Oblique
	}
	return typeface.Regular
}

// tag returns six capitals that follow from the bytes of a font.
func tag(data []byte) string {
	sum := sha256.Sum256(data)
	b := make([]byte, 6)
	for i := range b {
		b[i] = 'A' + sum[i]%26
	}
	return string(b)
}
