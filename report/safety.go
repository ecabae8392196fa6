package report

import (
	"fmt"
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing/quantity"
)

// practice stands where no source was found.
const practice = "common practice, no source"

// note is one safety note with its source.
type note struct{ subject, text, source string }

// safety writes the safety notes that apply to this fuel and system.
func (w *writer) safety() {
	w.text("Local codes, the rules of the sanctioning body, the makers' instructions and the judgement of licensed practice come first; these notes do not replace them. " +
		"Where a source is marked as read in a summary or from memory, look it up before relying on it.")
	w.hazards()
	t := layout.Table{Caption: "Safety notes for this fuel and system", Columns: []layout.Column{
		{Name: "Subject", Strong: true, Share: 0.16}, {Name: "What to do", Share: 0.56}, {Name: "Source", Share: 0.28},
	}}
	for _, n := range w.notes() {
		t.Rows = append(t.Rows, []string{n.subject, tie(n.text), tie(sentence(n.source))})
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
	var cited []string
	seen := map[string]bool{}
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
			if !seen[s.Citation] {
				seen[s.Citation] = true
				cited = append(cited, s.Citation)
			}
		}
	}
	w.put(t)
	text := "Sources: " + strings.Join(cited, "; ") + "."
	if len(list) > 1 {
		text = "Judge the blend by its worst constituent: a little gasoline gives a whole tank its flash point. " + text
	}
	w.doc.Text(tie(text), layout.Small)
}

// alcoholInFoam is the content of alcohol from which ordinary foam fails:
// US DOT, PHMSA, as cited in the note.
const alcoholInFoam = 0.10

func (w *writer) notes() []note {
	a, b := w.a, w.a.Build
	blend := b.Fuel.Blend
	ethanol, methanol := blend.EthanolContent(), blend.VolumeFraction("methanol")
	alcohol := ethanol + methanol
	rail := format(w, max(a.Delivery.SetRail.Above(b.Induction.Barometer), 0))

	list := []note{
		{"Fuel under pressure", fmt.Sprintf("The rail stands at up to %s over ambient at the target, and stays under pressure long after the pumps stop. Relieve it before opening any joint: pumps off and their fuse out, pressure run down through the gauge port into a closed container, a rag around the joint, goggles on.", rail), practice},
		{"Ignition sources", "No flame, smoking, grinding, welding or unprotected lamp near open fuel. Connect and disconnect batteries and chargers away from it. Vapour creeps along floors and into pits and flashes back. Bond and earth containers when pouring.",
			"29 CFR 1910.106 (flammable liquids); bonding from memory"},
		{"Ventilation", "Work in moving air, never over a pit or basement that vapour can run into unless it is ventilated for that.", "29 CFR 1910.106(g)(1)(i)(f), written for service stations"},
		w.extinguisher(float64(alcohol)),
		{"Eyes and skin", "Wear splash goggles and gloves made for this fuel. In the eyes: wash at once with much water, lifting the lids, and get medical attention. On the skin: take off what is soaked, wash with soap and water.",
			"NIOSH Pocket Guide to Chemical Hazards, first aid procedures"},
	}
	if text, source := w.breathing(); text != "" {
		list = append(list, note{"Breathing", text, source})
	}
	if methanol > 0 {
		list = append(list, note{"Methanol", "Toxic through the skin and by breathing as well as by swallowing, and its smell gives no sufficient warning. Its flame is hard to see in daylight: suspect fire where air shimmers or paint blisters, and keep water at hand. Never let skin stay wet with it; after exposure get medical attention even without complaint.",
			"NIOSH Emergency Response Safety and Health Database, methanol; flame: fact sheet Methanol Fuels and Fire Safety, read in a copy, issuer (US EPA) from memory"})
	}
	if float64(alcohol) >= alcoholInFoam {
		list = append(list, note{"Alcohol and materials", "Every hose, seal, filter, tank lining, pump and injector must be released by its maker for this content. Zinc, brass, lead, bare aluminium, natural rubber, cork and polyurethane are attacked. Alcohol draws water and conducts: flush the system before it stands for long, and use pumps wired for it.",
			"US DOE, Handbook for Handling, Storing, and Dispensing E85, DOE/GO-102016-4854 (materials from memory)"})
	}
	return append(list,
		note{"Hoses and lines", fmt.Sprintf("Use hose made for fuel injection and rated by its maker for more than %s on this fuel, and hose made for immersion inside the tank. Route clear of heat, edges and moving parts, with a bulkhead fitting at every wall.", rail),
			"SAE J30 names hose for fuel injection 30R9 and in-tank hose 30R10 (scope read); routing: " + practice},
		note{"Pump cut-off", "The pumps must stop by themselves when the engine stops or the vehicle crashes, whatever the engine management does. Wire and fuse each for its greatest current.", practice + "; rules of the sanctioning body"},
		note{"Lean running", fmt.Sprintf("A rail that sags or a pump that fails leans the mixture within one revolution, and a lean engine under load breaks and can burn. Log rail pressure and lambda on every pull, let the engine management cut power on either, and do not run above λ %s under load.",
			quantity.Digits(float64(b.Target.Lambda+lambdaLeanStop), 3)), practice},
		note{"Spills and waste", "Absorb spills at once, keep them out of drains, and hand in fuel and soaked rags as the local rules say.", practice},
	)
}

func (w *writer) extinguisher(alcohol float64) note {
	n := note{"Extinguisher", "Keep one rated for class B fires within 50 ft (15 m) of the work, and a second person who can use it.", "29 CFR 1910.157(d)(4), read in a summary"}
	if alcohol > alcoholInFoam {
		n.text += " This fuel has more than 10 % alcohol, which breaks down ordinary foam: dry chemical, carbon dioxide or alcohol-resistant foam."
		n.source += "; US DOT, PHMSA, advice on ethanol-gasoline fires, and Emergency Response Guidebook, guide 127, read in a summary"
	}
	return n
}

// breathing gives the limits on vapour in the air at work for what the fuel
// holds, as far as one is known.
func (w *writer) breathing() (text, source string) {
	blend := w.a.Build.Fuel.Blend
	var limits, sources []string
	if blend.GasolineContent() > 0 {
		limits = append(limits, "gasoline has no limit of NIOSH or OSHA and is treated by NIOSH as a carcinogen: keep exposure as low as can be")
		sources = append(sources, "gasoline from memory")
	}
	if blend.Has("ethanol") {
		limits = append(limits, "ethanol 1000 ppm over a working day")
		sources = append(sources, "NIOSH IDLH documentation, ethanol (64-17-5)")
	}
	if blend.Has("methanol") {
		limits = append(limits, "methanol 200 ppm over a working day, 250 ppm for a short time, skin contact counted besides")
		sources = append(sources, "NIOSH IDLH documentation, methanol (67-56-1)")
	}
	if len(limits) == 0 {
		return "", ""
	}
	return "Limits of vapour in the air at work: " + strings.Join(limits, "; ") + ".", strings.Join(sources, "; ")
}
