package sizing

import (
	"slices"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/plumbing"
	"example.com/railbook/sizing/quantity"
)

// Assumption is something the assessment took for granted, because the build
// does not say it or because the model needs it.
type Assumption struct {
	Field  string `json:"field"`  // the sheet's field it stands in for; empty for one of the model's own
	Text   string `json:"text"`   // what is assumed, with its value in the build's units
	Source string `json:"source"` // where the value comes from
	Effect string `json:"effect"` // what follows if it is wrong
}

const defaultVolumetricEfficiency quantity.Ratio = 0.95

const commonPractice = "common practice, no source"

// withDefaults returns b with every default filled in, and the assumptions that
// this made.
func (b Build) withDefaults() (Build, []Assumption) {
	var list []Assumption
	sys := b.Job.Units
	assume := func(field, text, source, effect string) {
		list = append(list, Assumption{Field: field, Text: text, Source: source, Effect: effect})
	}
	if b.Job.Name == "" {
		b.Job.Name = "Untitled build"
	}
	if b.Job.Revision == "" {
		b.Job.Revision = "A"
	}
	if b.Engine.Strokes == 0 {
		b.Engine.Strokes = 4
		assume("engine.strokes", "four-stroke cycle", "the usual engine of this trade",
			"a two-stroke draws air and injects twice as often")
	}
	if fill(&b.Engine.VolumetricEfficiency, defaultVolumetricEfficiency) {
		assume("engine.volumetric_efficiency", "volumetric efficiency 95 % by manifold density", commonPractice,
			"the air route moves in proportion")
	}
	if fill(&b.Engine.BrakeEfficiency, demand.Efficiency(b.Induction.Kind)) {
		assume("engine.brake_efficiency", "brake efficiency "+b.Engine.BrakeEfficiency.Percent(0)+" of the heat released, by induction", commonPractice,
			"the energy route moves in inverse proportion")
	}
	if fill(&b.Engine.IdleSpeed, 900*quantity.RPM) {
		assume("engine.idle_speed", "idle at 900 rpm", commonPractice, "enters only the idle pulse")
	}
	if fill(&b.Engine.IdlePressure, 40*quantity.Kilopascal) {
		assume("engine.idle_manifold_pressure", "idle manifold pressure "+quantity.Format(b.Engine.IdlePressure, sys)+", absolute", commonPractice,
			"the idle pulse less its dead time moves in proportion; long camshafts idle higher")
	}
	ambient := b.ambient()
	if fill(&b.Induction.Barometer, ambient.Pressure) {
		assume("induction.barometer", "ambient pressure "+quantity.Format(b.Induction.Barometer, sys)+", standard atmosphere at "+lengthText(b.Induction.Altitude, sys), "ISO 2533:1975",
			"lower ambient pressure lowers manifold pressure at the same boost, and with it the air route")
	}
	if computed := b.Induction.ChargeTemperature == 0; fill(&b.Induction.AmbientTemperature, ambient.Temperature) && computed {
		assume("induction.ambient_temperature", "ambient air at "+quantity.Format(b.Induction.AmbientTemperature, sys)+", standard atmosphere", "ISO 2533:1975",
			"a hot day heats the charge and takes from the air route: about 1 % for 3 K (5 °F)")
	}
	if b.Induction.Humidity == 0 {
		assume("induction.humidity", "dry ambient air", "the build sheet's silence",
			"at 30 °C (86 °F) and 60 % humidity the air route falls by 2.5 %")
	}
	if fill(&b.Fuel.Temperature, quantity.Celsius(30)) {
		assume("fuel.temperature", "fuel at "+quantity.Format(b.Fuel.Temperature, sys)+" at the rail", commonPractice,
			"10 K (18 °F) more takes about 1 % off the density: half a percent off the injectors' mass flow, one off the pumps'")
	}
	if fill(&b.Electrical.Voltage, 13.5*quantity.Volt) {
		assume("electrical.voltage", "13.5 V at the injectors", commonPractice, "less voltage lengthens the dead time")
	}
	if fill(&b.Electrical.PumpVoltage, b.Electrical.Voltage) {
		assume("electrical.pump_voltage", "pump terminals at "+quantity.Format(b.Electrical.PumpVoltage, sys)+", no loss in the wiring", "the build sheet's silence",
			"a volt lost in wiring and earth costs an electric pump much of its flow at pressure; measure it under load")
	}
	if b.Injectors.Count == 0 {
		b.Injectors.Count = b.Engine.Cylinders
		assume("injectors.count", "one injector per cylinder", "the build sheet's silence", "demand per injector moves in inverse proportion")
	}
	if b.Injectors.Flow.FluidAssumed() {
		assume("injectors.flow", "injectors rated on n-heptane at "+quantity.Format(b.Injectors.Flow.Temperature(), sys), "usual content of SAE J1832, from memory",
			"rated on a denser fluid by volume, they pass less fuel than computed: gasoline in place of n-heptane is about 4 %")
	}
	if b.Secondary != nil {
		second := *b.Secondary // not to change the caller's
		b.Secondary = &second
		if b.Secondary.Count == 0 {
			b.Secondary.Count = b.Engine.Cylinders
			assume("secondary_injectors.count", "one injector of the second set per cylinder", "the build sheet's silence", "their share of the capability moves in proportion")
		}
		if len(b.Secondary.DeadTime) == 0 {
			b.Secondary.DeadTime = b.Injectors.DeadTime
			assume("secondary_injectors.dead_time", "the second set has the dead time of the first", "the build sheet's silence", "moves the duty of the second set")
		}
	}
	if b.Nitrous.Flow != 0 || b.Nitrous.Power != 0 {
		if fill(&b.Nitrous.Lambda, b.Target.Lambda) {
			assume("nitrous.lambda", "nitrous oxide burns at the target's lambda, "+quantity.Digits(float64(b.Nitrous.Lambda), 3), "the build sheet's silence", "its fuel moves in inverse proportion")
		}
	}
	if b.WaterMethanol.Flow != 0 {
		if fill(&b.WaterMethanol.Methanol, 0.5) {
			assume("water_methanol.methanol", "half of the injected mixture is methanol by volume", commonPractice, "the fuel that it replaces moves in proportion")
		}
		fill(&b.WaterMethanol.Temperature, quantity.Celsius(20))
	}
	fill(&b.Regulator.Rise, 1)
	b.Pumps = slices.Clone(b.Pumps)
	for i := range b.Pumps {
		if b.Pumps[i].Count == 0 {
			b.Pumps[i].Count = 1
		}
	}
	if b.FeedLine.Bore == 0 {
		assume("feed_line", "no loss between pump and rail", "the build sheet's silence",
			"a real line costs pump pressure, and so pump flow")
	} else if fill(&b.FeedLine.Roughness, plumbing.DefaultRoughness) {
		assume("feed_line.roughness", "feed line as smooth as drawn tubing, "+quantity.FormatIn(b.FeedLine.Roughness, quantity.Micrometre), "handbook value for drawn tubing (Moody), from memory",
			"a rougher bore loses more; convoluted hose much more")
	}
	if fill(&b.Policy.MaxDuty, DefaultMaxDuty) {
		assume("policy.max_duty", "injector duty no higher than 85 %", commonPractice, "the injectors' margin moves with it")
	}
	for _, m := range []struct {
		field, of string
		margin    **quantity.Ratio
	}{
		{"policy.injector_margin", "injectors", &b.Policy.InjectorMargin},
		{"policy.pump_margin", "pumps", &b.Policy.PumpMargin},
		{"policy.line_margin", "feed line", &b.Policy.LineMargin},
	} {
		if *m.margin != nil {
			continue
		}
		*m.margin = Wanted(0.10)
		if m.of != "feed line" || b.FeedLine.Bore != 0 {
			assume(m.field, "a margin of 10 % is wanted at the "+m.of, commonPractice, "changes the verdict, no number")
		}
	}
	if fill(&b.Policy.AllowedLineLoss, 35*quantity.KilopascalDiff) && b.FeedLine.Bore != 0 {
		assume("policy.allowed_line_loss", quantity.Format(b.Policy.AllowedLineLoss, sys)+" may be lost between pump and rail at the demand", commonPractice, "changes the feed line's margin only")
	}
	return b, append(list, modelAssumptions(b)...)
}

