package report

import (
	"fmt"
	"os"
	"path"

	"example.com/railbook/report/attach"
	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/internal/logo"
	"example.com/railbook/sizing"
)

// ErrLogo marks a picture for the title page that cannot be used.
var ErrLogo = logo.Err

// LogoOf reads the picture that a build sheet names for the title page, a PNG or a JPEG,
// from the folder that the sheet stands in; nil for a sheet that names none. It leaves
// that folder by no way, links included. The error names the field, and wraps [ErrLogo]
// or one of the folder's.
func LogoOf(b sizing.Build, folder string) ([]byte, error) {
	if b.Job.Logo == "" {
		return nil, nil
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, fmt.Errorf("job.logo: %w", err)
	}
	defer root.Close()
	l, err := logo.Read(root.FS(), b.Job.Logo)
	if err != nil {
		return nil, fmt.Errorf("job.logo: %w", err)
	}
	return l.Data, nil
}

// setLogo takes the picture that the sheet names from what was given.
func (w *writer) setLogo(data []byte) error {
	name := w.a.Build.Job.Logo
	switch {
	case name == "" && data == nil:
		return nil
	case name == "":
		return fmt.Errorf("a logo was given, but job.logo of the sheet names none: %w", ErrLogo)
	case data == nil:
		return fmt.Errorf("job.logo: %s was not given: it is %w here; see report.LogoOf", name, ErrLogo)
	}
	var err error
	if w.logo, err = logo.Parse(data); err != nil {
		return fmt.Errorf("job.logo: %s: %w", name, err)
	}
	return nil
}

// logoFile is the logo as the report carries it.
func (w *writer) logoFile() attach.File {
	return attach.File{
		Name: path.Base(w.a.Build.Job.Logo), Type: w.logo.Type, Description: "The picture on the title page",
		Relation: attach.Source, Data: w.logo.Data,
	}
}

// letterhead writes whose report it is, and what kind of one, at the top of the title page.
func (w *writer) letterhead() {
	if l := w.logo; l != nil {
		w.doc.Row(layout.Row{Keep: true, Cells: []layout.Cell{
			{Width: page, Type: layout.Body, Pad: layout.Pad{Bottom: 3}, Image: &layout.Image{PNG: l.PNG, Width: l.Width, Height: l.Height}},
		}})
	}
	w.doc.Row(layout.Row{Rule: layout.Thick, Cells: []layout.Cell{
		{Width: page * 2 / 3, Text: w.a.Build.Job.Maker, Type: makerType, Pad: layout.Pad{Bottom: 2}},
		{Width: page - page*2/3, Text: "Fuel system build report", Type: kindType, Align: layout.Right, Pad: layout.Pad{Bottom: 2}},
	}})
}
