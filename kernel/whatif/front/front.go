// Package front is the what-if panel as a reader sees it: plain JavaScript and a style
// sheet, without any library, and the same panel in words and tables where no script runs.
//
// The JavaScript sets up a panel from a [whatif.Description] and asks an engine for a
// [whatif.State] at every move. What the engine is does not matter to it: [Fragment] makes
// one of a comm for a cell of a notebook, package offline one of a program in the page.
package front

import (
	_ "embed"
	"encoding/json"
	"html"
	"strings"

	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

//go:embed draw.js
var drawScript string

//go:embed panel.js
var panelScript string

//go:embed comm.js
var commScript string

//go:embed panel.css
var style string

// Script returns the JavaScript of the panel. It defines railbookPanel, which panel.js
// describes, and needs nothing of the page around it.
func Script() string { return drawScript + panelScript }

// Style returns the style sheet of the panel. It touches nothing outside elements of the
// class rbw.
func Style() string { return style }

// Cell says what a panel in a cell of a notebook is.
type Cell struct {
	ID     string // of its element; no other in the notebook has it
	Target string // of the comm that answers whatif.Request with whatif.Reply
	// Opening is the data that the comm is opened with, an object in JSON; nil for an
	// empty one.
	Opening json.RawMessage
}

// Fragment returns the panel for a cell of the classic Jupyter notebook, as HTML with its
// style and script. The script opens a comm to the target and sends every setting as a
// [whatif.Request] as data; the process behind it answers with [whatif.Panel.Handle].
// Where no script runs, as in an exported page, what [Static] says stays.
func Fragment(d whatif.Description, c Cell) (string, error) {
	if c.Opening == nil {
		c.Opening = json.RawMessage("{}")
	}
	data, err := json.Marshal(struct {
		ID          string             `json:"id"`
		Target      string             `json:"target"`
		Opening     json.RawMessage    `json:"opening"`
		Description whatif.Description `json:"description"`
	}{c.ID, c.Target, c.Opening, d})
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString(`<div id="` + html.EscapeString(c.ID) + `">` + Static(d) + "</div>\n<style>\n" + style + "</style>\n<script>(() => {\n")
	b.WriteString(drawScript + panelScript + commScript)
	// JSON has <, > and & escaped and so cannot end the script.
	b.WriteString("const cell = " + string(data) + ";\n")
	b.WriteString(`const root = document.getElementById(cell.id);
try {
  railbookPanel(root, cell.description, railbookComm(cell.target, cell.opening), {level: 3});
} catch (error) {
  root.prepend('There are no live sliders here: ' + error.message + '.');
}
})();</script>
`)
	return b.String(), nil
}

// Static returns the sheet's own state in words and tables, for readers without scripts:
// verdict, parts, demand, what to know, and the caution. The classes are those that
// package markup names.
func Static(d whatif.Description) string {
	s := d.Start
	var b strings.Builder
	if s.Refused != "" {
		b.WriteString(markup.Verdict("No answer: " + s.Refused))
	} else {
		b.WriteString(markup.Verdict(s.Verdict) + "\n" + markup.Table(partsTable(s)) + "\n" + markup.Table(demandTable(s)) + "\n")
	}
	for _, w := range s.Warnings {
		if w.Grave {
			b.WriteString(markup.Caution(w.Text) + "\n")
		} else {
			b.WriteString(markup.Note(w.Text) + "\n")
		}
	}
	b.WriteString(markup.Caution(d.Caution))
	return b.String()
}

func partsTable(s whatif.State) sizing.Table {
	t := sizing.Table{
		Caption: "Parts and margins at " + both(s.Power) + " on " + s.Fuel,
		Columns: []sizing.Column{
			{Name: "Part"}, {Name: "Can carry", Numeric: true}, {Name: "Has to carry", Numeric: true},
			{Name: "Margin", Numeric: true}, {Name: "Wanted", Numeric: true}, {Name: "Runs out at", Numeric: true}, {Name: "Status"},
		},
	}
	for _, p := range s.Parts {
		t.Rows = append(t.Rows, []string{p.Title, both(p.Can), both(p.Has), p.Margin, p.Wanted, both(p.Limit), p.Symbol + " " + p.Status})
		var status sizing.Status
		if status.UnmarshalText([]byte(p.Status)) == nil {
			t.Status = append(t.Status, status)
		}
	}
	return t
}

func demandTable(s whatif.State) sizing.Table {
	t := sizing.Table{
		Caption: "Fuel demand",
		Columns: []sizing.Column{{Name: "Route"}, {Name: "Mass flow", Numeric: true}, {Name: "Volume flow", Numeric: true}, {Name: ""}},
	}
	for _, r := range s.Demand {
		t.Rows = append(t.Rows, []string{r.Name, both(r.Mass), both(r.Volume), r.Note})
	}
	return t
}

func both(a whatif.Amount) string {
	if a.Other == "" {
		return a.Text
	}
	return a.Text + " (" + a.Other + ")"
}
