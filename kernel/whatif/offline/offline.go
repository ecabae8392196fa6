// Package offline writes the what-if page of a build: one HTML file that needs no network
// and no server, with the panel of package front and package whatif compiled to
// WebAssembly behind it.
//
// The content security policy of the page forbids every request and admits no script but
// its own, by their digests.
package offline

import (
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"html/template"
	"io"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/kernel/whatif/front"
	"example.com/railbook/kernel/whatif/program"
	"example.com/railbook/sizing"
)

//go:embed page.html.tmpl
var pageText string

//go:embed page.js
var pageScript string

//go:embed page.css
var pageStyle string

var pageTemplate = template.Must(template.New("page").Parse(pageText))

// document is what the template shows.
type document struct {
	Title   string
	Policy  string
	Style   template.HTML
	Static  template.HTML
	Panel   template.HTML // the description of the panel, as data
	Script  template.HTML
	Build   template.HTML // the build, as data
	Program template.HTML // as data
	Runtime template.HTML
	Notices []program.Notice
}

// Write writes the page of a build with the program in it. The same build and program give
// the same bytes. The page holds the build without the notes of its job, which are the
// maker's own. The error is that of [whatif.New], or w's.
func Write(w io.Writer, b sizing.Build, p *program.Program) error {
	b.Job.Notes = ""
	panel, err := whatif.New(b)
	if err != nil {
		return err
	}
	d := panel.Describe()
	description, err := json.Marshal(d)
	if err != nil {
		return err
	}
	build, err := json.Marshal(b)
	if err != nil {
		return err
	}
	style := front.Style() + pageStyle
	script, runtime := scriptText(front.Script()+pageScript), scriptText(p.Runtime)
	return pageTemplate.Execute(w, document{
		Title:   d.Title,
		Policy:  policy([]string{script, runtime}, style),
		Style:   element("style", "", style),
		Static:  template.HTML(front.Static(d)),
		Panel:   data("panel", "application/json", string(description)),
		Script:  element("script", "", script),
		Build:   data("build", "application/json", string(build)),
		Program: data("program", "text/plain", base64.StdEncoding.EncodeToString(p.Wasm)),
		Runtime: element("script", "", runtime),
		Notices: p.Notices,
	})
}
