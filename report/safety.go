package report

import (
	"fmt"
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// safety writes the safety notes that apply to this fuel and system.
func (w *writer) safety() {
	w.text("Local codes, the rules of the sanctioning body, the makers' instructions and the judgement of licensed practice come first; these notes do not replace them, and those of another country differ. " +
		"Only what applies to this fuel and this system is here. Sources are in " + w.section(referencesTitle) + "; one that says that it was read in a summary or from memory is to be looked up before relying on it.")
	w.hazards()
	w.lead("What to do is in " + w.next() + ".")
	t := layout.Table{Caption: "Safety notes for this fuel and system", Columns: []layout.Column{
		{Name: "Subject", Strong: true, Share: 0.16}, {Name: "What to do", Share: 0.67}, {Name: "Source", Share: 0.17},
	}}
	for _, n := range w.notes() {
		source := w.cite(n.works...)
		if n.practice {
			source = join("; ", source, practice)
		}
		t.Rows = append(t.Rows, []string{n.subject, tie(n.text), tie(sentence(source))})
	}
	w.put(t)
}

// hazards tables the fire data of what the blend is made of.
func (w *writer) hazards() {
	blend := w.a.Build.Fuel.Blend
	list := blend.Hazards()
	if len(list) == 0 {
		return
	}
	t := layout.Table{Caption: "Fire data of the constituents", Columns: []layout.Column{
		{Name: "Constituent", Strong: true}, {Name: "Share by volume", Align: layout.Right}, {Name: "Flash point", Align: layout.Right},
		{Name: "Burns in air from", Align: layout.Right}, {Name: "to", Align: layout.Right}, {Name: "NFPA 30 class", Align: layout.Right},
	}}
	var cited []reference
	for _, h := range list {
		class := h.FireClass
		if class == "" {
			class = "–"
		}
		t.Rows = append(t.Rows, []string{
			sentence(h.Constituent), quantity.Format(h.Share, w.sys), tie(format(w, h.FlashPoint)),
			quantity.Format(h.Lower, w.sys), quantity.Format(h.Upper, w.sys), class,
		})
		for _, s := range h.Sources {
			cited = append(cited, workOf(s))
		}
	}
	text := fmt.Sprintf("%s tells at what temperature each constituent gives off vapour that burns, and at how much of it in the air %s.", capital(w.next()), w.citeOnce(cited))
	if len(list) > 1 {
		text += " Judge the blend by its worst constituent: a little gasoline gives a whole tank its flash point."
	}
	w.lead(text)
	w.put(t)
}

// workOf is the work that a source of fuel data is, as the list of references has it.
func workOf(s fuel.Source) reference {
	text := s.Citation
	if works := worksIn(text); len(works) > 0 {
		return works[0]
	}
	if s.Standing == fuel.Memory && !strings.Contains(text, "memory") {
		text += " (from memory)"
	}
	return reference(sentence(text))
}

// citeOnce cites works, each once.
func (w *writer) citeOnce(works []reference) string {
	var once []reference
	seen := map[reference]bool{}
	for _, x := range works {
		if !seen[x] {
			seen[x] = true
			once = append(once, x)
		}
	}
	return w.cite(once...)
}
