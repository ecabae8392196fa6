package display

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/quantity"
)

// Fuel returns a fuel by its name, as a build sheet gives it: "E70", "M85", "gasoline",
// "10 % ethanol + 90 % premium gasoline".
func Fuel(name string) fuel.Blend { return cell.Must(fuel.Parse(name)) }

// Ethanol returns gasoline with ethanol, of which there is so much percent by volume.
func Ethanol(percent float64) fuel.Blend {
	const whole = 100
	return cell.Must(fuel.Ethanol(quantity.VolumeFraction(percent / whole)))
}

// Mix returns what volumes of fuels make together: Mix("18 L of E10", "25 L of E85").
// Volumes are those at 15 °C.
func Mix(portions ...string) fuel.Blend { return cell.Must(mix(portions)) }

func mix(texts []string) (fuel.Blend, error) {
	var list []fuel.Portion
	for _, text := range texts {
		p, err := portion(text)
		if err != nil {
			return fuel.Blend{}, err
		}
		list = append(list, p)
	}
	return fuel.Mix(list...)
}

// portion reads "18 L of E10".
func portion(text string) (fuel.Portion, error) {
	fail := func(err error) (fuel.Portion, error) { return fuel.Portion{}, fmt.Errorf("portion %q: %w", text, err) }
	volume, name, ok := strings.Cut(text, " of ")
	if !ok {
		return fail(fmt.Errorf(`want a volume of a fuel, such as "18 L of E10"`))
	}
	v, err := quantity.Parse[quantity.Volume](strings.TrimSpace(volume))
	if err != nil {
		return fail(err)
	}
	b, err := fuel.Parse(strings.TrimSpace(name))
	if err != nil {
		return fail(err)
	}
	return fuel.Portion{Blend: b, Volume: v}, nil
}

// TopUp returns how much of a fuel brings what is in the tank to the ethanol content of
// another: TopUp("E70", "18 L of E10", "E85").
func TopUp(target, tank, add string) quantity.Volume { return cell.Must(topUp(target, tank, add)) }

func topUp(target, tank, add string) (quantity.Volume, error) {
	want, err := fuel.Parse(target)
	if err != nil {
		return 0, err
	}
	there, err := portion(tank)
	if err != nil {
		return 0, err
	}
	more, err := fuel.Parse(add)
	if err != nil {
		return 0, err
	}
	return fuel.TopUp(want.EthanolContent(), there, more)
}

// Needed returns how much of each of two fuels makes a volume with the ethanol content of
// another: Needed("50 L of E70", "E85", "E10").
func Needed(target, a, b string) (ofA, ofB quantity.Volume) {
	ofA, ofB, err := needed(target, a, b)
	if err != nil {
		cell.Fail(err)
	}
	return ofA, ofB
}

func needed(target, a, b string) (ofA, ofB quantity.Volume, err error) {
	want, err := portion(target)
	if err != nil {
		return 0, 0, err
	}
	first, err := fuel.Parse(a)
	if err != nil {
		return 0, 0, err
	}
	second, err := fuel.Parse(b)
	if err != nil {
		return 0, 0, err
	}
	return fuel.Needed(want.Blend.EthanolContent(), want.Volume, first, second)
}

// FuelTable compares fuels: what they weigh, how much air they need, what heat they carry and
// how easily they boil, at 15 °C but for the vapour pressure, which is taken at 100 °F.
func FuelTable(sys quantity.System, names ...string) sizing.Table {
	return cell.Must(fuelTable(sys, names))
}

