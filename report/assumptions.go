package report

import (
	"cmp"
	"fmt"

	"example.com/railbook/report/internal/layout"
)

// assumptions writes the numbered assumptions, and what follows where they are wrong.
func (w *writer) assumptions() {
	w.lead(fmt.Sprintf("The build sheet leaves some things open, and the model needs others. %s lists what was taken for granted, with its source and the range that it may have in practice. A name in brackets is the field of the sheet that replaces the assumption. The ranges are common practice, no source, unless one is named.",
		capital(w.next())))
	t := layout.Table{Caption: "What was assumed", Columns: []layout.Column{
		{Name: "No.", Share: 0.06}, {Name: "Assumption", Share: 0.36}, {Name: "Source", Share: 0.17}, {Name: "Range looked at", Share: 0.17}, {Name: "If it is wrong", Share: 0.24},
	}}
	for i, x := range w.a.Assumptions {
		text := sentence(x.Text)
		if x.Field != "" {
			text += " [" + x.Field + "]"
		}
		span := "none: it has no number"
		if e := w.moved[i]; e.known {
			span = sentence(e.says())
			if e.basis != "" {
				span += " (" + e.basis + ")"
			}
		}
		t.Rows = append(t.Rows, []string{
			layout.Anchor(fmt.Sprintf("A-%d", i+1)) + fmt.Sprintf("A%d", i+1), tie(text), tie(w.sourced(sentence(x.Source))), tie(span), tie(sentence(x.Effect)),
		})
	}
	w.put(t)
	w.consequences()
}

// consequences tables what becomes of demand and margins over each range.
func (w *writer) consequences() {
	p := w.a.Weakest()
	base := "As assessed, the demand is " + format(w, w.a.Demand.Volume)
	if p.Limited {
		base += fmt.Sprintf(" and the weakest margin %s, of the %s, with which the first part runs out at %s", signed(p.Margin), p.Kind, format(w, p.Limit))
	}
	w.lead(fmt.Sprintf("Each was then taken to be wrong, to the one end of its range and to the other, and the whole build assessed again, everything else unchanged. %s says what came out: one number where both ends agree. %s. A row on a tint is one in which the verdict gets worse.", capital(w.next()), base))
	t := layout.Table{Caption: "What follows at the ends of the ranges", Columns: []layout.Column{
		{Name: "No.", Share: 0.06}, {Name: "Range", Share: 0.24}, {Name: "Demand", Share: 0.14}, {Name: "Weakest margin", Share: 0.15}, {Name: "First out at", Share: 0.18}, {Name: "What else moves most", Share: 0.23},
	}}
	for i, e := range w.moved {
		if !e.known {
			continue
		}
		demand := e.demand(w.a)
		if demand == "0" {
			demand = "unchanged"
		}
		verdict := ""
		if e.worsens(w.a) {
			verdict = "verdict: " + e.status()
		}
		elsewhere := cmp.Or(join("; ", e.elsewhere, verdict), "nothing")
		t.Rows = append(t.Rows, []string{assumption(i + 1), tie(sentence(e.says())), tie(demand), tie(e.margin(w.a)), tie(e.limit(w)), tie(sentence(elsewhere))})
		t.Tinted = append(t.Tinted, e.worsens(w.a))
	}
	w.put(t)
}
