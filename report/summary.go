package report

import (
	"fmt"
	"unicode/utf8"

	"github.com/johnfercher/maroto/v2/pkg/props"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/report/internal/typeface"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// The types of the summary.
var (
	labelType   = layout.Type{Size: 8.3, Face: typeface.Regular, Color: layout.Quiet}
	statusType  = layout.Type{Size: 15, Face: typeface.Bold, Color: layout.White}
	verdictType = layout.Type{Size: 11, Face: typeface.Regular, Color: layout.White}
	numberType  = layout.Type{Size: 19, Face: typeface.Bold, Color: layout.Deep}
)

// The summary has one page, whatever the build: names and texts are cut in it where they
// are longer than this, and lists end.
const (
	shortName = 46
	mostToBuy = 12
	mostWatch = 6
	watchLong = 230
)

// clip cuts a text at a number of characters, with a sign for what is left out.
func clip(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most-1]) + "…"
}

// summary writes the page that stands for the report.
func (w *writer) summary() {
	w.verdict()
	w.headline()
	w.doc.Space(3)
	w.text(w.weakest())
	w.toBuy()
	w.toWatch()
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
		words[status] = "A part falls short"
	}
	fill := map[sizing.Status]*props.Color{sizing.Carries: layout.Deep, sizing.Thin: layout.Brown, sizing.Short: layout.Red}[status]
	pad := layout.Pad{Left: 5, Right: 5}
	head, body := pad, pad
	head.Top, body.Bottom = 3, 3.4
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
	first := figure{"The weakest part runs out at", w.first(weakest.Limit), sentence(partName(weakest, shortName))}
	if weakest.Limit == 0 {
		first.value = "any power"
		if weakest.Limited {
			first.value = "no power"
		}
	} else {
		first.note += ", " + w.fromTarget(weakest.Limit)
	}
	duty := figure{"Injector duty at the target", a.Injection.Duty.Percent(1), a.Build.Policy.MaxDuty.Percent(0) + " allowed, dead time counted"}
	if a.Injection.Pulse == 0 {
		duty.value, duty.note = "none", "no pulse, however long, delivers fuel"
	}
	third := figure{"The pumps bring to the rail", w.firstFlow(a.Delivery.Carried), fmt.Sprintf("where %s is needed", format(w, a.Demand.Volume))}
	if a.Delivery.Sags {
		third = figure{"The fuel delivered supports", w.first(a.Delivery.Supported),
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
		top.Top, bottom.Bottom = 2.6, 2.6
		labels = append(labels, layout.Cell{Width: width, Text: f.label, Type: labelType, Fill: layout.Tint, Pad: top})
		values = append(values, layout.Cell{Width: width, Text: tie(f.value), Type: numberType, Fill: layout.Tint, Pad: pad})
		notes = append(notes, layout.Cell{Width: width, Text: tie(f.note), Type: labelType.In(layout.Ink), Fill: layout.Tint, Pad: bottom})
	}
	w.doc.Row(layout.Row{Keep: true, Cells: labels})
	w.doc.Row(layout.Row{Keep: true, Cells: values})
	w.doc.Row(layout.Row{Cells: notes})
}

// first and firstFlow print numbers that stand large, where both systems have no room.
func (w *writer) first(p quantity.CrankPower) string { return quantity.Format(p, w.sys.First()) }
func (w *writer) firstFlow(q quantity.VolumeFlow) string {
	return quantity.Format(q, w.sys.First())
}

// fromTarget says how far a power lies from the target: "12 % above the target".
func (w *writer) fromTarget(p quantity.CrankPower) string {
	over := float64(p/w.a.Power) - 1
	if over < 0 {
		return quantity.Ratio(-over).Percent(1) + " below the target"
	}
	return quantity.Ratio(over).Percent(1) + " above the target"
}

// partName names a part by its kind and, where it has one, its name, cut where it is
// longer than most.
func partName(p sizing.Part, most int) string {
	if p.Name == "" {
		return p.Kind.String()
	}
	return p.Kind.String() + " (" + clip(p.Name, most) + ")"
}

// weakest tells of the part that gives out first, and what comes after it.
func (w *writer) weakest() string {
	p := w.a.Weakest()
	if !p.Limited {
		return "No part runs out as power rises; " + w.section(marginsTitle) + " has the margins."
	}
	text := fmt.Sprintf("The weakest part: %s. It can carry %s and has to carry %s at the target, a margin of %s where %s is wanted, and keeps that up to %s.",
		partName(p, shortName), format(w, p.Capability), format(w, p.Demand), signed(p.Margin), p.Wanted.Percent(0), format(w, p.Keeps))
	var next sizing.Part
	for _, q := range w.a.Parts {
		if q.Limited && q.Kind != p.Kind && (!next.Limited || q.Limit < next.Limit) {
			next = q
		}
	}
	if next.Limited {
		text += fmt.Sprintf(" With that mended, the next to run out: %s, at %s.", partName(next, shortName), format(w, next.Limit))
	}
	return text + " " + capital(w.section(marginsTitle)) + " has all parts."
}

// toBuy lists the parts that the build is made of and what each has to be.
func (w *writer) toBuy() {
	list := w.bill()
	w.lead("What to buy is in " + w.next() + ", as the build sheet has it; where a part does not carry, what would.")
	t := layout.Table{Caption: "Parts to buy", Columns: []layout.Column{
		{Name: "Part", Strong: true, Share: 0.34}, {Name: "What it has to be", Share: 0.51}, {Name: "Status", Share: 0.15},
	}}
	for i, x := range list {
		if i == mostToBuy-1 && len(list) > mostToBuy {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("and %d more", len(list)-i), layout.Plain(w.section(inputsTitle)) + " has all", ""})
			break
		}
		t.Rows = append(t.Rows, []string{tie(clip(x.name, shortName)), tie(clip(x.needs, 2*shortName)), tie(x.status)})
		t.Tinted = append(t.Tinted, x.wrong)
	}
	w.put(t)
}

// toWatch lists what must not be missed.
func (w *writer) toWatch() {
	w.doc.Heading("What to watch")
	var items []string
	for _, x := range w.watch() {
		if len(items) < mostWatch {
			items = append(items, tie(x))
		}
	}
	w.doc.List("–", layout.Body, items...)
}
