package sizing

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Table is a table of text, ready for a terminal, a notebook or a page. The
// first column names the row.
type Table struct {
	Caption string
	Columns []Column
	Rows    [][]string
	Status  []Status // of each row, where the table judges; nil otherwise
	// Fields are the paths in the build sheet that each row shows, where it shows inputs;
	// nil otherwise. A path of a table stands for all that is in it.
	Fields [][]string `json:",omitempty"`
}

// Column heads one column of a [Table].
type Column struct {
	Name    string
	Numeric bool // to be set flush right
}

func columns(names ...string) []Column {
	list := make([]Column, len(names))
	for i, n := range names {
		list[i] = Column{Name: n, Numeric: i > 0}
	}
	return list
}

// DemandTable shows the fuel demand by its three routes.
func (a *Assessment) DemandTable(sys quantity.System) Table {
	d := a.Demand
	t := Table{
		Caption: "Fuel demand at " + quantity.Format(a.Power, sys) + " on " + a.Build.Fuel.Blend.String(),
		Columns: append(columns("Route", "Fuel mass flow", "Fuel volume flow", "BSFC"), Column{Name: ""}),
	}
	for _, r := range []struct {
		name  string
		route demand.Route
		flow  quantity.MassFlow
	}{
		{"Power", demand.Power, d.Routes.Power},
		{"Energy", demand.Energy, d.Routes.Energy},
		{"Air", demand.Air, d.Routes.Air},
	} {
		note := ""
		if r.route == d.Governing {
			note = "governs"
		}
		t.Rows = append(t.Rows, []string{
			r.name, quantity.Format(r.flow, sys), quantity.Format(r.flow.Volume(d.Density), sys),
			quantity.Format(quantity.SpecificConsumption(float64(r.flow)/float64(a.Power)), sys), note,
		})
	}
	if c := d.Added.Circuit; c.Pumps != 0 || c.Separate != 0 {
		flow := max(c.Pumps, c.Separate)
		t.Rows = append(t.Rows, []string{"Nitrous oxide", quantity.Format(flow, sys), quantity.Format(flow.Volume(d.Density), sys), "", "from: " + a.Build.Nitrous.Fuel.String()})
	}
	if d.Added.Replaced != 0 {
		note := "shown only"
		if d.Added.Credited != 0 {
			note = "taken off"
		}
		t.Rows = append(t.Rows, []string{"Replaced by methanol", quantity.Format(d.Added.Replaced, sys), quantity.Format(d.Added.Replaced.Volume(d.Density), sys), "", note})
	}
	note := "no allowance"
	if al := a.Build.Target.Allowance; al != 0 {
		note = al.Percent(0) + " allowance added"
	}
	t.Rows = append(t.Rows, []string{
		"Sized for", quantity.Format(d.Total, sys), quantity.Format(d.Volume, sys),
		quantity.Format(quantity.SpecificConsumption(float64(d.Total)/float64(a.Power)), sys), note,
	})
	return t
}

// MarginTable shows every part with what it can carry, what it has to, its
// margin and the power at which it runs out.
func (a *Assessment) MarginTable(sys quantity.System) Table {
	t := Table{
		Caption: "Parts and margins at " + quantity.Format(a.Power, sys),
		Columns: append(columns("Part", "Can carry", "Has to carry", "Margin", "Wanted", "Runs out at"), Column{Name: "Status"}),
	}
	weakest := a.Weakest()
	for _, p := range a.Parts {
		name := p.Kind.String()
		if p.Name != "" {
			name += ": " + p.Name
		}
		can, has := quantity.Format(p.Capability, sys), quantity.Format(p.Demand, sys)
		if p.Kind == IdleInjectionPart {
			can = quantity.Format(a.Build.Injectors.MinimumPulse, sys) + " least"
			has = quantity.Format(a.Idle.Pulse, sys)
		}
		limit, wanted := "any power", "none"
		if p.Limited || p.Wanted != 0 {
			wanted = p.Wanted.Percent(0)
		}
		if p.Limited {
			limit = quantity.Format(p.Limit, sys)
			if p.Kind == weakest.Kind {
				limit += " (first)"
			}
		}
		t.Rows = append(t.Rows, []string{name, can, has, signed(p.Margin), wanted, limit, p.Status.Symbol() + " " + p.Status.String()})
		t.Status = append(t.Status, p.Status)
	}
	return t
}

func signed(margin quantity.Ratio) string {
	return strings.Replace(fmt.Sprintf("%+.0f %%", 100*float64(margin)), "-", "−", 1)
}

// InjectionTable shows what each injector does at the target.
func (a *Assessment) InjectionTable(sys quantity.System) Table {
	in, d := a.Injection, a.Delivery
	rows := [][]string{
		{"Fuel per injector", quantity.Format(in.PerInjector, sys)},
		{"Differential pressure, rail over manifold", quantity.Format(in.Differential, sys)},
		{"Static flow on this fuel at that pressure", quantity.Format(in.Static, sys) + " = " + quantity.FormatIn(in.StaticVolume, quantity.CCPerMinute)},
		{"Static flow needed, dead time counted", quantity.Format(in.StaticNeeded, sys)},
		{"Static flow needed, dead time left out", quantity.Format(in.RuleOfThumb, sys)},
		{"Time between injections", quantity.Format(in.Interval, sys)},
		{"Dead time", quantity.Format(in.DeadTime, sys)},
		{"Pulse width", quantity.Format(in.Pulse, sys)},
		{"Duty, largest allowed " + a.Build.Policy.MaxDuty.Percent(0), in.Duty.Percent(1)},
		{"Pulse width at idle", quantity.Format(a.Idle.Pulse, sys)},
		{"Rail pressure over ambient, set", quantity.Format(d.SetRail.Above(a.Build.Induction.Barometer), sys)},
		{"Rail pressure over ambient, found", quantity.Format(d.Rail.Above(a.Build.Induction.Barometer), sys)},
		{"Pump pressure, outlet over inlet", quantity.Format(d.PumpRise, sys)},
		{"Pump flow", quantity.Format(d.PumpFlow, sys)},
		{"Returned by the regulator", quantity.Format(d.Return, sys)},
		{"Lost between pump and rail", quantity.Format(d.LineLoss, sys)},
		{"Fuel delivered", quantity.Format(d.Delivered, sys)},
		{"Power that this fuel supports", quantity.Format(d.Supported, sys)},
	}
	if second := in.Secondary; second != nil {
		rows = slices.Insert(rows, 9, [][]string{
			{"Second set: fuel per injector", quantity.Format(second.PerInjector, sys)},
			{"Second set: static flow", quantity.Format(second.Static, sys) + " = " + quantity.FormatIn(second.StaticVolume, quantity.CCPerMinute)},
			{"Second set: pulse width", quantity.Format(second.Pulse, sys)},
			{"Second set: duty", second.Duty.Percent(1)},
		}...)
	}
	return Table{Caption: "Injection and delivery at " + quantity.Format(a.Power, sys), Columns: columns("Quantity", "Value"), Rows: rows}
}
