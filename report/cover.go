package report

import (
	"fmt"
	"strings"
	"time"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/internal/typeface"
)

// The types of the cover.
var (
	makerType   = layout.Type{Size: 11, Face: typeface.Bold, Color: layout.Deep}
	kindType    = layout.Type{Size: 11, Face: typeface.Regular, Color: layout.Quiet}
	nameType    = layout.Type{Size: 25, Face: typeface.Bold, Color: layout.Ink}
	longType    = layout.Type{Size: 15, Face: typeface.Bold, Color: layout.Ink}
	subjectType = layout.Type{Size: 11, Face: typeface.Regular, Color: layout.Quiet}
)

// page is the width of a page in the layout's units.
const page = 1000

// longName is the length from which the job's name is set smaller, and longNotes
// the one from which its notes move to the section on the combination.
const (
	longName  = 90
	longNotes = 280
)

// cover writes the title page, with the contents and the table of revisions.
func (w *writer) cover(titles, appendices []string) {
	d, job := w.doc, w.a.Build.Job
	d.Outline("Title page")
	w.letterhead()
	// The cover's white is part of it, also at the top.
	d.Row(layout.Row{Cells: []layout.Cell{{Width: page, Type: layout.Body, Pad: layout.Pad{Top: 14}}}})
	name := nameType
	if len([]rune(job.Name)) > longName {
		name = longType
	}
	d.Row(layout.Row{Cells: []layout.Cell{{Width: page, Text: job.Name, Type: name, Pad: layout.Pad{Bottom: 1}}}})
	d.Row(layout.Row{Cells: []layout.Cell{{Width: page, Text: tie(w.subject()), Type: subjectType, Pad: layout.Pad{Bottom: 10}}}})
	w.particulars()
	if n := len([]rune(job.Notes)); n > 0 && n <= longNotes {
		d.Space(2)
		d.Text(tie(job.Notes), layout.Aside)
	}
	w.replacedNotice()
	d.Space(10)
	d.Row(layout.Row{Keep: true, Rule: layout.Hairline, Cells: []layout.Cell{{Width: page, Text: "Contents", Type: layout.Strong, Pad: layout.Pad{Bottom: 0.8}}}})
	d.Space(1)
	d.Contents(titles, appendices...)
	d.Space(6)
	w.revisions()
}

// subject describes the combination in a line.
func (w *writer) subject() string {
	b := w.a.Build
	return join(" · ",
		format(w, w.a.Power)+" at the crank",
		b.Fuel.Blend.String(),
		plural(b.Engine.Cylinders, "cylinder", "cylinders")+", "+format(w, b.Engine.Displacement),
		b.Induction.Kind.String(),
	)
}

// particulars lists who the report is for and from, in two columns.
func (w *writer) particulars() {
	job := w.a.Build.Job
	var items [][2]string
	add := func(label, text string) {
		if strings.TrimSpace(text) != "" {
			items = append(items, [2]string{label, text})
		}
	}
	add("Customer", job.Customer)
	add("Reference", job.Reference)
	add("Made by", job.Maker)
	add("Revision", job.Revision)
	add("Engineer", job.Engineer)
	add("Date", longDate(w.date))
	const label, text = 110, 390
	pad := layout.Pad{Top: 0.7, Right: 2, Bottom: 0.7}
	for i := 0; i < len(items); i += 2 {
		var cells []layout.Cell
		for k := i; k < i+2; k++ {
			var item [2]string
			if k < len(items) {
				item = items[k]
			}
			cells = append(cells,
				layout.Cell{Width: label, Text: item[0], Type: layout.Body.In(layout.Quiet), Pad: pad},
				layout.Cell{Width: text, Text: item[1], Type: layout.Strong, Pad: pad})
		}
		w.doc.Row(layout.Row{Rule: layout.Hairline, Cells: cells})
	}
}

// longDate prints a date in words.
func longDate(d time.Time) string { return d.Format("2 January 2006") }

// revisions writes the table of revisions: that of the sheet, or this one alone.
func (w *writer) revisions() {
	job, list := w.a.Build.Job, w.a.Build.Revisions
	text := fmt.Sprintf("This is revision %s; %s says how it came to be. It replaces every earlier one.", job.Revision, w.next())
	if len(list) == 0 {
		text = fmt.Sprintf("This is revision %s, in %s; the build sheet lists no earlier one.", job.Revision, w.next())
	}
	w.doc.Lead(tie(text), layout.Body)
	t := layout.Table{Caption: "Revisions", Columns: []layout.Column{
		{Name: "Revision", Strong: true, Share: 0.12}, {Name: "Date", Share: 0.17}, {Name: "By", Share: 0.21}, {Name: "What changed", Share: 0.50},
	}}
	for _, r := range list {
		date := "–"
		if d, err := time.Parse(time.DateOnly, r.Date); err == nil {
			date = longDate(d)
		}
		t.Rows = append(t.Rows, []string{r.Mark, date, nameOr(r.By, "–"), tie(r.What)})
	}
	if len(list) == 0 {
		by := nameOr(job.Engineer, nameOr(job.Maker, "–"))
		t.Rows = append(t.Rows, []string{job.Revision, longDate(w.date), by, "This issue"})
	}
	w.put(t)
}

// replacedNotice explains the stand-in for characters that cannot be printed,
// where the cover shows one.
func (w *writer) replacedNotice() {
	list := w.doc.Replaced()
	if len(list) == 0 {
		return
	}
	w.doc.Space(2)
	w.doc.Text(standIns(list), layout.Aside)
}

// standIns says what "□" stands for.
func standIns(list []rune) string {
	const most = 12
	var codes []string
	for i, r := range list {
		if i == most {
			codes = append(codes, fmt.Sprintf("and %d more", len(list)-most))
			break
		}
		codes = append(codes, fmt.Sprintf("U+%04X", r))
	}
	return "The sign □ stands for a character that cannot be printed in the type of this report: " + strings.Join(codes, ", ") + "."
}
