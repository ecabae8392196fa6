package report

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// fuel writes the section on the fuel: its properties and where they come from.
func (w *writer) fuel() {
	w.lead(fmt.Sprintf("%s gives the properties of the blend, computed from its constituents; %s says where theirs come from.", capital(w.next()), w.after(1)))
	w.put(layout.Table{
		Caption: "The fuel, " + w.a.Build.Fuel.Blend.String(),
		Columns: []layout.Column{{Name: "Property"}, {Name: "Value", Align: layout.Right}},
		Rows:    w.properties(),
	})
	if list := w.caveats(); len(list) > 0 {
		w.doc.List("–", layout.Body, list...)
	}
	w.put(layout.Table{
		Caption: "Sources of the constituents' properties",
		Columns: []layout.Column{{Name: "Constituent", Strong: true, Share: 0.16}, {Name: "Properties", Share: 0.70}, {Name: "Source", Share: 0.14}},
		Rows:    w.sources(w.a.Build.Fuel.Blend),
	})
}

// caveats lists what to know of the blend's numbers, as far as no warning says it.
func (w *writer) caveats() []string {
	var list []string
	for _, c := range w.a.Build.Fuel.Blend.Caveats() {
		if !slices.ContainsFunc(w.a.Warnings, func(x sizing.Warning) bool { return strings.Contains(x.Text, c) }) {
			list = append(list, tie(w.sourced(c)))
		}
	}
	return list
}

func (w *writer) properties() [][]string {
	f, t := w.a.Build.Fuel.Blend, w.a.Build.Fuel.Temperature
	var volume, mass []string
	for _, c := range f.Constituents() {
		volume = append(volume, quantity.Format(f.VolumeFraction(c.Name()), w.sys)+" "+c.Name())
		mass = append(mass, share(float64(f.MassFraction(c.Name())))+" "+c.Name())
	}
	at := " at " + format(w, t)
	rows := [][]string{
		{"Composition by volume at " + format(w, fuel.Reference), strings.Join(volume, ", ")},
		{"Composition by mass", strings.Join(mass, ", ")},
		{"Density" + at, format(w, f.Density(t))},
		{"Density at " + format(w, fuel.Reference), format(w, f.Density(fuel.Reference))},
		{"Stoichiometric air-fuel ratio by mass", quantity.Digits(float64(f.StoichiometricAFR()), 4)},
		{"Oxygen by mass", share(float64(f.OxygenContent()))},
		{"Lower heating value", format(w, f.LHV())},
		{"Lower heating value by volume" + at, format(w, f.EnergyDensity(t))},
		{"Heat of vaporisation", format(w, f.LatentHeat())},
		{"Dynamic viscosity" + at, format(w, f.Viscosity(t))},
		{"Vapour pressure" + at + ", gasoline of 9 psi Reid", format(w, f.VapourPressure(t))},
	}
	if !f.Has("gasoline") {
		rows[len(rows)-1][0] = "Vapour pressure" + at
	}
	for _, r := range rows {
		r[0], r[1] = tie(r[0]), tie(r[1])
	}
	return rows
}

// share prints a fraction as a percentage with up to four digits.
func share(v float64) string { return quantity.Digits(100*v, 4) + " %" }

// sources lists the sources of each constituent's properties, each once.
func (w *writer) sources(b fuel.Blend) [][]string {
	var rows [][]string
	for _, c := range b.Constituents() {
		var order []reference
		properties := map[reference][]string{}
		for _, v := range c.Values() {
			work := workOf(v.Source)
			if v.Source.Standing == fuel.Definition {
				continue // the formula of a molecule is its own source
			}
			if properties[work] == nil {
				order = append(order, work)
			}
			if list := properties[work]; len(list) == 0 || list[len(list)-1] != v.Property {
				properties[work] = append(list, v.Property)
			}
		}
		for i, work := range order {
			name := ""
			if i == 0 {
				name = sentence(c.Name())
			}
			rows = append(rows, []string{name, sentence(strings.Join(properties[work], ", ")), w.cite(work)})
		}
	}
	return rows
}
