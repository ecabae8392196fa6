package page

import (
	"cmp"
	"encoding/json"
	"fmt"
	"html/template"
	"strings"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page/chart"
)

// figure is a chart: a still picture and, if the page has the scripts, the
// data from which a live one is drawn.
type figure struct {
	ID      string // of the element
	Name    string // the chart's own
	Title   string
	Alt     string
	Height  int
	GL      bool
	Picture *picture      // nil if the output brings none
	Data    template.HTML // the spec, or "" if there will be no live chart
	Note    string        // why there will be none
	Hint    bool          // the foot of the page says how to get it
	Layers  *layers       // nil for a chart of one layer
}

// layers is the slider of a chart with layers.
type layers struct {
	ID    string // of the slider's element
	Name  string // what it changes
	First string // label of the layer that is shown first, that of the still picture
	Start int
	Last  int
}

// chart renders a live chart. A chart that makes no sense is shown by what
// else the output brings.
func (b *builder) chart(raw json.RawMessage, o *nbformat.Output) (output, bool) {
	text, _ := o.Data.Text("text/plain")
	f := &figure{Picture: b.picture(o), Alt: strings.TrimSpace(plain(text))}
	spec, err := chart.Parse(raw)
	if err != nil {
		f.ID = b.ids.claim(chartID("unreadable"))
		f.Alt = cmp.Or(f.Alt, "A chart that could not be read.")
		f.Note = fmt.Sprintf("Still picture: the live chart could not be read (%v).", err)
	} else {
		f.ID, f.Name = b.ids.claim(chartID(spec.ID)), spec.ID
		f.Title, f.Height, f.GL = spec.Title, spec.Height, spec.GL
		f.Alt = cmp.Or(spec.Alt, f.Alt, spec.Title, "A chart without a description.")
		if l := spec.Layers; l != nil {
			f.Layers = &layers{ID: b.ids.claim(f.ID + "-layer"), Name: l.Name, First: l.Labels[l.Start], Start: l.Start, Last: len(l.Labels) - 1}
		}
		b.charts++
		if spec.GL {
			b.gl++
		}
		if b.options.Scripts != nil {
			f.Data = data("rb-data", encoded(spec))
		} else {
			f.Note, f.Hint = "Still picture.", true
		}
	}
	if f.Picture != nil {
		f.Picture.Alt = f.Alt
	}
	return output{Chart: f}, true
}

// encoded returns the spec's JSON, with <, > and & and JavaScript's two line
// separators escaped.
func encoded(spec *chart.Spec) []byte {
	raw, err := json.Marshal(spec)
	if err != nil {
		return []byte("null") // not reached: the spec came from JSON
	}
	return raw
}
