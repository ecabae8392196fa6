package report

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/report/internal/layout"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// combination writes the section on what was assessed, in short.
func (w *writer) combination() {
	job := w.a.Build.Job
	w.lead(fmt.Sprintf("%s names what was assessed. %s has every input, and where each comes from: the build sheet, or one of the assumptions of %s.",
		capital(w.next()), capital(w.section(inputsTitle)), w.section(assumptionsTitle)))
	t := layout.Table{Caption: "The combination in short", Columns: []layout.Column{{Name: "What", Strong: true, Share: 0.22}, {Name: "As assessed", Share: 0.78}}}
	for _, row := range w.combined() {
		t.Rows = append(t.Rows, []string{row[0], tie(row[1])})
	}
	w.put(t)
	if len([]rune(job.Notes)) > longNotes {
		w.doc.Heading("Notes on the job")
		w.text(job.Notes)
	}
}

// combined describes the build in a few rows.
func (w *writer) combined() [][2]string {
	b := w.a.Build
	var rows [][2]string
	row := func(name string, parts ...string) { rows = append(rows, [2]string{name, join(", ", parts...)}) }
	stroke := "four-stroke"
	if b.Engine.Strokes == 2 {
		stroke = "two-stroke"
	}
	row("Engine", plural(b.Engine.Cylinders, "cylinder", "cylinders"), format(w, b.Engine.Displacement), stroke, "target at "+format(w, b.Engine.Speed))
	wheels := ""
	if b.Target.WheelPower != 0 {
		wheels = format(w, b.Target.WheelPower) + " at the wheels"
	}
	allowance := "no allowance"
	if b.Target.Allowance != 0 {
		allowance = b.Target.Allowance.Percent(0) + " allowance on the fuel"
	}
	row("Target", format(w, w.a.Power)+" at the crank", wheels, "λ "+quantity.Digits(float64(b.Target.Lambda), 3), allowance)
	boost := ""
	if b.Induction.Kind.Boosted() {
		boost = format(w, b.Induction.Boost) + " over an ambient " + format(w, b.Induction.Barometer)
	}
	row("Induction", b.Induction.Kind.String(), boost, "charge at "+format(w, b.ChargeTemperature()))
	row("Fuel", b.Fuel.Blend.String(), format(w, b.Fuel.Temperature)+" at the rail")
	i := b.Injectors
	row("Injectors", counted(i.Count, nameOr(i.Part, "injectors")), i.Flow.Format(w.sys), i.Firing.String())
	if s := b.Secondary; s != nil {
		row("Second set", counted(s.Count, nameOr(s.Part, "injectors")), s.Flow.Format(w.sys), "from a duty of "+s.Start.Percent(0)+" of the first", s.Staging.String()+" staging")
	}
	for k, p := range b.Pumps {
		kind := "electric"
		if p.Mechanical != nil {
			kind = "driven by the engine"
		}
		name := "Pumps"
		if p.Role == sizing.Lift {
			name = "Lift pumps"
		}
		row(name, counted(p.Count, nameOr(p.Part, fmt.Sprintf("pump %d", k+1))), kind)
	}
	if s := b.SurgeTank; s != nil {
		row("Surge tank", format(w, s.Volume))
	}
	r := b.Regulator
	row("Regulator", r.Part, regulatorWords(r), "base pressure "+format(w, r.BasePressure))
	line := "not described: no loss is counted"
	if !b.FeedLine.IsZero() {
		line = join(", ", b.FeedLine.Part, w.lineWords(b.FeedLine))
	}
	row("Feed line", line)
	if n := b.Nitrous; w.a.Demand.Added.Nitrous != 0 {
		row("Nitrous oxide", "adds "+format(w, w.a.Demand.Added.NitrousPower)+" on top of the target", "its fuel from: "+n.Fuel.String())
	}
	if m := b.WaterMethanol; m.Flow != 0 {
		row("Water-methanol", quantity.FormatIn(m.Flow, quantity.CCPerMinute), m.Methanol.String()+" methanol by volume")
	}
	if b.Job.Use != sizing.UseNotStated {
		row("Use", b.Job.Use.String())
	}
	return rows
}

// inputs are the inputs in full, and the anchors of their rows by the paths they show.
type inputs struct {
	table sizing.Table
	paths map[string]string
}

func inputsOf(a *sizing.Assessment, sys quantity.System) inputs {
	in := inputs{table: a.InputTable(sys), paths: map[string]string{}}
	for _, fields := range in.table.Fields {
		for _, f := range fields {
			if _, taken := in.paths[f]; !taken {
				in.paths[f] = fields[0]
			}
		}
	}
	return in
}

// covering is the field or table shown in a row that a path is or lies in.
func (in inputs) covering(path string) (string, bool) {
	for p := path; p != ""; {
		if _, ok := in.paths[p]; ok {
			return p, true
		}
		p = p[:max(strings.LastIndexAny(p, ".["), 0)]
	}
	return "", false
}

// anchor is that of the row that shows a field: the field itself, the table that it lies
// in, or the first of what lies in it.
func (in inputs) anchor(path string) (string, bool) {
	if p, ok := in.covering(path); ok {
		return in.paths[p], true
	}
	for _, fields := range in.table.Fields {
		for _, f := range fields {
			if strings.HasPrefix(f, path+".") || strings.HasPrefix(f, path+"[") {
				return in.paths[f], true
			}
		}
	}
	return "", false
}

// fullInputs writes the appendix with every input.
func (w *writer) fullInputs() {
	w.lead(fmt.Sprintf("%s is the build sheet as assessed, defaults filled in. The last column names the fields of the sheet; where it has the number of an assumption, the sheet was silent and %s says what was taken. The sheet itself is attached to this file as %s.",
		capital(w.next()), w.section(assumptionsTitle), SheetName))
	in := w.inputs.table
	t := layout.Table{Caption: "Every input", Columns: []layout.Column{
		{Name: "Input", Share: 0.27}, {Name: "Value", Share: 0.43}, {Name: "Field of the sheet", Share: 0.30},
	}}
	named := map[string]bool{}
	for i, row := range in.Rows {
		var fields []string
		for _, f := range in.Fields[i] {
			text := f
			if w.inputs.paths[f] == f && !named[f] && f == in.Fields[i][0] {
				named[f] = true
				text = layout.Anchor("input-"+f) + text
			}
			fields = append(fields, join(" ", append([]string{text}, w.assumedIn(f)...)...))
		}
		// Each voltage of a pump's curves on its own line.
		value := strings.ReplaceAll(row[1], "; ", "\n")
		t.Rows = append(t.Rows, []string{sentence(tie(row[0])), tie(value), strings.Join(fields, ", ")})
	}
	w.put(t)
}

// assumedIn refers to the assumptions that stand in for a field, or for fields in it that
// have no row of their own.
func (w *writer) assumedIn(path string) []string {
	var numbers []int
	for field, n := range w.assumed {
		if p, ok := w.inputs.covering(field); ok && p == path {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	var marks []string
	for _, n := range slices.Compact(numbers) {
		marks = append(marks, assumption(n))
	}
	return marks
}

// paths are the fields of the sheet that an assumption stands in for.
func paths(x sizing.Assumption) []string {
	return slices.DeleteFunc(strings.Split(x.Field, ", "), func(p string) bool { return p == "" })
}
