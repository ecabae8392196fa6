package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
)

// limits says what the report does not say.
func (w *writer) limits() {
	items := []string{
		"It is a calculation for one steady operating point: full load, one speed, one manifold pressure. Starting, tip-in, gear changes, fuel surge in the tank, hot restarts and vapour at the pumps' inlets are not in it.",
		"It rests on the inputs of " + w.section(inputsTitle) + " and the assumptions of " + w.section(assumptionsTitle) + ". Ratings and curves of parts are taken as given; none was tested for this report.",
		"The target power is an input. Whether the engine makes it, and bears it, is not looked at.",
		"Numbers are printed with four digits so that the arithmetic can be followed, not because they are known that well. The routes to the fuel demand differ by more than that, and so do two samples of one part.",
		"A part that carries on paper can still be worn, miswired or blocked. The checks of " + w.section(commissioningTitle) + " are needed whatever the verdict.",
		"Another fuel, part, pressure, voltage or power is another combination. Change the sheet, raise the revision, and make the report again; this one does not hold for it.",
	}
	for i := range items {
		items[i] = tie(items[i])
	}
	w.doc.List("–", layout.Body, items...)
	w.doc.Later(func() {
		if list := w.doc.Replaced(); len(list) > 0 {
			w.doc.Text(standIns(list), layout.Aside)
		}
	})
}

// sign writes the place to sign, which stays on one page.
func (w *writer) sign() {
	job := w.a.Build.Job
	maker, customer := "For the maker", "For the customer"
	if job.Maker != "" {
		maker += ", " + job.Maker
	}
	if job.Customer != "" {
		customer += ", " + job.Customer
	}
	of := join(", ", job.Name, job.Reference, "revision "+job.Revision, longDate(w.date))
	keep := func(cells ...layout.Cell) { w.doc.Row(layout.Row{Keep: true, Cells: cells}) }
	keep(layout.Cell{Width: page, Text: "This sign-off is for: " + of + ".", Type: layout.Body, Pad: layout.Pad{Bottom: 3}})
	const half, gutter = 480, 40
	two := func(left, right string, t layout.Type, pad layout.Pad) {
		keep(layout.Cell{Width: half, Text: left, Type: t, Pad: pad}, layout.Cell{Width: gutter, Type: t}, layout.Cell{Width: half, Text: right, Type: t, Pad: pad})
	}
	two(maker, customer, layout.Strong, layout.Pad{Bottom: 1})
	two("The build sheet describes the combination to the best of our knowledge, and this report was made from it.",
		fmt.Sprintf("I have read the warnings (%s), the safety notes (%s) and the limits of this report (%s).",
			w.section(warningsTitle), w.section(safetyTitle), w.section(limitsTitle)),
		layout.Body, layout.Pad{Bottom: 2})
	for _, label := range []string{"Name", "Date", "Signature"} {
		room := 5.5
		if label == "Signature" {
			room = 10
		}
		w.signLine(label, room, half, gutter)
	}
	w.doc.Heading("How to check this file")
	w.text("The file carries its build sheet (" + SheetName + ") and its results (" + ResultsName + ") as attachments. The command “railbook check FILE.pdf” takes them out, assesses the sheet anew, compares every number that is printed here, and says whether a signature holds; the same sheet, date and version give the same pages, byte for byte. Any reader of PDF that verifies signatures tells whether the file was changed since it was signed, and by whose certificate: hold that certificate against one that the maker gave you by another way, since anyone can make one in the maker's name. A signature on paper covers the paper alone.")
	w.doc.Row(layout.Row{Cells: []layout.Cell{{Width: page, Text: "Made by " + w.program() + " from the build sheet.", Type: layout.Small}}})
}

// signLine writes a labelled line to write on for both sides, with room above it.
func (w *writer) signLine(label string, room float64, half, gutter int) {
	const labelWidth = 90
	pad := layout.Pad{Top: room}
	cell := func(width int, text string, rule layout.Rule) layout.Cell {
		return layout.Cell{Width: width, Text: text, Type: layout.Body.In(layout.Quiet), Pad: pad, Rule: rule}
	}
	w.doc.Row(layout.Row{Keep: true, Cells: []layout.Cell{
		cell(labelWidth, label, layout.NoRule), cell(half-labelWidth, "", layout.Thin),
		cell(gutter, "", layout.NoRule),
		cell(labelWidth, label, layout.NoRule), cell(half-labelWidth, "", layout.Thin),
	}})
}
