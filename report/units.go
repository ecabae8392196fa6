package report

import (
	"fmt"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing/quantity"
)

// units writes the appendix on units, with the factors between the systems.
func (w *writer) units() {
	in := map[quantity.System]string{
		quantity.SI: "in SI units", quantity.US: "in the units of the United States trade",
		quantity.SIThenUS: "in SI units, with those of the United States trade in brackets", quantity.USThenSI: "in the units of the United States trade, with SI in brackets",
	}[w.sys]
	w.lead(fmt.Sprintf("This report is printed %s, to four digits. Everything is computed in SI. %s has the unit of each kind of quantity in both systems and the factor between them, to seven digits %s. Horsepower is that of 550 ft·lbf/s, the gallon that of the United States, psi is a difference unless psia is written, and kPa says in words where it is absolute.",
		in, capital(w.next()), w.cite(sp811)))
	t := layout.Table{Caption: "Units and the factors between them", Columns: []layout.Column{
		{Name: "Quantity", Strong: true, Share: 0.26}, {Name: "SI", Share: 0.14}, {Name: "US", Share: 0.16}, {Name: "One of the US unit is", Share: 0.44},
	}}
	t.Rows = [][]string{
		unit[quantity.CrankPower]("Power"), unit[quantity.Torque]("Torque"), unit[quantity.PressureDiff]("Pressure difference"), unit[quantity.Pressure]("Pressure, absolute"),
		unit[quantity.MassFlow]("Mass flow"), unit[quantity.VolumeFlow]("Volume flow"), unit[quantity.SpecificConsumption]("Specific consumption"),
		unit[quantity.Density]("Density"), unit[quantity.Viscosity]("Viscosity"), unit[quantity.SpecificEnergy]("Energy by mass"), unit[quantity.EnergyDensity]("Energy by volume"),
		unit[quantity.Volume]("Volume"), unit[quantity.Length]("Length"), unit[quantity.Velocity]("Velocity"), unit[quantity.Mass]("Mass"),
		{"Temperature", quantity.UnitSymbol[quantity.Temperature](quantity.SI), quantity.UnitSymbol[quantity.Temperature](quantity.US), "θ in °C = (θ in °F − 32) / 1.8; in K, 273.15 more"},
		{"Injector flow", "cc/min", "cc/min", "1 cc/min = " + quantity.Digits(float64(quantity.Of(1, quantity.CCPerMinute).In(quantity.LitrePerHour)), 7) + " L/h"},
	}
	w.put(t)
}

// unit is a row on the units of a kind of quantity.
func unit[Q quantity.Quantity](name string) []string {
	si, us := quantity.UnitSymbol[Q](quantity.SI), quantity.UnitSymbol[Q](quantity.US)
	one := quantity.FromNumber[Q](1, quantity.US)
	factor := quantity.Digits(quantity.Number(one, quantity.SI), 7)
	text := fmt.Sprintf("1 %s = %s %s", us, factor, si)
	if factor == "1" && us == si {
		text = "the same"
	}
	return []string{name, si, us, text}
}
