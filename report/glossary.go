package report

import (
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/regulator"
)

// term is an entry of the glossary.
type term struct {
	name, meaning string
	applies       func(*writer) bool // nil: to every report
}

// terms are the words of the trade that reports use, in alphabetical order.
var terms = []term{
	{"AFR, stoichiometric", "The mass of air that burns a mass of fuel with nothing left of either.", nil},
	{"Allowance", "Fuel that is added to the demand found, to have in reserve.", func(w *writer) bool { return w.a.Build.Target.Allowance != 0 }},
	{"Base pressure", "What the regulator holds over the pressure it refers to; set with the reference hose off.", nil},
	{"Blend", "The fuel, by what it is made of. E and M stand for ethanol and methanol, the number for percent by volume.", nil},
	{"Boost", "Pressure in the manifold over that of the ambient air.", func(w *writer) bool { return w.a.Build.Induction.Kind.Boosted() }},
	{"Brake efficiency", "Work at the crank over the heat that the mixture really releases.", nil},
	{"BSFC", "Brake specific fuel consumption: fuel for a unit of work at the crank.", nil},
	{"Creep", "Rise of the rail pressure with the flow that the regulator returns.", func(w *writer) bool { return w.a.Delivery.Rail > w.a.Delivery.SetRail }},
	{"Dead time", "The part of an injector's pulse in which nothing flows yet; it grows as the voltage falls.", nil},
	{"Differential pressure", "Rail pressure over manifold pressure, which drives the fuel through the injectors.", nil},
	{"Duty", "The share of the time between two openings for which an injector is open, dead time counted.", nil},
	{"Headroom", "How far beyond the target the power may rise before a part runs out.", func(w *writer) bool { return len(w.plates.headroom) > 0 }},
	{"K, loss coefficient", "What a fitting loses, over the fuel's velocity pressure.", func(w *writer) bool { return len(w.ways()) > 0 }},
	{"Lambda (λ)", "Air-fuel ratio over the stoichiometric one. Below 1 the mixture is rich.", nil},
	{"Lift pump", "A pump that feeds other pumps or a surge tank, not the rail.", func(w *writer) bool { return w.lifts() }},
	{"Lower heating value", "Heat of combustion with the water left as vapour.", nil},
	{"Manifold-referenced", "Of a regulator: its pressure follows that in the manifold.", func(w *writer) bool { return w.a.Build.Regulator.Kind == regulator.ManifoldReferenced }},
	{"Margin", "What a part can carry over what it has to, less one.", nil},
	{"Net positive suction head", "The inlet pressure over the vapour pressure, as a height of fuel.", nil},
	{"Pull", "A run at full load through the speeds, on a dynamometer or a closed course.", nil},
	{"Rail", "The pipe from which the injectors draw.", nil},
	{"Returnless", "Of a system: the regulator sits at the pump, and nothing comes back from the rail.", func(w *writer) bool { return w.a.Build.Regulator.Kind == regulator.Returnless }},
	{"Route", "One of three ways to the fuel demand: by power, by energy, by air.", nil},
	{"Spread", "How far the weakest and the strongest injector of a set lie from the rating.", func(w *writer) bool { return w.a.Build.Injectors.Spread != 0 }},
	{"Staging", "How two sets of injectors share the fuel.", func(w *writer) bool { return w.a.Build.Secondary != nil }},
	{"Static flow", "What an injector passes when it is held open.", nil},
	{"Surge tank", "A small tank near the pumps that keeps them fed while the fuel in the main tank moves about.", func(w *writer) bool { return w.a.Build.SurgeTank != nil }},
	{"Vapour pressure", "The pressure below which fuel of a temperature boils.", nil},
	{"Volumetric efficiency", "Air that the engine draws over what its displacement holds at the state in the manifold.", nil},
	{"Weakest part", "The part that runs out first as power rises.", nil},
}

// lifts reports whether the build has lift pumps.
func (w *writer) lifts() bool {
	for _, p := range w.a.Build.Pumps {
		if p.Role == sizing.Lift {
			return true
		}
	}
	return false
}

// glossary explains the words of the trade that this report uses.
func (w *writer) glossary() {
	w.text("Words as this report means them; shops use some of them otherwise.")
	for _, t := range terms {
		if t.applies != nil && !t.applies(w) {
			continue
		}
		w.doc.Row(layout.Row{Rule: layout.Hairline, Cells: []layout.Cell{
			{Width: 260, Text: t.name, Type: layout.Header, Pad: layout.Pad{Left: 0.5, Top: 0.8, Right: 2, Bottom: 0.8}},
			{Width: page - 260, Text: tie(strings.TrimSpace(t.meaning)), Type: layout.Cellful, Pad: layout.Pad{Top: 0.8, Bottom: 0.8}},
		}})
	}
	w.doc.Space(3)
}
