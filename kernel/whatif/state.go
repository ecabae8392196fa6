package whatif

import (
	"errors"
	"fmt"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// State is everything a panel shows at one setting. Texts are as the assessment prints
// them, in the units of the sheet; raw numbers are in SI and for drawing only.
type State struct {
	// Refused says why there is no answer here. The rest, but for Values and Changes, is
	// then empty.
	Refused string   `json:"refused,omitempty"`
	Values  []Value  `json:"values"`  // of the sliders, in their order
	Changes []string `json:"changes"` // from the sheet: "boost 22 psi → 26.5 psi"

	Status   string     `json:"status"`
	Symbol   string     `json:"symbol"`
	Verdict  string     `json:"verdict"`
	Fuel     string     `json:"fuel"`
	Power    Amount     `json:"power"`
	RawPower float64    `json:"raw_power"` // W
	Readings []Reading  `json:"readings"`  // the few that say most
	Duties   []Duty     `json:"duties"`    // of each set of injectors
	Demand   []Route    `json:"demand"`
	Spread   string     `json:"spread"` // of the three routes
	Parts    []Part     `json:"parts"`  // in the order fuel meets them
	Tables   []Table    `json:"tables"`
	Warnings []Warning  `json:"warnings"`
	Assumed  []string   `json:"assumed"` // because the sheet does not say it or the model needs it
	Fire     []FireData `json:"fire"`
	Sources  []string   `json:"sources"` // of Fire
}

// Value is where a slider stands.
type Value struct {
	Amount
	Stop  int    `json:"stop"`  // nearest to it
	Moved string `json:"moved"` // "set"; "follows" where another moves it; "" at the sheet's value
}

// Reading is a number that says much.
type Reading struct {
	Name string `json:"name"`
	Amount
	Note string `json:"note"`
}

// Table is a table of the assessment.
type Table struct {
	Caption string `json:"caption"`
	Rows    []Row  `json:"rows"`
}

// Warning is something to know before trusting a state.
type Warning struct {
	Grave bool   `json:"grave"` // the engine's or a person's safety
	Text  string `json:"text"`
}

// FireData is that of a constituent of the fuel.
type FireData struct {
	Name  string `json:"name"`
	Share string `json:"share"`
	Flash Amount `json:"flash"`
	Range string `json:"range"` // of the vapour in air
	Class string `json:"class"` // of NFPA 30
}

// State gives what there is to show at the settings. The error tells of settings that the
// panel does not have; a place where the model has no answer is no error but
// [State.Refused].
func (p *Panel) State(s Settings) (State, error) {
	if err := p.check(s); err != nil {
		return State{}, err
	}
	b, err := p.at(s)
	var a *sizing.Assessment
	if err == nil {
		a, err = sizing.Assess(b)
	} else {
		b = p.build
	}
	st := p.stand(b, s)
	if err != nil {
		st.Refused = refusal(err)
		return st, nil
	}
	p.fill(&st, a)
	return st, nil
}

// refusal is the error in one line.
func refusal(err error) string {
	be, ok := errors.AsType[*sizing.BuildError](err)
	if !ok {
		return err.Error()
	}
	list := make([]string, len(be.Problems))
	for i, problem := range be.Problems {
		list[i] = problem.String()
	}
	return strings.Join(list, "; ")
}

// stand says where the sliders stand in a build that the settings have made.
func (p *Panel) stand(b sizing.Build, s Settings) State {
	st := State{Changes: []string{}}
	for _, v := range p.sliders {
		stop, set := v.set(s)
		home := v.Stops[v.Home]
		value := Value{Stop: stop, Amount: v.Stops[stop]}
		if set {
			value.Moved = "set"
		} else if v.now != nil {
			si := v.now(b)
			value.Stop, value.Amount = v.nearest(si), v.amount(si)
			if value.Amount != home {
				value.Moved = "follows"
			}
		}
		if value.Moved != "" {
			text := strings.ToLower(v.Name[:1]) + v.Name[1:] + " " + home.Text + " → " + value.Text
			if value.Moved == "follows" {
				text += ", which follows"
			}
			st.Changes = append(st.Changes, text)
		}
		st.Values = append(st.Values, value)
	}
	return st
}

// fill puts what an assessment says into a state.
func (p *Panel) fill(st *State, a *sizing.Assessment) {
	sys := p.sys
	st.Status, st.Symbol, st.Verdict = a.Status().String(), a.Status().Symbol(), a.Verdict(sys)
	st.Fuel, st.Power, st.RawPower = a.Build.Fuel.Blend.String(), amount(a.Power, sys), float64(a.Power)
	st.Readings = readings(a, sys)
	st.Duties = duties(a, sys)
	st.Demand, st.Spread = demandRoutes(a, sys), a.Demand.Spread.Percent(0)
	st.Parts = parts(a, sys)
	for _, table := range []func(quantity.System) sizing.Table{a.InjectionTable, a.SupplyTable} {
		st.Tables = append(st.Tables, Table{table(sys).Caption, rows(sys, table)})
	}
	for _, grave := range []bool{true, false} {
		for _, w := range a.Warnings {
			if w.Grave == grave {
				st.Warnings = append(st.Warnings, Warning{grave, w.Text})
			}
		}
	}
	for _, as := range a.Assumptions {
		st.Assumed = append(st.Assumed, fmt.Sprintf("%s (%s). If wrong: %s.", as.Text, as.Source, as.Effect))
	}
	seen := map[string]bool{}
	for _, h := range a.Build.Fuel.Blend.Hazards() {
		st.Fire = append(st.Fire, FireData{
			Name: h.Constituent, Share: h.Share.String(), Flash: amount(h.FlashPoint, sys),
			Range: h.Lower.String() + " to " + h.Upper.String(), Class: h.FireClass,
		})
		for _, source := range h.Sources {
			if !seen[source.Key] {
				seen[source.Key] = true
				st.Sources = append(st.Sources, source.Citation)
			}
		}
	}
}
