package page

import (
	"cmp"
	"fmt"
	"html/template"
	"strings"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/scripts"
)

// document is what the template shows.
type document struct {
	Title    string
	Policy   string
	Style    template.HTML
	Manner   template.HTML // script of the page's own manners, before all else
	Heading  template.HTML // h1 element
	Note     string
	Contents []heading
	Failures []failure
	Cells    []cell
	Hint     string // how to get live charts, when there are charts and no scripts
	Scripts  []template.HTML
	Notices  []notice
	Events   string // address of a stream of events, or ""
}

// heading is an entry of the table of contents.
type heading struct {
	Level int // 1 to 6
	ID    string
	Text  string
}

// failure points to an error output.
type failure struct {
	Cell int
	Text string
}

// cell is one cell; one of Prose, Raw and Code is set.
type cell struct {
	N     int // place in the notebook, from 1
	Prose template.HTML
	Raw   string
	Code  *code
}

// code is a code cell.
type code struct {
	Text    template.HTML // the source, marked up
	Summary string        // first line of code that says something
	Open    bool
	Outputs []output
}

// notice is a licence of a script in the page.
type notice struct {
	Name string
	Text string
}

// builder collects the document while it goes through the notebook.
type builder struct {
	options  Options
	ids      idSet
	headings []heading
	failures []failure
	charts   int
	gl       int
	folded   bool // code comes folded
}

func newDocument(nb *nbformat.Notebook, o Options) *document {
	b := &builder{options: o, ids: idSet{}, folded: nb.HasTag(tagFold)}
	for _, id := range []string{"top", "contents", "notebook", "still-pictures"} {
		b.ids.claim(id)
	}
	for i := range nb.Cells {
		b.ids.claim(fmt.Sprintf("cell-%d", i+1))
	}
	d := &document{Style: element("style", "", asset("page.css")), Note: strings.TrimSpace(o.Note)}
	for i, c := range nb.Cells {
		if v, ok := b.cell(i+1, c); ok {
			d.Cells = append(d.Cells, v)
		}
	}
	d.Failures = b.failures
	d.Contents = contents(b.takeTitle(d))
	b.addScripts(d)
	return d
}

func (b *builder) cell(n int, c *nbformat.Cell) (cell, bool) {
	switch c.Type {
	case nbformat.Markdown:
		prose := b.markdown(c.Source, c.Attachments, &b.headings)
		return cell{N: n, Prose: prose}, prose != ""
	case nbformat.Code:
		v := b.code(n, c)
		return cell{N: n, Code: v}, v.Text != "" || len(v.Outputs) > 0
	}
	return cell{N: n, Raw: c.Source}, strings.TrimSpace(c.Source) != ""
}

const (
	tagFold  = "hide-input"       // of a cell, or a notebook, whose code comes folded
	tagFails = "raises-exception" // of a cell that is meant to fail
)

func (b *builder) code(n int, c *nbformat.Cell) *code {
	v := &code{Text: marked(strings.TrimSpace(c.Source)), Summary: summary(c.Source), Open: !b.folded && !c.HasTag(tagFold) && !sourceHidden(c)}
	for _, o := range merged(c.Outputs) {
		shown, ok := b.output(n, c, o)
		if !ok {
			continue
		}
		v.Outputs = append(v.Outputs, shown)
		if shown.Error != nil {
			v.Open = true
		}
		if shown.Error != nil && !shown.Error.Meant {
			b.failures = append(b.failures, failure{n, shown.Error.Heading})
		}
	}
	return v
}

// sourceHidden reports whether the cell's code was folded in Jupyter.
func sourceHidden(c *nbformat.Cell) bool {
	var jupyter struct {
		SourceHidden bool `json:"source_hidden"`
	}
	ok, err := c.Metadata.Get("jupyter", &jupyter)
	return ok && err == nil && jupyter.SourceHidden
}

// summary returns the first line of the source that is neither empty nor a
// comment nor a kernel command, or else the first that is not empty.
func summary(source string) string {
	var first string
	for line := range strings.Lines(source) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		first = cmp.Or(first, line)
		if !strings.HasPrefix(line, "//") && !strings.HasPrefix(line, "%") && !strings.HasPrefix(line, "!") {
			return line
		}
	}
	return first
}

// takeTitle fills in the title and the heading of the page and returns the
// headings that remain for the contents. If the first cell begins with a
// first-level heading, that becomes the heading of the page.
func (b *builder) takeTitle(d *document) []heading {
	rest := b.headings
	if len(rest) > 0 {
		d.Title = rest[0].Text
	}
	d.Title = cmp.Or(b.options.Title, d.Title, "Notebook")
	if len(d.Cells) > 0 && strings.HasPrefix(string(d.Cells[0].Prose), "<h1") {
		first := &d.Cells[0]
		h1, after, _ := strings.Cut(string(first.Prose), "</h1>")
		d.Heading, first.Prose = template.HTML(h1+"</h1>"), template.HTML(strings.TrimSpace(after))
		if first.Prose == "" {
			d.Cells = d.Cells[1:]
		}
		return rest[1:]
	}
	d.Heading = element("h1", "", template.HTMLEscapeString(d.Title))
	return rest
}

// contents lists the headings of the first three levels, unless they are too
// few for a list to be of use.
func contents(headings []heading) []heading {
	var out []heading
	for _, h := range headings {
		if h.Level <= 3 && h.Text != "" {
			out = append(out, h)
		}
	}
	if len(out) < 3 {
		return nil
	}
	return out
}

// addScripts puts the page's scripts into it, and those of the charts or the hint
// how to get them, and states the policy that admits them.
func (b *builder) addScripts(d *document) {
	manner := scriptText(asset("page.js"))
	d.Manner = script(manner)
	var texts []string
	bundle := b.options.Scripts
	switch {
	case b.charts == 0:
	case bundle == nil:
		d.Hint = strings.TrimSuffix(cmp.Or(b.options.ScriptsHint, scripts.Hint), ".")
	default:
		libraries := []scripts.Script{bundle.ECharts}
		if b.gl > 0 {
			libraries = append(libraries, bundle.GL)
		}
		for _, s := range libraries {
			texts = append(texts, scriptText(isolated(s.Source)))
			for _, n := range s.Notices {
				d.Notices = append(d.Notices, notice{fmt.Sprintf("%s %s, %s", s.Name, s.Version, n.Name), n.Text})
			}
		}
		texts = append(texts, scriptText(asset("charts.js")))
	}
	if b.options.Events != "" {
		texts = append(texts, scriptText(asset("events.js")))
		d.Events = b.options.Events
	}
	for _, text := range texts {
		d.Scripts = append(d.Scripts, script(text))
	}
	d.Policy = policy(append(texts, manner), b.gl > 0 && bundle != nil, d.Events != "")
}
