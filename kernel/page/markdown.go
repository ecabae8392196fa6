package page

import (
	"bytes"
	"html/template"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer/html"

	"example.com/railbook/kernel/nbformat"
)

// markdownParser reads the dialect of notebooks: CommonMark with tables,
// strikethrough, task lists and bare links. Raw HTML passes; what may not be
// in the page is taken out afterwards.
var markdownParser = goldmark.New(
	goldmark.WithExtensions(extension.GFM),
	goldmark.WithRendererOptions(html.WithUnsafe()),
)

// markdown renders the text of a markdown cell or output. Its headings are
// added to headings, unless that is nil.
func (b *builder) markdown(source string, attachments map[string]nbformat.MimeBundle, headings *[]heading) template.HTML {
	if strings.TrimSpace(source) == "" {
		return ""
	}
	var buf bytes.Buffer
	if err := markdownParser.Convert([]byte(source), &buf); err != nil {
		return element("pre", "", template.HTMLEscapeString(source))
	}
	c := cleaner{ids: b.ids, files: b.options.Files, attachments: attachments, headings: headings}
	return c.clean(buf.String()).html
}
