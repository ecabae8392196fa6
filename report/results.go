package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
)

// parts writes the section on parts and margins.
func (w *writer) parts() {
	a := w.a
	text := fmt.Sprintf("Table %d sets what each part can carry against what it has to carry at %s, both as fuel flow by volume at the rail. ",
		w.doc.NextTable(), format(w, a.Power)) +
		"The status is ● carries where the demand is met with the margin wanted, ◐ thin where the demand is met but not the margin, and ○ short where the demand is not met."
	if list := w.plates.headroom; len(list) > 0 {
		text += fmt.Sprintf(" Figure %d shows the power at which each runs out.", list[0].number)
	}
	w.text(text)
	w.table(a.MarginTable(w.sys))
	w.show(w.plates.headroom)
}

// Marks in front of warnings. They differ in shape.
const (
	graveMark   = "▲"
	cautionMark = "△"
)

// warnings writes the section on warnings, grave ones first.
func (w *writer) warnings() {
	var grave, others []sizing.Warning
	for _, x := range w.a.Warnings {
		if x.Grave {
			grave = append(grave, x)
		} else {
			others = append(others, x)
		}
	}
	if len(grave)+len(others) == 0 {
		w.text("The assessment gave no warning. That is no promise: " + w.section(limitsTitle) + " says what it does not look at.")
		return
	}
	if len(grave) > 0 {
		w.text("Grave warnings concern the safety of persons or of the engine and come first.")
	}
	for _, x := range append(grave, others...) {
		w.warning(x)
	}
}

func (w *writer) warning(x sizing.Warning) {
	const mark = 150
	head, fill := cautionMark+" Caution", layout.Tint
	typ := layout.Strong
	if x.Grave {
		head, fill = graveMark+" GRAVE", layout.Red
		typ = layout.Strong.In(layout.White)
	}
	pad := layout.Pad{Left: 3, Top: 2, Right: 3, Bottom: 2}
	w.doc.Row(layout.Row{Cells: []layout.Cell{
		{Width: mark, Text: head, Type: typ, Fill: fill, Pad: pad},
		{Width: page - mark, Text: sentence(string(x.Concern)) + ". " + tie(x.Text), Type: layout.Body, Fill: layout.Tint, Pad: pad},
	}})
	w.doc.Space(1.5)
}

// inputs writes the section on the combination.
func (w *writer) inputs() {
	job := w.a.Build.Job
	w.text("This is the build sheet as assessed, with the defaults of " + w.section(assumptionsTitle) + " filled in. Every number in this report follows from it.")
	if len([]rune(job.Notes)) > longNotes {
		w.doc.Heading("Notes on the job")
		w.text(job.Notes)
	}
	t := w.a.InputTable(w.sys)
	for _, row := range t.Rows {
		for i := range row {
			// Each voltage of a pump's curves on its own line.
			row[i] = strings.ReplaceAll(row[i], "; ", "\n")
		}
	}
	w.table(t)
}

// assumptions writes the numbered assumptions.
func (w *writer) assumptions() {
	list := w.a.Assumptions
	w.text(fmt.Sprintf("The build sheet leaves some things open, and the model needs others. Table %d lists what was taken for granted, and what follows where it is wrong. A field name in brackets is the one of the sheet that replaces the assumption.", w.doc.NextTable()))
	t := layout.Table{Caption: "What was assumed", Columns: []layout.Column{
		{Name: "No.", Share: 0.05}, {Name: "Assumption", Share: 0.38}, {Name: "Source", Share: 0.22}, {Name: "If it is wrong", Share: 0.35},
	}}
	for i, x := range list {
		text := sentence(x.Text)
		if x.Field != "" {
			text += " [" + x.Field + "]"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprintf("A%d", i+1), tie(text), tie(sentence(x.Source)), tie(sentence(x.Effect))})
	}
	w.put(t)
}