func fuelTable(sys quantity.System, names []string) (sizing.Table, error) {
	head := func(name, unit string) sizing.Column { return sizing.Column{Name: name + ", " + unit, Numeric: true} }
	latent := quantity.UnitSymbol[quantity.SpecificEnergy](sys)
	if sys == quantity.SI {
		latent = "kJ/kg" // a hundredth of the heating value
	}
	_, inLatent, _, err := quantity.Scale[quantity.SpecificEnergy](latent)
	if err != nil {
		return sizing.Table{}, err
	}
	t := sizing.Table{Caption: "Fuels compared", Columns: []sizing.Column{
		{Name: "Fuel"},
		head("Density at 15 °C", quantity.UnitSymbol[quantity.Density](sys)),
		{Name: "Air to fuel by mass", Numeric: true},
		head("Lower heating value", quantity.UnitSymbol[quantity.SpecificEnergy](sys)),
		head("The same by volume", quantity.UnitSymbol[quantity.EnergyDensity](sys)),
		head("Latent heat", latent),
		{Name: "Oxygen by mass", Numeric: true},
		head("Vapour pressure at 100 °F", quantity.UnitSymbol[quantity.Pressure](sys)),
	}}
	for _, name := range names {
		b, err := fuel.Parse(name)
		if err != nil {
			return sizing.Table{}, err
		}
		t.Rows = append(t.Rows, []string{
			b.String(),
			number(b.Density(fuel.Reference), sys), quantity.Digits(float64(b.StoichiometricAFR()), 4),
			number(b.LHV(), sys), number(b.EnergyDensity(fuel.Reference), sys), quantity.Digits(inLatent(b.LatentHeat()), figures),
			quantity.Ratio(b.OxygenContent()).Percent(1), number(b.VapourPressure(quantity.Fahrenheit(100)), sys),
		})
	}
	return t, nil
}

// number prints a quantity for a column whose head has the unit.
func number[Q quantity.Quantity](q Q, sys quantity.System) string {
	return quantity.Digits(quantity.Number(q, sys), figures)
}

// SourceTable lists what was published of a liquid, each value with where it was read: of
// the properties given, such as "density", or of all.
func SourceTable(liquid string, properties ...string) sizing.Table {
	return cell.Must(sourceTable(liquid, properties))
}

func sourceTable(liquid string, properties []string) (sizing.Table, error) {
	c, err := fuel.Lookup(liquid)
	if err != nil {
		return sizing.Table{}, err
	}
	t := sizing.Table{Caption: "Published values of " + c.Name(), Columns: []sizing.Column{
		{Name: "Property"}, {Name: "At"}, {Name: "Value", Numeric: true}, {Name: "Source"}, {Name: "Remark"},
	}}
	var known []string
	last := "" // source of the row before
	for _, v := range c.Values() {
		if !slices.Contains(known, v.Property) {
			known = append(known, v.Property)
		}
		if len(properties) > 0 && !slices.Contains(properties, v.Property) {
			continue
		}
		remark := v.Note
		if v.Source.Standing == fuel.Memory && !strings.Contains(remark, "memory") {
			remark = strings.TrimPrefix(remark+"; from memory", "; ")
		}
		source := v.Source.String()
		if v.Source.Key == last {
			source = "as above"
		}
		last = v.Source.Key
		t.Rows = append(t.Rows, []string{v.Property, v.At, v.Value, source, remark})
	}
	for _, p := range properties {
		if !slices.Contains(known, p) {
			return sizing.Table{}, fmt.Errorf("nothing is published of the %q of %s; want some of %s", p, c.Name(), strings.Join(known, ", "))
		}
	}
	return t, nil
}

// HazardTable lists at what temperature the vapour over each liquid of a fuel can be lit, and
// how much of it in air burns. Those of a blend are not their averages: the worst counts.
func HazardTable(b fuel.Blend) sizing.Table {
	t := sizing.Table{Caption: "Fire data of what is in " + b.String(), Columns: []sizing.Column{
		{Name: "Liquid"}, {Name: "Flash point", Numeric: true}, {Name: "Vapour in air that burns", Numeric: true}, {Name: "Class of NFPA 30"}, {Name: "Sources"},
	}}
	for _, h := range b.Hazards() {
		var sources []string
		for _, s := range h.Sources {
			sources = append(sources, s.String())
		}
		t.Rows = append(t.Rows, []string{
			h.Constituent, quantity.Format(h.FlashPoint, quantity.SI),
			fmt.Sprintf("%s to %s", quantity.Ratio(h.Lower).Percent(1), quantity.Ratio(h.Upper).Percent(1)), h.FireClass, strings.Join(sources, "; "),
		})
	}
	return t
}
