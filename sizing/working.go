package sizing

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/quantity"
)

// Step is one line of the working: a formula, the same with the numbers put in,
// the result, and where the formula comes from.
type Step struct {
	Title   string   `json:"title"`
	Formula string   `json:"formula"`
	Numbers string   `json:"numbers"`
	Result  string   `json:"result"`
	Source  string   `json:"source"`
	Origins []Origin `json:"origins,omitempty"` // of the numbers put in, in their order
}

// Origin says where a number put into a formula comes from: a field of the build sheet,
// stated there or assumed in its place, or the result of an earlier step.
type Origin struct {
	Start int    `json:"start"` // of its text in the step's Numbers, in bytes
	End   int    `json:"end"`
	Field string `json:"field,omitempty"` // path of the field
	Step  int    `json:"step,omitempty"`  // number of the step, from 1
}

// Working shows the arithmetic behind the results that matter, in the order in
// which they are found, with quantities printed in the given system. The numbers
// are rounded for print; the results were computed from the unrounded ones. Where the
// system is both, numbers are put in in the first and results printed in both.
func (a *Assessment) Working(sys quantity.System) []Step {
	w := working{sys: sys.First(), both: sys, found: map[string]int{}}
	w.target(a)
	w.demand(a)
	w.injection(a)
	w.delivery(a)
	return w.steps
}

// working puts steps together.
type working struct {
	sys   quantity.System // of the numbers put in
	both  quantity.System // of the results
	steps []Step
	found map[string]int // numbers of the steps whose results later ones use, by a name
}

// Numbers are marked with their origin while a step is put together.
const (
	markOpens   = "\x01"
	markDivides = "\x02"
	markCloses  = "\x03"
	markStep    = "#" // before the name of a step; no path begins so
)

// from marks a number as that of a field of the sheet.
func from(path, text string) string { return markOpens + path + markDivides + text + markCloses }

// of marks a number as the result of an earlier step, or where there is no such step as
// that of a field.
func (w *working) of(name, path, text string) string {
	if w.found[name] == 0 {
		return from(path, text)
	}
	return markOpens + markStep + name + markDivides + text + markCloses
}

// add adds a step.
func (w *working) add(title, formula, numbers, result, source string) {
	s := Step{Title: title, Formula: formula, Result: result, Source: source}
	var plain strings.Builder
	for {
		before, rest, marked := strings.Cut(numbers, markOpens)
		plain.WriteString(before)
		if !marked {
			break
		}
		origin, rest, _ := strings.Cut(rest, markDivides)
		text, after, _ := strings.Cut(rest, markCloses)
		o := Origin{Start: plain.Len(), Field: origin}
		plain.WriteString(text)
		o.End = plain.Len()
		if name, ok := strings.CutPrefix(origin, markStep); ok {
			o.Field, o.Step = "", w.found[name]
		}
		s.Origins = append(s.Origins, o)
		numbers = after
	}
	s.Numbers = plain.String()
	w.steps = append(w.steps, s)
}

// name gives the result of the last step a name.
func (w *working) name(name string) { w.found[name] = len(w.steps) }

// in prints a number to be put in, out a result.
func in[Q quantity.Quantity](w *working, q Q) string  { return quantity.Format(q, w.sys) }
func out[Q quantity.Quantity](w *working, q Q) string { return quantity.Format(q, w.both) }

func (w *working) target(a *Assessment) {
	b := a.Build
	stated := out(w, b.statedPower())
	loss := from("target.drivetrain_loss", b.Target.DrivetrainLoss.String())
	switch t := b.Target; {
	case t.WheelPower != 0:
		w.add("Crank power", "P = P_wheel / (1 − loss)", fmt.Sprintf("%s / (1 − %s)", from("target.wheel_power", in(w, t.WheelPower)), loss), stated, "definition of the drivetrain loss")
		w.name("power")
	case t.Torque != 0:
		w.add("Crank power", "P = T · ω", fmt.Sprintf("%s × %s", from("target.torque", in(w, t.Torque)), from("engine.speed", in(w, b.Engine.Speed))), stated, "definition of power")
		w.name("power")
	case t.TrapSpeed != 0:
		w.add("Crank power", "P = m · (v / 225 mph)³ hp/lb", fmt.Sprintf("%s × (%s / 225 mph)³", from("target.vehicle_mass", quantity.Format(t.VehicleMass, quantity.US)), from("target.trap_speed", quantity.FormatIn(t.TrapSpeed, quantity.MilePerHour))),
			stated, "Huntington's rule, in Nahin, In Praise of Simple Physics, p. 33")
		w.name("power")
	case t.ElapsedTime != 0:
		w.add("Crank power, at least", "P = 9 m x² / (8 t³) / (1 − loss)", fmt.Sprintf("9 × %s × (402.336 m)² / (8 × (%s)³) / (1 − %s)",
			from("target.vehicle_mass", quantity.Format(t.VehicleMass, quantity.SI)), from("target.elapsed_time", quantity.Digits(float64(t.ElapsedTime), 4)+" s"), loss), stated, "constant power, Fox 1973 (from memory)")
		w.name("power")
	}
	if t := b.Target; t.Correction != air.None {
		dry := b.dyno().Dry()
		factor, _ := t.Correction.Factor(dry, t.DynoTemperature)
		w.add("Power really made", "P = P_corrected / factor(p_dry, T)", fmt.Sprintf("%s / %s, factor of %s at %s dry and %s", w.of("power", "target.power", in(w, b.statedPower())), from("target.correction", quantity.Digits(float64(factor), 4)),
			from("target.correction", t.Correction.String()), from("target.dyno_barometer", in(w, dry)), from("target.dyno_temperature", in(w, t.DynoTemperature))),
			out(w, a.Power), t.Correction.String()+", from memory or public pages")
		w.name("power")
	}
	w.add("Manifold pressure, absolute", "p = p_ambient + boost", from("induction.barometer", in(w, b.Induction.Barometer))+" + "+from("induction.boost", in(w, b.Induction.Boost)),
		out(w, a.Manifold), "definition of gauge pressure")
	w.name("manifold")
	if b.Induction.CompressorEfficiency != 0 {
		c := b.charge()
		w.add("Charge behind the compressor", "T₂ = T₁ · (1 + (r^(2/7) − 1) / η)", fmt.Sprintf("%s × (1 + (%s^(2/7) − 1) / %s)",
			from("induction.ambient_temperature", quantity.Digits(float64(c.Inlet.Temperature), 4)+" K"), w.of("manifold", "", quantity.Digits(float64(c.Ratio), 4)),
			from("induction.compressor_efficiency", b.Induction.CompressorEfficiency.String())), out(w, c.Discharge.Temperature), "definition of isentropic efficiency, γ = 1.4")
		w.name("discharge")
		w.add("Charge in the manifold", "T₃ = T₂ − ε · (T₂ − T_coolant)", fmt.Sprintf("%s, ε = %s", w.of("discharge", "", in(w, c.Discharge.Temperature)), from("induction.intercooler_effectiveness", b.Induction.IntercoolerEffectiveness.Percent(0))),
			out(w, c.Manifold.Temperature), "definition of heat exchanger effectiveness")
		w.name("charge")
	}
}

// power is the target power as it is put in.
func (w *working) power(a *Assessment) string { return w.of("power", "target.power", in(w, a.Power)) }
