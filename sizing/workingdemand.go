package sizing

import (
	"fmt"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// routeName names the step that finds the fuel by a route.
func routeName(r demand.Route) string { return "fuel by " + r.String() }

// demand shows the three routes to the fuel that the engine needs, and what is made of
// them.
func (w *working) demand(a *Assessment) {
	b, d := a.Build, a.Demand
	f := b.Fuel.Blend
	bsfc := d.Band.At(b.Policy.Band)
	source := "consumption: common practice, no source"
	if b.Fuel.BSFC != 0 {
		source = "consumption: measured, given in the build sheet"
	}
	w.add("Fuel, power route", "ṁ = P · BSFC", w.power(a)+" × "+from("fuel.bsfc", in(w, bsfc))+w.perHour(), out(w, d.Routes.Power), source)
	w.name(routeName(demand.Power))

	complete := f.Completeness(b.Target.Lambda)
	energy := quantity.SpecificConsumption(float64(d.Routes.Energy) / float64(a.Power))
	lambda := from("target.lambda", quantity.Digits(float64(b.Target.Lambda), 3))
	w.add("Heat released at λ", "C(λ), share of the lower heating value", "λ = "+lambda+" on "+from("fuel.blend", f.String()), complete.Percent(1),
		"atom balance with the water-gas constant 3.5, Heywood 1988, section 4.9 (from memory)")
	w.name("completeness")
	w.add("BSFC, energy route", "BSFC = 1 / (η · C(λ) · LHV)",
		fmt.Sprintf("1 / (%s × %s × %s)", from("engine.brake_efficiency", b.Engine.BrakeEfficiency.Percent(1)), w.of("completeness", "", complete.Percent(1)), from("fuel.blend", in(w, f.LHV()))),
		out(w, energy), "energy balance")
	w.name("energy bsfc")
	w.add("Fuel, energy route", "ṁ = P · BSFC", w.power(a)+" × "+w.of("energy bsfc", "", in(w, energy))+w.perHour(), out(w, d.Routes.Energy), "definition of BSFC")
	w.name(routeName(demand.Energy))

	fillings, per := "N / 2", 120.0
	if b.Engine.Strokes == 2 {
		fillings, per = "N", 60
	}
	si := quantity.SI
	dry, dryNumber := "", ""
	if share := b.dryShare(); share != 1 {
		dry, dryNumber = ", times the share of dry air", " × "+from("induction.humidity", quantity.Digits(float64(share), 4))
	}
	w.add("Air, air route", "ṁ_air = VE · V · ("+fillings+") · p / (R · T), R = 287.06 J/(kg K)"+dry,
		fmt.Sprintf("%s × %s × (%s/%s s) × %s / (R × %s)", from("engine.volumetric_efficiency", b.Engine.VolumetricEfficiency.Percent(0)), from("engine.displacement", quantity.Format(b.Engine.Displacement, si)),
			from("engine.speed", quantity.Digits(b.Engine.Speed.In(quantity.RPM), 4)), from("engine.strokes", quantity.Digits(per, 3)), w.of("manifold", "", quantity.Format(a.Manifold, si)),
			w.of("charge", "induction.charge_temperature", quantity.Digits(float64(b.ChargeTemperature()), 5)+" K"))+dryNumber,
		w.inBoth(d.Air), "speed-density relation, Heywood 1988, section 2.10 (from memory)")
	w.name("air")
	w.add("Fuel, air route", "ṁ = ṁ_air / (λ · AFR_stoich)",
		fmt.Sprintf("%s / (%s × %s)", w.of("air", "", in(w, d.Air)), lambda, from("fuel.blend", quantity.Digits(float64(d.AFR), 4))),
		out(w, d.Routes.Air), "definition of lambda; AFR from the atoms of the blend")
	w.name(routeName(demand.Air))
	w.added(a)

	allowance := from("target.allowance", b.Target.Allowance.Percent(0))
	governing := w.of(routeName(d.Governing), "policy.route", in(w, d.Needed))
	formula, numbers := "ṁ = ṁ_"+d.Governing.String()+" · (1 + allowance)", fmt.Sprintf("%s × (1 + %s)", governing, allowance)
	if d.Added.Credited != 0 {
		formula, numbers = "ṁ = (ṁ_"+d.Governing.String()+" − credit) · (1 + allowance)", fmt.Sprintf("(%s − %s) × (1 + %s)", governing, w.of("credit", "", in(w, d.Added.Credited)), allowance)
	}
	if d.Added.Circuit.Pumps != 0 {
		formula, numbers = formula+" + ṁ_nitrous", numbers+" + "+w.of("nitrous", "", in(w, d.Added.Circuit.Pumps))
	}
	w.add("Demand sized for", formula, numbers, out(w, d.Total), "policy of the build sheet")
	w.name("total")
	w.add("The same by volume", "q = ṁ / ρ", fmt.Sprintf("%s / (%s at %s)", w.of("total", "", in(w, d.Total)), from("fuel.blend", in(w, d.Density)), from("fuel.temperature", in(w, b.Fuel.Temperature))),
		out(w, d.Volume), "density of the blend at rail temperature")
	w.name("volume")
	if d.Injected == d.Total {
		return
	}
	// A nozzle on the rail takes its fuel past the injectors.
	w.add("Fuel through the injectors", "ṁ_injected = ṁ − ṁ_nozzle", fmt.Sprintf("%s − %s", w.of("total", "", in(w, d.Total)), w.of("nitrous", "", in(w, d.Total-d.Injected))), out(w, d.Injected), "mass balance")
	w.name("injected")
	w.add("The same by volume", "q = ṁ / ρ", fmt.Sprintf("%s / %s", w.of("injected", "", in(w, d.Injected)), from("fuel.blend", in(w, d.Density))), out(w, d.Injected.Volume(d.Density)), "density of the blend at rail temperature")
	w.name("injected volume")
}

// injected marks a number as the fuel through the injectors, which is all of it where no
// nozzle on the rail takes some past them.
func (w *working) injected(suffix, whole, text string) string {
	if w.found["injected"] == 0 {
		return w.of(whole, "", text)
	}
	return w.of("injected"+suffix, "", text)
}

// added shows what nitrous oxide and water-methanol do to the demand.
func (w *working) added(a *Assessment) {
	add, f := a.Demand.Added, a.Build.Fuel.Blend
	if add.Nitrous != 0 {
		ratio := demand.NitrousRatio(f)
		fuel := demand.FuelForNitrous(f, add.Nitrous, a.Build.Nitrous.Lambda)
		path := "nitrous.flow"
		if a.Build.Nitrous.Power != 0 {
			path = "nitrous.power"
		}
		w.add("Fuel for the nitrous oxide", "ṁ = ṁ_N₂O / (λ · r), r from the atoms", fmt.Sprintf("%s / (%s × %s)", from(path, in(w, add.Nitrous)), from("nitrous.lambda", quantity.Digits(float64(a.Build.Nitrous.Lambda), 3)), from("fuel.blend", quantity.Digits(float64(ratio), 4))),
			out(w, fuel), "oxygen balance; 36.35 % of the oxide is oxygen")
		w.name("nitrous")
	}
	if add.Replaced != 0 {
		m := a.Build.WaterMethanol
		w.add("Fuel that injected methanol replaces", "ṁ = ṁ_methanol · AFR_methanol / AFR", fmt.Sprintf("%s, %s methanol, all of it taken to burn", from("water_methanol.flow", quantity.FormatIn(m.Flow, quantity.CCPerMinute)), from("water_methanol.methanol", m.Methanol.String())),
			out(w, add.Replaced), "air balance at equal lambda")
		w.name("credit")
	}
}

// inBoth prints a result in SI, whose units make the numbers put in come out, and
// in the system asked for where that is another.
func (w *working) inBoth(m quantity.MassFlow) string {
	si := quantity.Format(m, quantity.SI)
	if w.both == quantity.SI {
		return si
	}
	return si + " = " + quantity.Format(m, quantity.US)
}

// perHour completes a product of kW and g/kWh, which is grams per hour.
func (w *working) perHour() string {
	if w.sys == quantity.SI {
		return " / (3600 s/h)"
	}
	return ""
}
