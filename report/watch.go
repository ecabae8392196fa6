package report

import (
	"fmt"
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// mostGrave is how many grave warnings the summary tells of.
const mostGrave = 3

// watch lists what must not be missed, what matters most first.
func (w *writer) watch() []string {
	var list []string
	grave := 0
	for _, x := range w.a.Warnings {
		if !x.Grave {
			continue
		}
		if grave++; grave <= mostGrave {
			list = append(list, graveMark+" "+sentence(string(x.Concern))+". "+clip(firstSentence(x.Text), watchLong))
		}
	}
	if n := len(w.a.Warnings); n > 0 {
		text := plural(n, "warning is", "warnings are") + " in " + w.section(warningsTitle)
		switch {
		case grave == n && n == 1:
			text += ", and it is grave: read it before anything is run"
		case grave == n:
			text += ", all of them grave: read them before anything is run"
		case grave > 0:
			text += fmt.Sprintf(", %d of them grave: read them before anything is run", grave)
		}
		list = append(list, sentence(text)+".")
	}
	if w.pulls != nil && len(w.pulls.Words) > 0 {
		list = append(list, "From logged pulls: "+clip(firstSentence(w.pulls.Words[0]), watchLong)+" "+capital(w.section(evidenceTitle))+" has more.")
	}
	list = append(list, w.stopAt())
	if text := w.mattersMost(); text != "" {
		list = append(list, text)
	}
	if content := w.a.Build.Fuel.Blend.EthanolContent(); content > 0.15 {
		list = append(list, "The content of the fuel is taken as "+format(w, content)+" ethanol by volume. Read it after every filling; the demand follows it.")
	}
	return list
}

// firstSentence is a text up to its first full stop.
func firstSentence(text string) string {
	if i := strings.Index(text, ". "); i >= 0 {
		return text[:i+1]
	}
	return text
}

// stopAt says in a line when to stop a pull.
func (w *writer) stopAt() string {
	b := w.a.Build
	parts := []string{
		"λ leaner than " + quantity.Digits(float64(b.Target.Lambda+lambdaLeanStop), 3),
		"injector duty above " + b.Policy.MaxDuty.Percent(0),
	}
	if d := w.a.Injection.Differential; d > 0 {
		parts = append(parts, "rail less manifold pressure below "+format(w, d-w.railDrop()))
	}
	return "Stop a pull at " + strings.Join(parts, ", ") + "; " + w.section(commissioningTitle) + " has the checks."
}

// mattersMost tells which assumption takes most from the weakest margin.
func (w *writer) mattersMost() string {
	most, least := -1, w.a.Weakest().Margin
	for i, e := range w.moved {
		if m, ok := e.leastMargin(); ok && m < least-0.01 {
			most, least = i, m
		}
	}
	if most < 0 {
		return ""
	}
	x := w.a.Assumptions[most]
	text := fmt.Sprintf("Of what was assumed, %s takes most from the weakest margin: %s. Over its range, %s, the margin is %s.",
		assumption(most+1), clip(x.Text, watchLong/2), w.moved[most].says(), w.moved[most].margin(w.a))
	if w.moved[most].worsens(w.a) {
		text += " That changes the verdict: measure it."
	}
	return text
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
	} else {
		w.text("None of these concerns the safety of persons or of the engine directly; each tells where a number is worth less than it looks.")
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
		{Width: page - mark, Text: sentence(string(x.Concern)) + ". " + tie(w.sourced(x.Text)), Type: layout.Body, Fill: layout.Tint, Pad: pad},
	}})
	w.doc.Space(1.5)
}
