package display

import "example.com/railbook/sizing"

// The tables of an assessment, in the units of its sheet.

// MarginTable lists every part with what it can carry, what it has to, its
// margin, and the power at which it runs out.
func MarginTable(a *sizing.Assessment) sizing.Table { return a.MarginTable(a.Build.Job.Units) }

// DemandTable shows the fuel demand by its three routes.
func DemandTable(a *sizing.Assessment) sizing.Table { return a.DemandTable(a.Build.Job.Units) }

// InjectionTable shows what each injector does and how the fuel gets there.
func InjectionTable(a *sizing.Assessment) sizing.Table { return a.InjectionTable(a.Build.Job.Units) }

// InputTable shows the build as it was assessed, defaults filled in.
func InputTable(a *sizing.Assessment) sizing.Table { return a.InputTable(a.Build.Job.Units) }

// AssumptionTable lists what the assessment took for granted.
func AssumptionTable(a *sizing.Assessment) sizing.Table {
	t := sizing.Table{Caption: "Taken for granted", Columns: []sizing.Column{{Name: "Assumption"}, {Name: "Source"}, {Name: "If it is wrong"}}}
	for _, as := range a.Assumptions {
		t.Rows = append(t.Rows, []string{as.Text, as.Source, as.Effect})
	}
	return t
}

// WorkingTable shows the arithmetic: each formula, the numbers put in, the
// result and the source.
func WorkingTable(a *sizing.Assessment) sizing.Table { return stepTable(a.Working(a.Build.Job.Units)) }

func stepTable(steps []sizing.Step) sizing.Table {
	t := sizing.Table{Caption: "The working", Columns: []sizing.Column{
		{Name: "Step"}, {Name: "Formula"}, {Name: "Numbers put in"}, {Name: "Result", Numeric: true}, {Name: "Source"},
	}}
	for _, s := range steps {
		t.Rows = append(t.Rows, []string{s.Title, s.Formula, s.Numbers, s.Result, s.Source})
	}
	return t
}
