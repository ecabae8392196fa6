package whatif

import (
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/quantity"
)

// Route is a row of the demand: one of the three routes to it, what is added or taken off,
// or what the system is sized for.
type Route struct {
	Name    string  `json:"name"`
	Mass    Amount  `json:"mass"`
	Volume  Amount  `json:"volume"`
	BSFC    Amount  `json:"bsfc"`
	Note    string  `json:"note"`
	Governs bool    `json:"governs"`
	Raw     float64 `json:"raw"` // kg/s; 0 where there is nothing to draw
}

// demandRoutes are the rows of the assessment's demand table.
func demandRoutes(a *sizing.Assessment, sys quantity.System) []Route {
	table := rows(sys, a.DemandTable)
	list := make([]Route, len(table))
	for i, r := range table {
		list[i] = Route{Name: r.Name, Mass: r.Cells[0], Volume: r.Cells[1], BSFC: r.Cells[2], Note: r.Cells[3].Text}
	}
	d := a.Demand
	for i, flow := range []quantity.MassFlow{d.Routes.Power, d.Routes.Energy, d.Routes.Air} {
		list[i].Raw, list[i].Governs = float64(flow), d.Governing == []demand.Route{demand.Power, demand.Energy, demand.Air}[i]
	}
	list[len(list)-1].Raw = float64(d.Total)
	return list
}

// Part is what one part of the system can carry, and what it has to.
type Part struct {
	Kind    string `json:"kind"`
	Title   string `json:"title"` // the kind, and the part's name in the sheet
	Can     Amount `json:"can"`
	Has     Amount `json:"has"`
	Margin  string `json:"margin"`
	Wanted  string `json:"wanted"`
	Status  string `json:"status"`
	Symbol  string `json:"symbol"`
	First   bool   `json:"first"`   // it gives out first
	Limited bool   `json:"limited"` // it gives out at some power
	Limit   Amount `json:"limit"`   // that power; "any power" where not limited
	Keeps   Amount `json:"keeps"`   // the power up to which the margin wanted is kept

	RawLimit float64 `json:"raw_limit"` // W
	RawKeeps float64 `json:"raw_keeps"` // W
	RawShare float64 `json:"raw_share"` // of what it can carry that it has to
}

// parts are the rows of the assessment's table of margins.
func parts(a *sizing.Assessment, sys quantity.System) []Part {
	table := rows(sys, a.MarginTable)
	weakest := a.Weakest()
	list := make([]Part, len(table))
	for i, r := range table {
		p := a.Parts[i]
		list[i] = Part{
			Kind: p.Kind.String(), Title: r.Name, Can: r.Cells[0], Has: r.Cells[1], Margin: r.Cells[2].Text, Wanted: r.Cells[3].Text,
			Status: p.Status.String(), Symbol: p.Status.Symbol(), Limited: p.Limited, Limit: Amount{Text: "any power"},
			RawShare: 1 / max(1+float64(p.Margin), 1e-3),
		}
		if p.Limited {
			list[i].First = weakest.Limited && p.Kind == weakest.Kind
			list[i].Limit, list[i].Keeps = amount(p.Limit, sys), amount(p.Keeps, sys)
			list[i].RawLimit, list[i].RawKeeps = float64(p.Limit), float64(p.Keeps)
		}
	}
	return list
}

// Duty is that of a set of injectors.
type Duty struct {
	Name    string  `json:"name"`
	Text    string  `json:"text"`
	Allowed string  `json:"allowed"`
	Raw     float64 `json:"raw"`
	RawMost float64 `json:"raw_most"` // allowed
	Over    bool    `json:"over"`
}

func duties(a *sizing.Assessment, sys quantity.System) []Duty {
	most := a.Build.Policy.MaxDuty
	of := func(name string, duty quantity.Ratio, opens bool) Duty {
		d := Duty{Name: name, Text: duty.Percent(1), Allowed: most.Percent(0), Raw: float64(duty), RawMost: float64(most), Over: duty > most}
		if !opens {
			d.Text, d.Raw, d.Over = "none that delivers", 0, true
		}
		return d
	}
	in := a.Injection
	if in.Secondary == nil {
		return []Duty{of("Injector duty", in.Duty, in.Pulse != 0)}
	}
	second := of("Duty of the second set", in.Secondary.Duty, true)
	if in.Secondary.Pulse == 0 {
		second.Text = "at rest"
	}
	return []Duty{of("Duty of the first set", in.Duty, in.Pulse != 0), second}
}

// readings are the numbers that say most.
func readings(a *sizing.Assessment, sys quantity.System) []Reading {
	first := Reading{Name: "Gives out first", Amount: Amount{Text: "no part"}, Note: "as power rises"}
	keeps := Reading{Name: "Margins kept up to", Amount: Amount{Text: "any power"}}
	if w := a.Weakest(); w.Limited {
		first = Reading{"Gives out first", amount(w.Limit, sys), "the " + w.Kind.String()}
		keeps.Amount = amount(a.Keeps(), sys)
		switch {
		case a.Keeps() == 0:
			keeps.Amount = Amount{Text: "no power"}
		case a.Build.Induction.Kind.Boosted():
			keeps.Note = quantity.Format(a.Build.AtPower(a.Keeps()).Induction.Boost, sys) + " of boost"
		}
	}
	return []Reading{
		{"Fuel needed", amount(a.Demand.Volume, sys), strings.Join(texts(amount(a.Demand.Total, sys)), " · ")},
		first, keeps,
		{"Rail over manifold", amount(a.Injection.Differential, sys), "differential pressure"},
	}
}

// texts are those of an amount that are not empty.
func texts(a Amount) []string {
	if a.Other == "" {
		return []string{a.Text}
	}
	return []string{a.Text, a.Other}
}
