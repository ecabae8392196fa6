package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
)

// choiceJSON is what --json prints.
type choiceJSON struct {
	Job        string                  `json:"job"`
	Only       string                  `json:"only,omitempty"` // the part of --why
	Rule       string                  `json:"rule"`
	Currency   string                  `json:"currency,omitempty"`
	Pressures  []quantity.PressureDiff `json:"pressures"`
	Sets       int                     `json:"sets"`
	Carry      int                     `json:"carry"`
	Best       []setJSON               `json:"best"`
	Front      []setJSON               `json:"front"`
	Rejections []rejectionJSON         `json:"rejections"`
	Misses     []missJSON              `json:"misses"`
	Plan       *planJSON               `json:"plan,omitempty"`
}

type setJSON struct {
	Parts catalogue.Names `json:"parts"`
	*catalogue.Set
	Duty       quantity.Ratio      `json:"duty"`
	IdlePulse  quantity.Time       `json:"idle_pulse"`
	Weakest    sizing.PartKind     `json:"weakest"`
	RunsOutAt  quantity.CrankPower `json:"runs_out_at"`
	Capability []sizing.Part       `json:"capability"`
}

type rejectionJSON struct {
	Parts catalogue.Names `json:"parts"`
	catalogue.Rejection
	Says string `json:"says"`
}

type missJSON struct {
	Parts catalogue.Names `json:"parts"`
	catalogue.Miss
}

type planJSON struct {
	Change string `json:"change"`
	*catalogue.Plan
	Steps *catalogue.Cost `json:"steps"` // buying twice; null where that does not carry
}

func (j *chooseJob) setsJSON(sets []catalogue.Set) []setJSON {
	list := make([]setJSON, len(sets))
	for i := range sets {
		s := &sets[i]
		w := s.Assessment.Weakest()
		list[i] = setJSON{
			Parts: j.choice.Lists.Names(s.Candidate), Set: s, Duty: s.Assessment.Injection.Duty, IdlePulse: s.Assessment.Idle.Pulse,
			Weakest: w.Kind, RunsOutAt: w.Limit, Capability: s.Assessment.Parts,
		}
	}
	return list
}

func (j *chooseJob) printJSON() error {
	c := j.choice
	v := choiceJSON{
		Job: j.build.Job.Name, Only: j.why, Rule: c.Rule, Currency: c.Lists.Currency, Pressures: c.Pressures, Sets: c.Sets, Carry: c.Carry,
		Best: j.setsJSON(c.Best), Front: j.setsJSON(c.Front), Rejections: []rejectionJSON{}, Misses: []missJSON{},
	}
	for _, r := range c.Rejections {
		v.Rejections = append(v.Rejections, rejectionJSON{c.Lists.Names(r.Nearest), r, r.Short.Say()})
	}
	for _, m := range c.Misses {
		v.Misses = append(v.Misses, missJSON{c.Lists.Names(m.Candidate), m})
	}
	if j.plan != nil {
		v.Plan = &planJSON{Change: j.later, Plan: j.plan}
		if steps, ok := j.plan.Steps(); ok {
			v.Plan.Steps = &steps
		}
	}
	enc := json.NewEncoder(j.stdout)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// table is what --csv writes: a row for each set, those of the list, of the trade-off and
// near misses one after the other. Numbers are in the units of the sheet.
func (j *chooseJob) table() []byte {
	sys := j.build.Job.Units
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	unit := func(name, symbol string) string { return name + " (" + symbol + ")" }
	w.Write([]string{
		"list", "rank", "injectors", "pumps", "hose", "filter", "regulator", unit("base pressure", quantity.UnitSymbol[quantity.PressureDiff](sys)),
		"cost", "parts without a price", unit("headroom", "%"), unit("surplus", "%"), unit("duty", "%"), unit("idle pulse", "ms"), unit("idle pulse over least", "%"),
		"gives out first", unit("runs out at", quantity.UnitSymbol[quantity.CrankPower](sys)), "fails at",
	})
	row := func(list string, rank int, c catalogue.Candidate, cost catalogue.Cost, rest ...string) {
		n := j.choice.Lists.Names(c)
		w.Write(append([]string{
			list, strconv.Itoa(rank), n.Injectors, n.Pumps, n.Hose, n.Filter, n.Regulator, digits(quantity.Number(c.Pressure, sys)), cost.Sum.String(), strconv.Itoa(cost.Unpriced),
		}, rest...))
	}
	sets := func(list string, sets []catalogue.Set) {
		for i := range sets {
			s := &sets[i]
			a, first := s.Assessment, s.Assessment.Weakest()
			idle, limit, kind := "", "", ""
			if s.IdleMargin != nil {
				idle = digits(100 * float64(*s.IdleMargin))
			}
			if first.Limited {
				limit, kind = digits(quantity.Number(first.Limit, sys)), first.Kind.String()
			}
			row(list, i+1, s.Candidate, s.Cost, digits(100*float64(s.Headroom)), digits(100*float64(s.Surplus)), digits(100*float64(a.Injection.Duty)),
				digits(a.Idle.Pulse.In(quantity.Millisecond)), idle, kind, limit, "")
		}
	}
	sets("best", j.choice.Best)
	sets("trade-off", j.choice.Front)
	for i, m := range j.choice.Misses {
		says := ""
		for k, s := range m.Short {
			if k > 0 {
				says += "; "
			}
			says += s.Say()
		}
		row("near miss", i+1, m.Candidate, m.Cost, "", "", "", "", "", "", "", says)
	}
	w.Flush()
	return b.Bytes()
}

// digits prints a number with all digits but those that conversions leave noise in.
func digits(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }
