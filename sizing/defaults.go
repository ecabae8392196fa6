package sizing

import (
	"fmt"
	"slices"
	"strings"

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

const (
	commonPractice = "common practice, no source"
	silence        = "the build sheet's silence"
)

// filled returns b with every default filled in.
func (b Build) filled() Build {
	b.fill()
	return b
}

// fill fills the defaults in. It changes nothing that b shares with other builds.
func (b *Build) fill() {
	if b.Job.Name == "" {
		b.Job.Name = "Untitled build"
	}
	if n := len(b.Revisions); n > 0 && b.Job.Revision == "" {
		b.Job.Revision = b.Revisions[n-1].Mark
	}
	if b.Job.Revision == "" {
		b.Job.Revision = "A"
	}
	if b.Engine.Strokes == 0 {
		b.Engine.Strokes = 4
	}
	fill(&b.Engine.VolumetricEfficiency, defaultVolumetricEfficiency)
	fill(&b.Engine.BrakeEfficiency, demand.Efficiency(b.Induction.Kind))
	fill(&b.Engine.IdleSpeed, 900*quantity.RPM)
	fill(&b.Engine.IdlePressure, 40*quantity.Kilopascal)
	ambient := b.ambient()
	b.Induction.Barometer, b.Induction.AmbientTemperature = ambient.Pressure, ambient.Temperature
	fill(&b.Fuel.Temperature, quantity.Celsius(30))
	fill(&b.Tank.Temperature, b.Fuel.Temperature)
	fill(&b.Electrical.Voltage, 13.5*quantity.Volt)
	fill(&b.Electrical.PumpVoltage, b.Electrical.Voltage)
	fill(&b.Electrical.Supply, b.Electrical.Voltage)
	if b.Injectors.Count == 0 {
		b.Injectors.Count = b.Engine.Cylinders
	}
	b.Injectors.Wiring = b.Injectors.Wiring.filled()
	if b.Secondary != nil {
		second := *b.Secondary // not to change the caller's
		if second.Count == 0 {
			second.Count = b.Engine.Cylinders
		}
		if len(second.DeadTime) == 0 {
			second.DeadTime = b.Injectors.DeadTime
		}
		b.Secondary = &second
	}
	if b.Nitrous.Flow != 0 || b.Nitrous.Power != 0 {
		fill(&b.Nitrous.Lambda, b.Target.Lambda)
	}
	if b.WaterMethanol.Flow != 0 {
		fill(&b.WaterMethanol.Methanol, 0.5)
		fill(&b.WaterMethanol.Temperature, quantity.Celsius(20))
	}
	fill(&b.Regulator.Rise, 1)
	if b.Regulator.Control == ByPumpSpeed {
		fill(&b.Regulator.LeastSpeed, 0.3)
	}
	b.Pumps = slices.Clone(b.Pumps)
	for i := range b.Pumps {
		p := &b.Pumps[i]
		if p.Count == 0 {
			p.Count = 1
		}
		p.Wiring = p.Wiring.filled()
	}
	b.Suction, b.ReturnLine = filledLines(b.Suction), filledLines(b.ReturnLine)
	if b.FeedLine.bore() != 0 {
		fill(&b.FeedLine.Roughness, plumbing.DefaultRoughness)
	}
	fill(&b.Policy.MaxDuty, DefaultMaxDuty)
	for _, m := range []**quantity.Ratio{&b.Policy.InjectorMargin, &b.Policy.PumpMargin, &b.Policy.LineMargin} {
		if *m == nil {
			*m = Wanted(0.10)
		}
	}
	fill(&b.Policy.AllowedLineLoss, 35*quantity.KilopascalDiff)
	fill(&b.Policy.InletMargin, 10*quantity.KilopascalDiff)
}

// filled returns the wiring with its defaults; nil stays nil.
func (w *Wiring) filled() *Wiring {
	if w == nil {
		return nil
	}
	full := *w
	fill(&full.Temperature, quantity.Celsius(60))
	fill(&full.Allowance, 0.10)
	fill(&full.Contacts, 5*quantity.Milliohm)
	return &full
}

// filledLines returns the segments with their defaults.
func filledLines(list []Segment) []Segment {
	list = slices.Clone(list)
	for i := range list {
		if list[i].bore() != 0 {
			fill(&list[i].Roughness, plumbing.DefaultRoughness)
		}
	}
	return list
}

// assumptions lists what was filled into b where given, the build before, was silent,
// and what the model takes for granted.
func (b Build) assumptions(given Build) []Assumption {
	var list []Assumption
	sys := b.Job.Units
	assume := func(field, text, source, effect string) {
		list = append(list, Assumption{Field: field, Text: text, Source: source, Effect: effect})
	}
	if given.Engine.Strokes == 0 {
		assume("engine.strokes", "four-stroke cycle", "the usual engine of this trade",
			"a two-stroke draws air and injects twice as often")
	}
	if given.Engine.VolumetricEfficiency == 0 {
		assume("engine.volumetric_efficiency", "volumetric efficiency 95 % by manifold density", commonPractice,
			"the air route moves in proportion")
	}
	if given.Engine.BrakeEfficiency == 0 {
		assume("engine.brake_efficiency", "brake efficiency "+b.Engine.BrakeEfficiency.Percent(0)+" of the heat released, by induction", commonPractice,
			"the energy route moves in inverse proportion")
	}
	if given.Engine.IdleSpeed == 0 {
		assume("engine.idle_speed", "idle at 900 rpm", commonPractice, "enters only the idle pulse and the heat at idle")
	}
	if given.Engine.IdlePressure == 0 {
		assume("engine.idle_manifold_pressure", "idle manifold pressure "+quantity.Format(b.Engine.IdlePressure, sys)+", absolute", commonPractice,
			"the idle pulse less its dead time moves in proportion; long camshafts idle higher")
	}
	if given.Induction.Barometer == 0 {
		assume("induction.barometer", "ambient pressure "+quantity.Format(b.Induction.Barometer, sys)+", standard atmosphere at "+lengthText(b.Induction.Altitude, sys), "ISO 2533:1975",
			"lower ambient pressure lowers manifold pressure at the same boost, and with it the air route")
	}
	if given.Induction.AmbientTemperature == 0 && given.Induction.ChargeTemperature == 0 {
		assume("induction.ambient_temperature", "ambient air at "+quantity.Format(b.Induction.AmbientTemperature, sys)+", standard atmosphere", "ISO 2533:1975",
			"a hot day heats the charge and takes from the air route: about 1 % for 3 K (5 °F)")
	}
	if given.Induction.AmbientTemperature == 0 && given.Induction.ChargeTemperature != 0 && b.Tank.Fuel != 0 && b.Tank.Cooling != 0 {
		assume("induction.ambient_temperature", "air around the tank at "+quantity.Format(b.Induction.AmbientTemperature, sys)+", standard atmosphere", "ISO 2533:1975",
			"the tank gives less of its heat to warmer air")
	}
	if b.Induction.Humidity == 0 {
		assume("induction.humidity", "dry ambient air", silence,
			"at 30 °C (86 °F) and 60 % humidity the air route falls by 2.5 %")
	}
	if given.Fuel.Temperature == 0 {
		assume("fuel.temperature", "fuel at "+quantity.Format(b.Fuel.Temperature, sys)+" at the rail", commonPractice,
			"10 K (18 °F) more takes about 1 % off the density: half a percent off the injectors' mass flow, one off the pumps'")
	}
	if given.Tank.Temperature == 0 {
		assume("tank.temperature", "fuel in the tank as warm as at the rail, "+quantity.Format(b.Tank.Temperature, sys), silence,
			"enters only the margins to boiling and how the tank warms")
	}
	b.assumeElectrical(given, assume)
	b.assumeInjectors(given, assume)
	if b.Nitrous.Lambda != given.Nitrous.Lambda {
		assume("nitrous.lambda", "nitrous oxide burns at the target's lambda, "+quantity.Digits(float64(b.Nitrous.Lambda), 3), silence, "its fuel moves in inverse proportion")
	}
	if b.WaterMethanol.Methanol != given.WaterMethanol.Methanol {
		assume("water_methanol.methanol", "half of the injected mixture is methanol by volume", commonPractice, "the fuel that it replaces moves in proportion")
	}
	if b.WaterMethanol.Temperature != given.WaterMethanol.Temperature {
		assume("water_methanol.temperature", "the injected mixture at "+quantity.Format(b.WaterMethanol.Temperature, sys), commonPractice, "10 K (18 °F) move the methanol in it, and the fuel that it replaces, by about 1 %")
	}
	if b.Regulator.LeastSpeed != given.Regulator.LeastSpeed {
		assume("regulator.least_speed", "the controller slows the pumps to no less than "+b.Regulator.LeastSpeed.Percent(0)+" of full motor voltage", commonPractice, "below it the pumps bring more than an idling engine burns, and the rail rises")
	}
	b.assumeLines(given, assume)
	if given.Policy.MaxDuty == 0 {
		assume("policy.max_duty", "injector duty no higher than 85 %", commonPractice, "the injectors' margin moves with it")
	}
	for _, m := range []struct {
		field, of string
		margin    *quantity.Ratio
	}{
		{"policy.injector_margin", "injectors", given.Policy.InjectorMargin},
		{"policy.pump_margin", "pumps", given.Policy.PumpMargin},
		{"policy.line_margin", "feed line", given.Policy.LineMargin},
	} {
		if m.margin == nil && (m.of != "feed line" || !b.FeedLine.IsZero()) {
			assume(m.field, "a margin of 10 % is wanted at the "+m.of, commonPractice, "changes the verdict, no number")
		}
	}
	if given.Policy.AllowedLineLoss == 0 && !b.FeedLine.IsZero() {
		assume("policy.allowed_line_loss", quantity.Format(b.Policy.AllowedLineLoss, sys)+" may be lost between pump and rail at the demand", commonPractice, "changes the feed line's margin only")
	}
	if given.Policy.InletMargin == 0 {
		assume("policy.inlet_margin", quantity.Format(b.Policy.InletMargin, sys)+" are wanted at the pumps' inlet over the fuel's vapour pressure", commonPractice, "changes the suction side's margin only; a pump's maker may ask for more")
	}
	b.assumeDoubts(assume)
	return append(list, modelAssumptions(b)...)
}

type assumeFunc func(field, text, source, effect string)

func (b Build) assumeElectrical(given Build, assume assumeFunc) {
	sys := b.Job.Units
	if given.Electrical.Voltage == 0 && b.Injectors.Wiring == nil {
		assume("electrical.voltage", "13.5 V at the injectors", commonPractice, "less voltage lengthens the dead time")
	}
	bare, wired := b.electricPumps()
	if given.Electrical.PumpVoltage == 0 && bare {
		assume("electrical.pump_voltage", "pump terminals at "+quantity.Format(b.Electrical.PumpVoltage, sys)+", no loss in the wiring", silence,
			"a volt lost in wiring and earth costs an electric pump much of its flow at pressure; measure it under load")
	}
	if given.Electrical.Supply == 0 && (wired || b.Injectors.Wiring != nil) {
		assume("electrical.supply", quantity.Format(b.Electrical.Supply, sys)+" where the wiring starts", silence, "the voltage at pumps and injectors moves with it")
	}
	for i, p := range b.Pumps {
		given.Pumps[i].Wiring.assume(fmt.Sprintf("pumps[%d].wiring", i+1), "wiring of "+p.name(i), p.Wiring, sys, assume)
	}
	given.Injectors.Wiring.assume("injectors.wiring", "injectors' wiring", b.Injectors.Wiring, sys, assume)
}

// electricPumps tells whether there are electric pumps without described wiring, and
// with it.
func (b Build) electricPumps() (bare, wired bool) {
	for _, p := range b.Pumps {
		bare = bare || p.Mechanical == nil && p.Wiring == nil
		wired = wired || p.Wiring != nil
	}
	return bare, wired
}

// assume tells what full has where w was silent.
func (w *Wiring) assume(field, name string, full *Wiring, sys quantity.System, assume assumeFunc) {
	if w == nil {
		return
	}
	if w.Return == 0 {
		assume(field+".return", name+": the way back as long as the way there, "+lengthText(w.Length, sys), silence, "a short earth halves what the wire loses")
	}
	if w.Temperature == 0 {
		assume(field+".temperature", name+": copper at "+quantity.Format(full.Temperature, sys), commonPractice, "10 K (18 °F) move the drop by 4 %")
	}
	if w.Allowance == 0 {
		assume(field+".allowance", name+": "+full.Allowance.Percent(0)+" more resistance than solid copper", commonPractice, "the drop in the wire moves with it")
	}
	if w.Contacts == 0 {
		assume(field+".contacts", name+": "+quantity.FormatIn(full.Contacts, quantity.Milliohm)+" in fuse, relay and connectors", commonPractice, "worn contacts have many times that; measure the drop under load")
	}
}

func (b Build) assumeInjectors(given Build, assume assumeFunc) {
	sys := b.Job.Units
	if given.Injectors.Count == 0 {
		assume("injectors.count", "one injector per cylinder", silence, "demand per injector moves in inverse proportion")
	}
	if b.Injectors.Flow.FluidAssumed() {
		assume("injectors.flow", "injectors rated on n-heptane at "+quantity.Format(b.Injectors.Flow.Temperature(), sys), "usual content of SAE J1832, from memory",
			"rated on a denser fluid by volume, they pass less fuel than computed: gasoline in place of n-heptane is about 4 %")
	}
	if given.Secondary == nil {
		return
	}
	if given.Secondary.Count == 0 {
		assume("secondary_injectors.count", "one injector of the second set per cylinder", silence, "their share of the capability moves in proportion")
	}
	if len(given.Secondary.DeadTime) == 0 {
		assume("secondary_injectors.dead_time", "the second set has the dead time of the first", silence, "moves the duty of the second set")
	}
}

func (b Build) assumeLines(given Build, assume assumeFunc) {
	if b.FeedLine.bore() == 0 {
		assume("feed_line", "no loss between pump and rail", silence,
			"a real line costs pump pressure, and so pump flow")
	}
	var smooth []string
	for i, s := range given.Suction {
		if s.bore() != 0 && s.Roughness == 0 {
			smooth = append(smooth, fmt.Sprintf("suction[%d].roughness", i+1))
		}
	}
	if given.FeedLine.bore() != 0 && given.FeedLine.Roughness == 0 {
		smooth = append(smooth, "feed_line.roughness")
	}
	for i, s := range given.ReturnLine {
		if s.bore() != 0 && s.Roughness == 0 {
			smooth = append(smooth, fmt.Sprintf("return_line[%d].roughness", i+1))
		}
	}
	if len(smooth) > 0 {
		assume(strings.Join(smooth, ", "), "lines as smooth as drawn tubing, "+quantity.FormatIn(plumbing.DefaultRoughness, quantity.Micrometre), "handbook value for drawn tubing (Moody), from memory",
			"a rougher bore loses more; convoluted hose much more")
	}
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
	tank := Assumption{
		Text:   "the tank is vented to ambient, and the pumps' inlets see ambient pressure",
		Source: "model",
		Effect: "suction losses and hot fuel can starve a pump well below its curve",
	}
	if len(b.Suction) > 0 {
		tank.Text, tank.Effect = "the tank is vented to ambient", "a blocked vent takes its vacuum off the pumps' inlet pressure"
	}
	return append(list, tank)
}

// DefaultMaxDuty is the largest injector duty allowed where the policy states
// none: common practice, no source.
const DefaultMaxDuty = injector.DefaultMaxDuty