// demand writes the section on fuel demand.
func (w *writer) demand() {
	d := w.a.Demand
	w.text(fmt.Sprintf("Three routes lead to the fuel that the engine needs, and none is taken on trust: by the power and a consumption, by the energy in the fuel and an efficiency, and by the air that the engine draws. "+
		"Here the highest lies %s above the lowest. The system is sized on the %s route. %s shows the arithmetic.",
		d.Spread.Percent(0), d.Governing, sentence(w.section(workingTitle))))
	w.table(w.a.DemandTable(w.sys))
}

// delivery writes the section on injection and delivery.
func (w *writer) delivery() {
	a := w.a
	text := "The rail pressure was found by solving tank, suction side, pumps, line, regulator, injectors and return together. "
	if a.Delivery.Sags {
		text += fmt.Sprintf("The pumps cannot hold the set pressure: the rail settles at %s over the manifold, where what the pumps bring and what the injectors pass are equal.",
			format(w, a.Delivery.Rail.Above(a.Manifold)))
	} else {
		text += fmt.Sprintf("The regulator holds %s over the manifold.", format(w, a.Injection.Differential))
	}
	if list := w.plates.delivery; len(list) > 0 {
		text += fmt.Sprintf(" Figure %d sets what the pumps bring against what is needed.", list[0].number)
	}
	w.text(text)
	// The table may run over the page, the figure may not: it goes first.
	w.show(w.plates.delivery)
	w.table(a.InjectionTable(w.sys))
	w.text(fmt.Sprintf("Table %d shows what the pumps draw from, how far the fuel is from boiling, and what the electric supply has to bring. What the build sheet does not describe is not in it.", w.doc.NextTable()))
	w.table(a.SupplyTable(w.sys))
}

// working writes every step of the arithmetic.
func (w *writer) working() {
	w.text("Each step gives its formula, the same with the numbers put in, the result and the source. Numbers are rounded for print; the results were computed from unrounded ones.")
	const number, title, result = 48, 302, 160
	pad := layout.Pad{Top: 1, Right: 2, Bottom: 1.2}
	for i, s := range w.a.Working(w.sys) {
		put := equals(s.Numbers) + tie(s.Numbers)
		w.step(tie(s.Title), tie(s.Formula), put, tie(s.Result), tie(sentence(s.Source)))
		w.doc.Row(layout.Row{Rule: layout.Hairline, Cells: []layout.Cell{
			{Width: number, Text: fmt.Sprintf("W%d", i+1), Type: layout.Cellful.In(layout.Quiet), Pad: pad},
			{Width: title, Text: tie(s.Title), Note: tie(sentence(s.Source)), Type: layout.Header, Pad: pad},
			{Width: page - number - title - result, Text: tie(s.Formula) + "\n" + put, Type: layout.Cellful, Pad: pad},
			{Width: result, Text: tie(s.Result), Type: layout.Header, Align: layout.Right, Pad: layout.Pad{Top: 1, Bottom: 1.2}},
		}})
	}
	w.doc.Space(3)
}

// equals is the sign in front of the numbers put into a formula; words, and
// numbers that say themselves what they are, have none.
func equals(numbers string) string {
	first, _ := utf8.DecodeRuneInString(numbers)
	if strings.Contains(numbers, " = ") || !unicode.IsDigit(first) && first != '(' {
		return ""
	}
	return "= "
}

// maps writes the figures that show what lies around the build.
func (w *writer) maps() {
	list := w.plates.rest
	which := fmt.Sprintf("Figures %d to %d show", list[0].number, list[len(list)-1].number)
	if len(list) == 1 {
		which = fmt.Sprintf("Figure %d shows", list[0].number)
	}
	w.doc.Lead(tie(which+" how the results move when the combination does. A diamond marks this build where it lies on a map; everything that is not an axis is as in "+w.section(inputsTitle)+
		". Shades run from light for low to dark for high values, contour lines carry theirs, and a bold line marks a limit."), layout.Body)
	w.show(list)
}
