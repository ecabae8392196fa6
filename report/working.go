package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
)

// working writes every step of the arithmetic.
func (w *writer) working() {
	w.lead(fmt.Sprintf("Each step gives its formula, the same with the numbers put in, the result and the source. Numbers are rounded for print; the results were computed from unrounded ones. A number that is underlined leads to where it comes from, and the line below says so for paper: a field of the build sheet as %s has it, an assumption (A) of %s, or an earlier step (W).",
		w.section(inputsTitle), w.section(assumptionsTitle)))
	const number, title, result = 52, 288, 165
	pad := layout.Pad{Top: 1, Right: 2, Bottom: 1.2}
	for i, s := range w.a.Working(w.sys) {
		put := equals(s.Numbers) + tie(w.linked(s))
		from := w.origins(s)
		source := w.sourced(sentence(s.Source))
		w.step(s, tie(put)+"\n"+from, tie(source))
		w.doc.Row(layout.Row{Rule: layout.Hairline, Cells: []layout.Cell{
			{Width: number, Text: layout.Anchor(fmt.Sprintf("W-%d", i+1)) + fmt.Sprintf("W%d", i+1), Type: layout.Cellful.In(layout.Quiet), Pad: pad},
			{Width: title, Text: tie(s.Title), Note: tie(source), Type: layout.Header, Pad: pad},
			{Width: page - number - title - result, Text: tie(s.Formula) + "\n" + put, Note: from, Type: layout.Cellful, Pad: pad},
			{Width: result, Text: tie(s.Result), Type: layout.Header, Align: layout.Right, Pad: layout.Pad{Top: 1, Bottom: 1.2}},
		}})
	}
	w.doc.Space(3)
}

// equals is the sign in front of the numbers put into a formula; words, and
// numbers that say themselves what they are, have none.
func equals(numbers string) string {
	first, _ := utf8.DecodeRuneInString(numbers)
	if strings.Contains(numbers, " = ") || !unicode.IsDigit(first) && first != '(' && first != '-' {
		return ""
	}
	return "= "
}

// linked are the numbers of a step with links to where they come from.
func (w *writer) linked(s sizing.Step) string {
	var b strings.Builder
	end := 0
	for _, o := range s.Origins {
		b.WriteString(s.Numbers[end:o.Start])
		text := s.Numbers[o.Start:o.End]
		if target := w.target(o); target != "" {
			text = layout.Link(target, text)
		}
		b.WriteString(text)
		end = o.End
	}
	b.WriteString(s.Numbers[end:])
	return b.String()
}

// target is the place that an origin leads to; empty for none.
func (w *writer) target(o sizing.Origin) string {
	if o.Step != 0 {
		return fmt.Sprintf("W-%d", o.Step)
	}
	return w.originTarget(o.Field)
}

// origins says where the numbers of a step come from, each once.
func (w *writer) origins(s sizing.Step) string {
	var list []string
	for _, o := range s.Origins {
		text := ""
		switch {
		case o.Step != 0:
			text = layout.Link(fmt.Sprintf("W-%d", o.Step), fmt.Sprintf("W%d", o.Step))
		default:
			text = w.origin(o.Field)
		}
		if !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	if list == nil {
		return "from the model"
	}
	return "from " + strings.Join(list, ", ")
}
