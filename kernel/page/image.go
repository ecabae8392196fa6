package page

import (
	"html/template"
	"io/fs"
	"net/url"
	"path"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"example.com/railbook/kernel/nbformat"
)

// image replaces an img element by one whose picture is in the page, or by
// words if the picture cannot be had without a request.
func (c *cleaner) image(parent, n *html.Node) {
	c.visible = true
	src := strings.TrimSpace(attribute(n, "src"))
	if found := c.find(src); found != "" {
		c.attributes(n)
		n.Attr = slices.DeleteFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "href" })
		n.Attr = append(n.Attr, html.Attribute{Key: "src", Val: string(found)})
		if !slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "alt" }) {
			n.Attr = append(n.Attr, html.Attribute{Key: "alt", Val: path.Base(src)})
		}
		return
	}
	what := strings.TrimSpace(attribute(n, "alt"))
	if what == "" {
		what = path.Base(src)
	}
	shown := &html.Node{Type: html.TextNode, Data: "[picture not included: " + what + "]"}
	if u, err := url.Parse(src); err == nil && (u.Scheme == "http" || u.Scheme == "https") && !within(n, atom.A) {
		link := &html.Node{Type: html.ElementNode, DataAtom: atom.A, Data: "a", Attr: []html.Attribute{
			{Key: "href", Val: src}, {Key: "rel", Val: "noreferrer"},
		}}
		link.AppendChild(shown)
		shown = link
	}
	parent.InsertBefore(shown, n)
	parent.RemoveChild(n)
}

// pictureTypes are the formats every current browser shows, by file extension.
var pictureTypes = map[string]string{
	".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg",
	".gif": "image/gif", ".webp": "image/webp", ".svg": "image/svg+xml",
}

// find returns the picture as a data URL, or "" if it is not at hand.
func (c *cleaner) find(src string) template.URL {
	if name, ok := strings.CutPrefix(src, "attachment:"); ok {
		return c.attached(name)
	}
	if rest, ok := strings.CutPrefix(src, "data:"); ok {
		for _, mime := range pictureTypes {
			if strings.HasPrefix(rest, mime+";") || strings.HasPrefix(rest, mime+",") {
				return template.URL(src)
			}
		}
		return ""
	}
	u, err := url.Parse(src)
	if c.files == nil || err != nil || u.Scheme != "" || u.Host != "" {
		return ""
	}
	name := path.Clean(u.Path)
	mime := pictureTypes[strings.ToLower(path.Ext(name))]
	if mime == "" || !fs.ValidPath(name) {
		return ""
	}
	raw, err := fs.ReadFile(c.files, name)
	if err != nil {
		return ""
	}
	return dataURL(mime, raw)
}

// attached returns an attachment of the cell.
func (c *cleaner) attached(name string) template.URL {
	if decoded, err := url.PathUnescape(name); err == nil {
		name = decoded
	}
	o := &nbformat.Output{Data: c.attachments[name]}
	for _, mime := range []string{"image/png", "image/jpeg", "image/gif", "image/webp"} {
		if text, ok := o.Data.Text(mime); ok {
			return template.URL("data:" + mime + ";base64," + strings.Join(strings.Fields(text), ""))
		}
	}
	if text, ok := o.Data.Text("image/svg+xml"); ok {
		return dataURL("image/svg+xml", []byte(text))
	}
	return ""
}

// drawing turns an svg element into a picture, as which it can run no script
// and load nothing.
func (c *cleaner) drawing(parent, n *html.Node) {
	c.visible = true
	shown := &html.Node{Type: html.TextNode, Data: "[drawing not included]"}
	if p := vectorPicture(standalone(n)); p != nil {
		shown = &html.Node{Type: html.ElementNode, DataAtom: atom.Img, Data: "img", Attr: []html.Attribute{
			{Key: "src", Val: string(p.Source)}, {Key: "alt", Val: drawingTitle(n)},
		}}
	}
	parent.InsertBefore(shown, n)
	parent.RemoveChild(n)
}

// standalone returns the svg element as a document, with the namespaces that
// HTML lets it do without.
func standalone(n *html.Node) string {
	for _, ns := range []html.Attribute{
		{Key: "xmlns", Val: "http://www.w3.org/2000/svg"},
		{Namespace: "xmlns", Key: "xlink", Val: "http://www.w3.org/1999/xlink"},
	} {
		same := func(a html.Attribute) bool {
			return a.Key == ns.Key || a.Key == "xmlns:"+ns.Key
		}
		if !slices.ContainsFunc(n.Attr, same) {
			n.Attr = append(n.Attr, ns)
		}
	}
	var b strings.Builder
	if err := html.Render(&b, n); err != nil {
		return ""
	}
	return b.String()
}

// drawingTitle returns what a drawing says of itself.
func drawingTitle(n *html.Node) string {
	if label := attribute(n, "aria-label"); label != "" {
		return label
	}
	for d := range n.Descendants() {
		if text := strings.TrimSpace(textOf(d)); d.Data == "title" && text != "" {
			return text
		}
	}
	return "Drawing"
}
