package page

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"html/template"
	"strings"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page/chart"
)

// output is one output of a code cell; one of its parts is set, Note apart.
type output struct {
	HTML    template.HTML
	Text    string
	Stderr  string
	Picture *picture
	Chart   *figure
	Error   *errorView
	Note    string // what could not be shown, and why
}

// errorView is an error output.
type errorView struct {
	Heading   string
	Traceback string
	Meant     bool // the cell is tagged as one that fails
}

// merged joins neighbouring texts of the same stream, which arrive in pieces.
func merged(outputs []*nbformat.Output) []*nbformat.Output {
	var out []*nbformat.Output
	for _, o := range outputs {
		if n := len(out); n > 0 && o.Type == nbformat.Stream && out[n-1].Type == nbformat.Stream && out[n-1].Name == o.Name {
			joined := *out[n-1]
			joined.Text += o.Text
			out[n-1] = &joined
			continue
		}
		out = append(out, o)
	}
	return out
}

// output renders one output of cell n; ok is false if there is nothing to see.
func (b *builder) output(n int, c *nbformat.Cell, o *nbformat.Output) (v output, ok bool) {
	switch o.Type {
	case nbformat.Stream:
		text := strings.TrimRight(plain(o.Text), "\n")
		if o.Name == "stderr" {
			return output{Stderr: text}, text != ""
		}
		return output{Text: text}, text != ""
	case nbformat.Error:
		return output{Error: newErrorView(n, o, c.HasTag(tagFails) && !neverMeant[o.EName])}, true
	case nbformat.DisplayData, nbformat.ExecuteResult:
		return b.bundle(n, o)
	}
	return output{Note: fmt.Sprintf("An output of type %q is not shown.", o.Type)}, true
}

// neverMeant are the names a run gives to errors that are not what a cell's tag
// asks for: that it did not fail, or that something else came in between.
var neverMeant = map[string]bool{"expected a failure": true, "timeout": true, "kernel died": true, "no cell kernel": true, "setup failed": true, "stopped": true}

func newErrorView(n int, o *nbformat.Output, meant bool) *errorView {
	name, value := plain(o.EName), plain(o.EValue)
	what := strings.Join(strings.Fields(name+": "+value), " ")
	if name == "" || strings.HasPrefix(value, name) {
		what = strings.Join(strings.Fields(value), " ")
	}
	traceback := strings.TrimRight(plain(strings.Join(o.Traceback, "\n")), "\n")
	if first, rest, _ := strings.Cut(traceback, "\n"); strings.Join(strings.Fields(first), " ") == what {
		traceback = rest // it has been said
	}
	heading := "Error in cell %d: %s"
	if meant {
		heading = "Cell %d fails, as it should: %s"
	}
	return &errorView{
		Meant:     meant,
		Heading:   fmt.Sprintf(heading, n, cmp.Or(what, "no message")),
		Traceback: traceback,
	}
}

// bundle renders the richest representation it can show of a display.
func (b *builder) bundle(n int, o *nbformat.Output) (output, bool) {
	if raw, ok := o.Data[chart.MIME]; ok {
		return b.chart(raw, o)
	}
	note := ""
	if text, ok := o.Data.Text("text/html"); ok {
		c := cleaner{ids: b.ids}
		got := c.clean(text)
		if got.scripts {
			note = "A script in this output was left out: the page runs only its own."
		}
		if got.visible {
			return output{HTML: got.html, Note: note}, true
		}
	}
	if p := b.picture(o); p != nil {
		p.Alt = cmp.Or(p.Alt, fmt.Sprintf("Picture from cell %d", n))
		return output{Picture: p, Note: note}, true
	}
	if text, ok := o.Data.Text("text/markdown"); ok {
		return output{HTML: b.markdown(text, nil, nil), Note: note}, true
	}
	if raw, ok := o.Data["application/json"]; ok {
		var buf bytes.Buffer
		if json.Indent(&buf, raw, "", "  ") == nil {
			return output{Text: buf.String(), Note: note}, true
		}
	}
	for _, mime := range []string{"text/latex", "text/plain"} {
		if text, ok := o.Data.Text(mime); ok && strings.TrimSpace(text) != "" {
			return output{Text: strings.Trim(plain(text), "\n"), Note: note}, true
		}
	}
	if note != "" {
		return output{Note: note}, true
	}
	return unshown(o.Data)
}

// unshown names the formats of an output that has none the page can show. An
// output with only an empty text, as kernels send to clear a place, is passed
// over.
func unshown(data nbformat.MimeBundle) (output, bool) {
	var types []string
	for _, t := range data.Types() {
		if t != "text/html" && t != "text/plain" && t != "text/latex" {
			types = append(types, t)
		}
	}
	if len(types) == 0 {
		return output{}, false
	}
	return output{Note: fmt.Sprintf("This output cannot be shown here (%s).", strings.Join(types, ", "))}, true
}