// Wanted returns a margin for the fields of [Policy], where nil stands for the
// default and zero for no margin at all.
func Wanted(margin quantity.Ratio) *quantity.Ratio { return &margin }

// fill gives *q the value where it is zero and reports whether it did.
func fill[Q quantity.Quantity](q *Q, value Q) bool {
	if *q != 0 {
		return false
	}
	*q = value
	return true
}

// modelAssumptions lists what the model takes for granted whatever the sheet says.
func modelAssumptions(b Build) []Assumption {
	list := []Assumption{{
		Text:   "fuel in proportion to power, from the target up and down",
		Source: "model",
		Effect: "the powers at which parts run out are optimistic if consumption rises with power",
	}}
	if b.Induction.Kind.Boosted() {
		list = append(list, Assumption{
			Text:   "manifold pressure in proportion to power",
			Source: "model, speed and volumetric efficiency unchanged",
			Effect: "a compressor past its best needs more manifold pressure for the same power",
		})
	}
	if b.Fuel.BSFC == 0 {
		list = append(list, Assumption{
			Field:  "fuel.bsfc",
			Text:   "the power route takes the " + b.Policy.Band.String() + " point of the consumption band for this induction and fuel",
			Source: commonPractice,
			Effect: "measured combinations have consumed more than the usual band says; give fuel.bsfc where a log shows it",
		})
	}
	return append(list, Assumption{
		Text:   "the tank is vented to ambient, and the pumps' inlets see ambient pressure",
		Source: "model",
		Effect: "suction losses and hot fuel can starve a pump well below its curve",
	})
}

// DefaultMaxDuty is the largest injector duty allowed where the policy states
// none: common practice, no source.
const DefaultMaxDuty = injector.DefaultMaxDuty
