package page

import (
	"html/template"
	"io/fs"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"example.com/railbook/kernel/nbformat"
)

// cleaner reduces HTML from cells and outputs to what may stand in a page. It
// works on the parsed tree, so what it returns is also well formed: an element
// left open in one output cannot swallow the next.
type cleaner struct {
	ids         idSet
	files       fs.FS                          // for pictures with relative paths
	attachments map[string]nbformat.MimeBundle // of the cell
	headings    *[]heading                     // where headings are noted; may be nil

	scripts bool // a script was left out
	visible bool // something remains to be seen
}

// cleaned is the result of cleaning.
type cleaned struct {
	html             template.HTML
	scripts, visible bool
}

// clean returns the harmless part of a piece of HTML.
func (c *cleaner) clean(source string) cleaned {
	body := &html.Node{Type: html.ElementNode, DataAtom: atom.Body, Data: "body"}
	nodes, err := html.ParseFragment(strings.NewReader(source), body)
	if err != nil { // nested beyond the parser's limit
		return cleaned{element("pre", "", template.HTMLEscapeString(source)), false, true}
	}
	for _, n := range nodes {
		body.AppendChild(n)
	}
	c.children(body)
	var out strings.Builder
	for n := range body.ChildNodes() {
		if err := html.Render(&out, n); err != nil {
			return cleaned{element("pre", "", template.HTMLEscapeString(source)), false, true}
		}
	}
	return cleaned{template.HTML(strings.TrimSpace(out.String())), c.scripts, c.visible}
}

// Elements that may stay, and those that go with all they contain. Of any
// other element the content stays.
var (
	kept = words(`a abbr article aside b bdi bdo blockquote br caption cite code col colgroup dd del
		details dfn div dl dt em figcaption figure footer h1 h2 h3 h4 h5 h6 header hr i img ins kbd li
		main mark meter ol p pre progress q rp rt ruby s samp section small span strong sub summary sup
		table tbody td tfoot th thead time tr u ul var wbr`)
	dropped = words(`applet audio base embed frame frameset head iframe link math meta noembed noframes
		noscript object plaintext script select style svg template textarea title video xmp`)
)

func words(s string) map[string]bool {
	set := make(map[string]bool)
	for _, w := range strings.Fields(s) {
		set[w] = true
	}
	return set
}

// children cleans all that n contains.
func (c *cleaner) children(n *html.Node) {
	for _, child := range slices.Collect(n.ChildNodes()) {
		c.node(n, child)
	}
}

// node cleans the child n of parent, which may remove or replace it.
func (c *cleaner) node(parent, n *html.Node) {
	switch n.Type {
	case html.TextNode:
		c.visible = c.visible || strings.TrimSpace(n.Data) != ""
		return
	case html.ElementNode:
	default: // comments and the like
		parent.RemoveChild(n)
		return
	}
	switch {
	case n.Data == "img":
		c.image(parent, n)
	case n.Data == "svg":
		c.drawing(parent, n)
	case n.Data == "input":
		c.input(parent, n)
	case dropped[n.Data]:
		c.scripts = c.scripts || n.Data == "script"
		parent.RemoveChild(n)
	case !kept[n.Data] || n.Namespace != "":
		c.children(n)
		for _, child := range slices.Collect(n.ChildNodes()) {
			n.RemoveChild(child)
			parent.InsertBefore(child, n)
		}
		parent.RemoveChild(n)
	default:
		c.attributes(n)
		c.children(n)
		c.element(parent, n)
	}
}

// element finishes an element that stays.
func (c *cleaner) element(parent, n *html.Node) {
	switch n.DataAtom {
	case atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6:
		if c.headings != nil {
			c.heading(n)
		}
	case atom.Table:
		if !within(n, atom.Table) {
			scrollable(parent, n)
		}
	case atom.Hr, atom.Meter, atom.Progress:
		c.visible = true
	}
}

// heading notes a heading and gives it the id by which links find it.
func (c *cleaner) heading(n *html.Node) {
	text := strings.Join(strings.Fields(textOf(n)), " ")
	id := attribute(n, "id")
	if id == "" {
		want := headingID(text)
		if want == "" {
			want = "section"
		}
		id = c.ids.claim(want)
		n.Attr = append(n.Attr, html.Attribute{Key: "id", Val: id})
	}
	level := int(n.Data[1] - '0')
	*c.headings = append(*c.headings, heading{Level: level, ID: id, Text: text})
	if level > 1 && !within(n, atom.A) && !within(n, atom.Summary) {
		n.AppendChild(&html.Node{Type: html.ElementNode, DataAtom: atom.A, Data: "a", Attr: []html.Attribute{
			{Key: "class", Val: "rb-anchor"}, {Key: "href", Val: "#" + id}, {Key: "aria-label", Val: "Link to this section"},
		}})
	}
}

// scrollable puts a table into a box of its own, so that a wide one scrolls
// there and not with the page; the box can be reached and moved by keyboard.
func scrollable(parent, table *html.Node) {
	label := "Table"
	for n := range table.ChildNodes() {
		if n.DataAtom == atom.Caption {
			label = strings.Join(strings.Fields(textOf(n)), " ")
		}
	}
	box := &html.Node{Type: html.ElementNode, DataAtom: atom.Div, Data: "div", Attr: []html.Attribute{
		{Key: "class", Val: "rb-scroll"}, {Key: "role", Val: "region"},
		{Key: "aria-label", Val: label}, {Key: "tabindex", Val: "0"},
	}}
	parent.InsertBefore(box, table)
	parent.RemoveChild(table)
	box.AppendChild(table)
}

// input keeps of form fields only the mark of a task list, as a character.
func (c *cleaner) input(parent, n *html.Node) {
	if attribute(n, "type") == "checkbox" {
		mark := "☐"
		if slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "checked" }) {
			mark = "☑"
		}
		parent.InsertBefore(&html.Node{Type: html.TextNode, Data: mark}, n)
	}
	parent.RemoveChild(n)
}

// within reports whether n is inside an element of the kind.
func within(n *html.Node, kind atom.Atom) bool {
	for p := n.Parent; p != nil; p = p.Parent {
		if p.DataAtom == kind {
			return true
		}
	}
	return false
}

// textOf returns the text an element contains.
func textOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key && a.Namespace == "" {
			return a.Val
		}
	}
	return ""
}
