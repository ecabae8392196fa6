package show

import (
	"html"
	"os"
	"strings"
)

// The formats of a display.
const (
	textMIME     = "text/plain"
	htmlMIME     = "text/html"
	markdownMIME = "text/markdown"
	svgMIME      = "image/svg+xml"
	pngMIME      = "image/png"
)

// Bundle is one display: the same thing in several formats, by MIME type, as
// string or []byte.
type Bundle map[string]any

// Metadata marks a display as the value of the cell: clients then show it as a
// result.
var Metadata = map[string]bool{"railbook_result": true}

// Show shows each value as a display of its own. An error that is nil, and a
// value that has no parts, show nothing.
func Show(values ...any) {
	for i, v := range values {
		if v == nil && i > 0 && i == len(values)-1 {
			return // no error, behind what a call gives
		}
		if !silent(v) {
			display(bundle(v))
		}
	}
}

// Error shows an error, unless it is nil.
func Error(err error) {
	if err != nil {
		Show(err)
	}
}

// Written shows what went wrong with writing, if anything did. Nobody wants to
// know how many bytes fmt.Println has written.
func Written(_ int, err error) { Error(err) }

// silent reports whether there is nothing to see of a value.
func silent(v any) bool {
	_, none := v.(struct{})
	return none
}

func bundle(v any) (b Bundle) {
	text := Text(v)
	b = Bundle{textMIME: text}
	if isNil(v) {
		return b
	}
	// A method that fails is as good as none.
	defer func() {
		if recover() != nil {
			b = Bundle{textMIME: text}
		}
	}()
	if w, ok := v.(interface{ HTML() string }); ok {
		b[htmlMIME] = w.HTML()
	}
	if w, ok := v.(interface{ Markdown() string }); ok {
		b[markdownMIME] = w.Markdown()
	}
	if w, ok := v.(interface{ SVG() string }); ok {
		b[svgMIME] = w.SVG()
	}
	if w, ok := v.(interface{ PNG() []byte }); ok {
		b[pngMIME] = w.PNG()
	}
	if len(b) > 1 {
		return b
	}
	if _, ok := v.(error); ok {
		b[htmlMIME] = `<pre style="margin:0;color:#c0392b">` + html.EscapeString(text) + `</pre>`
	} else if table, ok := tableOf(v); ok {
		b[htmlMIME] = table
	}
	return b
}

// Send sends displays to the kernel. A program that links the kernel's own
// library sets it to one that goes through that: there must be one speaker only.
var Send = send

// display sends the bundle, or prints its text where there is no kernel.
func display(b Bundle) {
	if os.Getenv(pipeVariable) == "" {
		os.Stdout.WriteString(strings.TrimRight(b[textMIME].(string), "\n") + "\n")
		return
	}
	if err := Send(b, Metadata); err != nil {
		os.Stderr.WriteString("the value cannot be shown: " + err.Error() + "\n")
		os.Exit(1)
	}
}
