package sizing

import (
	"fmt"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// Step is one line of the working: a formula, the same with the numbers put in,
// the result, and where the formula comes from.
type Step struct {
	Title   string `json:"title"`
	Formula string `json:"formula"`
	Numbers string `json:"numbers"`
	Result  string `json:"result"`
	Source  string `json:"source"`
}

// Working shows the arithmetic behind the results that matter, in the order in
// which they are found, with quantities printed in the given system. The numbers
// are rounded for print; the results were computed from the unrounded ones.
func (a *Assessment) Working(sys quantity.System) []Step {
	w := working{sys: sys}
	w.target(a)
	w.demand(a)
	w.injection(a)
	w.delivery(a)
	return w.steps
}

type working struct {
	sys   quantity.System
	steps []Step
}

func (w *working) add(title, formula, numbers, result, source string) {
	w.steps = append(w.steps, Step{title, formula, numbers, result, source})
}

func in[Q quantity.Quantity](w *working, q Q) string { return quantity.Format(q, w.sys) }

func (w *working) target(a *Assessment) {
	b := a.Build
	stated := in(w, b.statedPower())
	switch t := b.Target; {
	case t.WheelPower != 0:
		w.add("Crank power", "P = P_wheel / (1 − loss)", fmt.Sprintf("%s / (1 − %s)", in(w, t.WheelPower), t.DrivetrainLoss), stated, "definition of the drivetrain loss")
	case t.Torque != 0:
		w.add("Crank power", "P = T · ω", fmt.Sprintf("%s × %s", in(w, t.Torque), in(w, b.Engine.Speed)), stated, "definition of power")
	case t.TrapSpeed != 0:
		w.add("Crank power", "P = m · (v / 225 mph)³ hp/lb", fmt.Sprintf("%s × (%s / 225 mph)³", quantity.Format(t.VehicleMass, quantity.US), quantity.FormatIn(t.TrapSpeed, quantity.MilePerHour)),
			stated, "Huntington's rule, in Nahin, In Praise of Simple Physics, p. 33")
	case t.ElapsedTime != 0:
		w.add("Crank power, at least", "P = 9 m x² / (8 t³) / (1 − loss)", fmt.Sprintf("9 × %s × (402.336 m)² / (8 × (%s s)³) / (1 − %s)",
			quantity.Format(t.VehicleMass, quantity.SI), quantity.Digits(float64(t.ElapsedTime), 4), t.DrivetrainLoss), stated, "constant power, Fox 1973 (from memory)")
	}
	if t := b.Target; t.Correction != air.None {
		dry := b.dyno().Dry()
		factor, _ := t.Correction.Factor(dry, t.DynoTemperature)
		w.add("Power really made", "P = P_corrected / factor(p_dry, T)", fmt.Sprintf("%s / %s, factor of %s at %s dry and %s", stated, quantity.Digits(float64(factor), 4), t.Correction, in(w, dry), in(w, t.DynoTemperature)),
			in(w, a.Power), t.Correction.String()+", from memory or public pages")
	}
	w.add("Manifold pressure, absolute", "p = p_ambient + boost", in(w, b.Induction.Barometer)+" + "+in(w, b.Induction.Boost),
		in(w, a.Manifold), "definition of gauge pressure")
	if b.Induction.CompressorEfficiency != 0 {
		c := b.charge()
		w.add("Charge behind the compressor", "T₂ = T₁ · (1 + (r^(2/7) − 1) / η)", fmt.Sprintf("%s K × (1 + (%s^(2/7) − 1) / %s)",
			quantity.Digits(float64(c.Inlet.Temperature), 4), quantity.Digits(float64(c.Ratio), 4), b.Induction.CompressorEfficiency), in(w, c.Discharge.Temperature), "definition of isentropic efficiency, γ = 1.4")
		w.add("Charge in the manifold", "T₃ = T₂ − ε · (T₂ − T_coolant)", fmt.Sprintf("%s, ε = %s", in(w, c.Discharge.Temperature), b.Induction.IntercoolerEffectiveness.Percent(0)),
			in(w, c.Manifold.Temperature), "definition of heat exchanger effectiveness")
	}
}

func (w *working) demand(a *Assessment) {
	b, d := a.Build, a.Demand
	f := b.Fuel.Blend
	bsfc := d.Band.At(b.Policy.Band)
	source := "consumption: common practice, no source"
	if b.Fuel.BSFC != 0 {
		source = "consumption: measured, given in the build sheet"
	}
	w.add("Fuel, power route", "ṁ = P · BSFC", in(w, a.Power)+" × "+in(w, bsfc)+w.perHour(), in(w, d.Routes.Power), source)

	complete := f.Completeness(b.Target.Lambda)
	energy := quantity.SpecificConsumption(float64(d.Routes.Energy) / float64(a.Power))
	w.add("Heat released at λ", "C(λ), share of the lower heating value", "λ = "+quantity.Digits(float64(b.Target.Lambda), 3), complete.Percent(1),
		"atom balance with the water-gas constant 3.5, Heywood 1988, section 4.9 (from memory)")
	w.add("BSFC, energy route", "BSFC = 1 / (η · C(λ) · LHV)",
		fmt.Sprintf("1 / (%s × %s × %s)", b.Engine.BrakeEfficiency.Percent(1), complete.Percent(1), in(w, f.LHV())), in(w, energy), "energy balance")
	w.add("Fuel, energy route", "ṁ = P · BSFC", in(w, a.Power)+" × "+in(w, energy)+w.perHour(), in(w, d.Routes.Energy), "definition of BSFC")

	fillings, per := "N / 2", 120.0
	if b.Engine.Strokes == 2 {
		fillings, per = "N", 60
	}
	si := quantity.SI
	dry, dryNumber := "", ""
	if share := b.dryShare(); share != 1 {
		dry, dryNumber = ", times the share of dry air", " × "+quantity.Digits(float64(share), 4)
	}
	w.add("Air, air route", "ṁ_air = VE · V · ("+fillings+") · p / (R · T), R = 287.06 J/(kg K)"+dry,
		fmt.Sprintf("%s × %s × (%s/%s s) × %s / (R × %s K)"+dryNumber, b.Engine.VolumetricEfficiency.Percent(0), quantity.Format(b.Engine.Displacement, si),
			quantity.Digits(b.Engine.Speed.In(quantity.RPM), 4), quantity.Digits(per, 3), quantity.Format(a.Manifold, si), quantity.Digits(float64(b.ChargeTemperature()), 5)),
		w.both(d.Air), "speed-density relation, Heywood 1988, section 2.10 (from memory)")
	w.add("Fuel, air route", "ṁ = ṁ_air / (λ · AFR_stoich)",
		fmt.Sprintf("%s / (%s × %s)", in(w, d.Air), quantity.Digits(float64(b.Target.Lambda), 3), quantity.Digits(float64(d.AFR), 4)),
		in(w, d.Routes.Air), "definition of lambda; AFR from the atoms of the blend")
	formula, numbers := "ṁ = ṁ_"+d.Governing.String()+" · (1 + allowance)", fmt.Sprintf("%s × (1 + %s)", in(w, d.Needed), b.Target.Allowance.Percent(0))
	if d.Added.Credited != 0 {
		formula, numbers = "ṁ = (ṁ_"+d.Governing.String()+" − credit) · (1 + allowance)", fmt.Sprintf("(%s − %s) × (1 + %s)", in(w, d.Needed), in(w, d.Added.Credited), b.Target.Allowance.Percent(0))
	}
	w.added(a)
	if d.Added.Circuit.Pumps != 0 {
		formula, numbers = formula+" + ṁ_nitrous", numbers+" + "+in(w, d.Added.Circuit.Pumps)
	}
	w.add("Demand sized for", formula, numbers, in(w, d.Total), "policy of the build sheet")
	w.add("The same by volume", "q = ṁ / ρ", fmt.Sprintf("%s / (%s at %s)", in(w, d.Total), in(w, d.Density), in(w, b.Fuel.Temperature)),
		in(w, d.Volume), "density of the blend at rail temperature")
}

// added shows what nitrous oxide and water-methanol do to the demand.
func (w *working) added(a *Assessment) {
	add, f := a.Demand.Added, a.Build.Fuel.Blend
	if add.Nitrous != 0 {
		ratio := demand.NitrousRatio(f)
		fuel := demand.FuelForNitrous(f, add.Nitrous, a.Build.Nitrous.Lambda)
		w.add("Fuel for the nitrous oxide", "ṁ = ṁ_N₂O / (λ · r), r from the atoms", fmt.Sprintf("%s / (%s × %s)", in(w, add.Nitrous), quantity.Digits(float64(a.Build.Nitrous.Lambda), 3), quantity.Digits(float64(ratio), 4)),
			in(w, fuel), "oxygen balance; 36.35 % of the oxide is oxygen")
	}
	if add.Replaced != 0 {
		w.add("Fuel that injected methanol replaces", "ṁ = ṁ_methanol · AFR_methanol / AFR", "all of the methanol taken to burn", in(w, add.Replaced), "air balance at equal lambda")
	}
}

// both prints a result in SI, whose units make the numbers put in come out, and
// in the system asked for where that is another.
func (w *working) both(m quantity.MassFlow) string {
	si := quantity.Format(m, quantity.SI)
	if w.sys == quantity.SI {
		return si
	}
	return si + " = " + quantity.Format(m, w.sys)
}

// perHour completes a product of kW and g/kWh, which is grams per hour.
func (w *working) perHour() string {
	if w.sys == quantity.SI {
		return " / (3600 s/h)"
	}
	return ""
}

func (w *working) injection(a *Assessment) {
	b, x := a.Build, a.Injection
	rating := b.Injectors.Flow
	w.add("Differential pressure", "Δp = p_rail − p_manifold",
		in(w, x.Differential.Above(a.Manifold))+" − "+in(w, a.Manifold), in(w, x.Differential), "both absolute, the regulator in control")
	w.add("Static flow of one injector", "ṁ = ṁ_test · √(ρ/ρ_test · Δp/Δp_test)",
		fmt.Sprintf("%s × √(%s / %s × %s / %s)", in(w, rating.Mass()), in(w, a.Demand.Density), in(w, rating.Density()), in(w, x.Differential), in(w, rating.Pressure())),
		in(w, x.Static)+" = "+quantity.FormatIn(x.StaticVolume, quantity.CCPerMinute), "orifice equation (Bernoulli)")
	w.add("Static flow needed, dead time left out", "ṁ_static = ṁ / (n · duty)",
		fmt.Sprintf("%s / (%d × %s)", in(w, a.Demand.Injected), b.injectorCount(), b.Policy.MaxDuty), in(w, x.RuleOfThumb), "common practice, no source")
	if x.StaticNeeded != 0 {
		w.add("Static flow needed, dead time counted", "ṁ_static = ṁ / (n · (duty − t_dead/t))",
			fmt.Sprintf("%s / (%d × (%s − %s / %s))", in(w, a.Demand.Injected), b.injectorCount(), b.Policy.MaxDuty, in(w, x.DeadTime), in(w, x.Interval)),
			in(w, x.StaticNeeded), "slope and offset model")
	}
	perPulse := quantity.FormatIn(x.PerPulse, quantity.Gram)
	w.add("Fuel per injection", "m = ṁ_injector · t", fmt.Sprintf("%s × %s", in(w, x.PerInjector), in(w, x.Interval)), perPulse, "mass balance")
	if x.Pulse != 0 {
		static := injector.Injector{Spread: b.Injectors.Spread}.Weakest(x.Static)
		w.add("Pulse width", "t_pulse = m / ṁ_static + t_dead, weakest injector of the set",
			fmt.Sprintf("%s / %s + %s", perPulse, in(w, static), in(w, x.DeadTime)), in(w, x.Pulse), "slope and offset model")
		w.add("Duty", "duty = t_pulse / t", in(w, x.Pulse)+" / "+in(w, x.Interval), x.Duty.Percent(1), "definition; dead time counted")
	}
	if second := x.Secondary; second != nil {
		w.add("Duty of the second set", "duty = t_pulse / t", in(w, second.Pulse)+" / "+in(w, x.Interval), second.Duty.Percent(1),
			"starts at a duty of "+b.Secondary.Start.Percent(0)+" of the first; "+b.Secondary.Staging.String()+" staging")
	}
}

func (w *working) delivery(a *Assessment) {
	b, d := a.Build, a.Delivery
	if l := b.FeedLine; l.bore() != 0 && d.LineFlow > 0 {
		line := l.Line()
		through := d.LineFlow
		visc := b.Fuel.Blend.Viscosity(b.Fuel.Temperature)
		re := line.Reynolds(through, a.Demand.Density, visc)
		f := plumbing.FrictionFactor(re, float64(l.Roughness/line.Bore))
		w.add("Velocity in the feed line", "v = q / (π D²/4)", fmt.Sprintf("%s / (π/4 × (%s)²)", in(w, through), in(w, line.Bore)), in(w, line.Velocity(through)), "continuity")
		w.add("Friction factor", "f(Re, ε/D), Re = ρ v D / μ", fmt.Sprintf("Re = %s, ε/D = %s", quantity.Digits(re, 4), quantity.Digits(float64(l.Roughness/line.Bore), 3)),
			quantity.Digits(f, 4), "Colebrook 1939 where turbulent, 64/Re where laminar")
		w.add("Lost between pump and rail", "Δp = (f L/D + K) ρ v²/2 + ρ g z + filter",
			fmt.Sprintf("L = %s, K = %s, z = %s, filter %s", lengthText(l.Length, w.sys), quantity.Digits(float64(l.LossCoefficient), 3), lengthText(l.Rise, w.sys), in(w, l.Filter.Loss(through))),
			in(w, d.LineLoss), "Darcy-Weisbach; filter by the square of the flow")
	}
	w.inlet(a)
	w.add("Pump pressure", "Δp_pump = p_outlet − p_inlet", in(w, d.PumpOutlet)+" − "+in(w, d.PumpInlet), in(w, d.PumpRise), "definition")
	w.wiring(a)
	w.creep(a)
	w.add("Pumps over demand", "margin = q_carried / q − 1", in(w, d.Carried)+" / "+in(w, a.Demand.Volume)+" − 1",
		signed(quantity.Ratio(over(d.Carried, a.Demand.Volume)-1)), "pump curves and line loss solved together at the set rail pressure")
	if p, ok := a.Part(InjectorsPart); ok {
		w.add("Injectors over demand", "margin = q_injectable / q − 1", in(w, p.Capability)+" / "+in(w, p.Demand)+" − 1", signed(p.Margin),
			"weakest injector, largest duty allowed, dead time counted")
	}
	weakest := a.Weakest()
	rises := "demand in proportion to power"
	if b.Induction.Kind.Boosted() {
		rises += ", manifold pressure too"
	}
	w.add("Power at which the first part runs out", "capability(P) = demand(P), "+weakest.Kind.String(), rises,
		in(w, weakest.Limit), "solved by bracketing")
	if d.Sags {
		w.add("Rail pressure where it balances", "q_pumps(p) = q_injectors(p)", "injectors open as commanded at the set pressure", in(w, d.Rail.Above(a.Manifold))+" over the manifold", "solved by bracketing")
		w.add("Power that the fuel delivered supports", "P = P_target · ṁ_delivered / ṁ", in(w, a.Power)+" × "+in(w, d.Delivered)+" / "+in(w, a.Demand.Total), in(w, d.Supported), "same consumption as at the target")
	}
}
