// Package page renders a notebook as one HTML file to read, print or hand on.
//
// The page is complete in itself: style, pictures and scripts are inside it,
// and its content security policy forbids every request. It runs no script but
// its own: what cells and outputs bring along is reduced to harmless HTML, and
// the policy admits only scripts whose digest it names. Without scripts all of
// its text and pictures are there.
//
// The code of a cell is shown, and can be folded; it comes folded if the cell's
// tag hide-input, or that of the whole notebook, says so.
//
// Charts appear as still pictures. Where the page carries the chart scripts
// and the browser can draw, a live chart takes a picture's place once it has
// been drawn, so there is never an empty box; print always has the picture.
package page

import (
	"embed"
	"html/template"
	"io"
	"io/fs"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/scripts"
)

// Options adjusts a page. The zero value is usable.
type Options struct {
	// Title is the page's title. If it is empty the notebook's first heading
	// takes its place.
	Title string
	// Note is a line below the heading, such as what the notebook was run with.
	Note string
	// Events is the address, on the server the page comes from, of a stream of
	// server-sent events. The page then says at its foot what an event of the
	// type "state" tells, and loads itself again at one of the type "page". It
	// is for a page that is looked at while it is being written, and makes no
	// other request.
	Events string
	// Scripts draw the live charts; nil leaves the still pictures. They are
	// put into the page only if the notebook has charts that need them.
	Scripts *scripts.Bundle
	// ScriptsHint says, under a page with charts and no Scripts, how to get
	// live ones. If it is empty [scripts.Hint] is used.
	ScriptsHint string
	// Files holds the pictures that markdown cells name by relative paths,
	// usually the notebook's folder; nil leaves such pictures out.
	Files fs.FS
}

//go:embed page.html.tmpl page.css page.js charts.js events.js
var assets embed.FS

var pageTemplate = template.Must(template.ParseFS(assets, "page.html.tmpl"))

// Render writes the notebook as an HTML document. The same notebook and
// options give the same bytes. Content it cannot show, such as an output in an
// unknown format, is named in its place and is no error; the error is w's.
func Render(w io.Writer, nb *nbformat.Notebook, o Options) error {
	return pageTemplate.Execute(w, newDocument(nb, o))
}

// asset returns an embedded file.
func asset(name string) string {
	b, err := assets.ReadFile(name)
	if err != nil {
		panic("page: " + err.Error()) // the file is named in the embed line
	}
	return string(b)
}
