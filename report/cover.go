package report

import (
	"fmt"
	"strings"

	"github.com/johnfercher/maroto/v2/pkg/props"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/internal/typeface"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// The types of the cover.
var (
	makerType   = layout.Type{Size: 11, Face: typeface.Bold, Color: layout.Deep}
	kindType    = layout.Type{Size: 11, Face: typeface.Regular, Color: layout.Quiet}
	nameType    = layout.Type{Size: 25, Face: typeface.Bold, Color: layout.Ink}
	longType    = layout.Type{Size: 15, Face: typeface.Bold, Color: layout.Ink}
	summaryType = layout.Type{Size: 11, Face: typeface.Regular, Color: layout.Quiet}
	labelType   = layout.Type{Size: 8.3, Face: typeface.Regular, Color: layout.Quiet}
	statusType  = layout.Type{Size: 15, Face: typeface.Bold, Color: layout.White}
	verdictType = layout.Type{Size: 11, Face: typeface.Regular, Color: layout.White}
	numberType  = layout.Type{Size: 19, Face: typeface.Bold, Color: layout.Deep}
)

// page is the width of a page in the layout's units.
const page = 1000

// longName is the length from which the job's name is set smaller, and longNotes
// the one from which its notes move to the section on the combination.
const (
	longName  = 90
	longNotes = 280
)

// cover writes the title page.
func (w *writer) cover(titles []string) {
	d, job := w.doc, w.a.Build.Job
	d.Row(layout.Row{Rule: layout.Thick, Cells: []layout.Cell{
		{Width: page * 2 / 3, Text: job.Maker, Type: makerType, Pad: layout.Pad{Bottom: 2}},
		{Width: page - page*2/3, Text: "Fuel system build report", Type: kindType, Align: layout.Right, Pad: layout.Pad{Bottom: 2}},
	}})
	// The cover's white is part of it, also at the top.
	d.Row(layout.Row{Cells: []layout.Cell{{Width: page, Type: layout.Body, Pad: layout.Pad{Top: 12}}}})
	name := nameType
	if len([]rune(job.Name)) > longName {
		name = longType
	}
	d.Row(layout.Row{Cells: []layout.Cell{{Width: page, Text: job.Name, Type: name, Pad: layout.Pad{Bottom: 1}}}})
	d.Row(layout.Row{Cells: []layout.Cell{{Width: page, Text: tie(w.summary()), Type: summaryType, Pad: layout.Pad{Bottom: 9}}}})
	w.particulars()
	if n := len([]rune(job.Notes)); n > 0 && n <= longNotes {
		d.Space(2)
		d.Text(job.Notes, layout.Aside)
	}
	d.Space(8)
	w.verdict()
	w.headline()
	w.graveNotice()
	d.Space(9)
	d.Row(layout.Row{Keep: true, Rule: layout.Hairline, Cells: []layout.Cell{{Width: page, Text: "Contents", Type: layout.Strong, Pad: layout.Pad{Bottom: 0.8}}}})
	d.Space(1)
	d.Contents(titles)
	w.replacedNotice()
}

// summary describes the combination in a line.
func (w *writer) summary() string {
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
	add("Date", w.date.Format("2 January 2006"))
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

// verdict says in a panel whether the system carries the target.
func (w *writer) verdict() {
	status := w.a.Status()
	words := map[sizing.Status]string{
		sizing.Carries: "Carries the target",
		sizing.Thin:    "Carries the target, margin thin",
		sizing.Short:   "Falls short of the target",
	}
	if status == sizing.Short && !w.carriesTooLittle() {
		words[status] = "Carries the target, but a part falls short"
	}
	fill := map[sizing.Status]*props.Color{sizing.Carries: layout.Deep, sizing.Thin: layout.Brown, sizing.Short: layout.Red}[status]
	pad := layout.Pad{Left: 5, Right: 5}
	head, body := pad, pad
	head.Top, body.Bottom = 3.2, 3.8
	w.doc.Row(layout.Row{Keep: true, Cells: []layout.Cell{{Width: page, Text: status.Symbol() + " " + words[status], Type: statusType, Fill: fill, Pad: head}}})
	w.doc.Row(layout.Row{Keep: true, Cells: []layout.Cell{{Width: page, Text: tie(w.a.Verdict(w.sys)), Type: verdictType, Fill: fill, Pad: body}}})
}

// carriesTooLittle reports whether a part that depends on power falls short, so
// that the target itself cannot be had.
func (w *writer) carriesTooLittle() bool {
	for _, p := range w.a.Parts {
		if p.Limited && p.Status == sizing.Short {
			return true
		}
	}
	return false
}

// headline gives the three numbers that matter.
func (w *writer) headline() {
	a := w.a
	weakest := a.Weakest()
	type figure struct{ label, value, note string }
	first := figure{"The weakest part runs out at", format(w, weakest.Limit), sentence(partName(weakest))}
	if weakest.Limit == 0 {
		first.value = "any power"
	} else if over := float64(weakest.Limit/a.Power) - 1; over >= 0 {
		first.note += fmt.Sprintf(", %s above the target", quantity.Ratio(over).Percent(1))
	} else {
		first.note += fmt.Sprintf(", %s below the target", quantity.Ratio(-over).Percent(1))
	}
	duty := figure{"Injector duty at the target", a.Injection.Duty.Percent(1), a.Build.Policy.MaxDuty.Percent(0) + " allowed, dead time counted"}
	if a.Injection.Pulse == 0 {
		duty.value, duty.note = "none", "no pulse, however long, delivers fuel"
	}
	third := figure{"The pumps bring to the rail", format(w, a.Delivery.Carried), fmt.Sprintf("where %s is needed", format(w, a.Demand.Volume))}
	if a.Delivery.Sags {
		third = figure{"The fuel delivered supports", format(w, a.Delivery.Supported),
			fmt.Sprintf("the rail sags to %s over the manifold", format(w, a.Delivery.Rail.Above(a.Manifold)))}
	}
	var labels, values, notes []layout.Cell
	for i, f := range []figure{first, duty, third} {
		width := page / 3
		if i == 2 {
			width = page - 2*(page/3)
		}
		pad := layout.Pad{Left: 5, Right: 2}
		top, bottom := pad, pad
		top.Top, bottom.Bottom = 3, 3
		labels = append(labels, layout.Cell{Width: width, Text: f.label, Type: labelType, Fill: layout.Tint, Pad: top})
		values = append(values, layout.Cell{Width: width, Text: tie(f.value), Type: numberType, Fill: layout.Tint, Pad: pad})
		notes = append(notes, layout.Cell{Width: width, Text: tie(f.note), Type: labelType.In(layout.Ink), Fill: layout.Tint, Pad: bottom})
	}
	w.doc.Row(layout.Row{Keep: true, Cells: labels})
	w.doc.Row(layout.Row{Keep: true, Cells: values})
	w.doc.Row(layout.Row{Cells: notes})
}

// partName names a part by its kind and, where it has one, its name.
func partName(p sizing.Part) string {
	if p.Name == "" {
		return p.Kind.String()
	}
	return p.Kind.String() + " (" + p.Name + ")"
}

// graveNotice tells on the cover what must not be missed.
func (w *writer) graveNotice() {
	var concerns []string
	for _, x := range w.a.Warnings {
		if x.Grave {
			concerns = append(concerns, string(x.Concern))
		}
	}
	if len(concerns) == 0 {
		return
	}
	w.doc.Space(3)
	text := fmt.Sprintf("%s Read %s first. It has %s: %s.", graveMark, w.section(warningsTitle),
		plural(len(concerns), "grave warning", "grave warnings"), list(concerns))
	w.doc.Row(layout.Row{Rule: layout.Thick, Cells: []layout.Cell{{Width: page, Text: text, Type: layout.Strong, Pad: layout.Pad{Bottom: 1.5}}}})
}

// replacedNotice explains the stand-in for characters that cannot be printed,
// where the cover shows one.
func (w *writer) replacedNotice() {
	list := w.doc.Replaced()
	if len(list) == 0 {
		return
	}
	w.doc.Space(4)
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
