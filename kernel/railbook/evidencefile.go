package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"path/filepath"
	"strconv"

	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/quantity"
)

// evidenceJSON is what --json and a .json file hold: what follows, the pulls of all logs,
// and how each log was read.
type evidenceJSON struct {
	Advice evidence.Advice `json:"advice"`
	Pulls  []evidence.Pull `json:"pulls"`
	Logs   []logJSON       `json:"logs"`
}

// logJSON is a log without its pulls, which stand together.
type logJSON struct {
	*evidence.Log
	Pulls int `json:"pulls"` // how many
}

func (j *evidenceJob) content(pulls []evidence.Pull) evidenceJSON {
	c := evidenceJSON{Advice: j.advice, Pulls: pulls}
	if c.Pulls == nil {
		c.Pulls = []evidence.Pull{}
	}
	for _, log := range j.read {
		c.Logs = append(c.Logs, logJSON{log, len(log.Pulls)})
	}
	return c
}

// file makes the content of --out.
func (j *evidenceJob) file(pulls []evidence.Pull) ([]byte, error) {
	var b bytes.Buffer
	if filepath.Ext(j.out) == ".json" {
		err := j.encode(&b, j.content(pulls))
		return b.Bytes(), err
	}
	w := csv.NewWriter(&b)
	sys := j.assessment.Build.Job.Units
	if err := w.Write(pullHead(sys)); err != nil {
		return nil, err
	}
	for _, log := range j.read {
		for i, p := range log.Pulls {
			if err := w.Write(pullCells(i+1, p, sys)); err != nil {
				return nil, err
			}
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// pullHead names the columns of pullCells.
func pullHead(sys quantity.System) []string {
	bsfc := " (" + quantity.UnitSymbol[quantity.SpecificConsumption](sys) + ")"
	power := " (" + quantity.UnitSymbol[quantity.CrankPower](sys) + ")"
	flow := " (" + quantity.UnitSymbol[quantity.MassFlow](sys) + ")"
	pressure := " (" + quantity.UnitSymbol[quantity.PressureDiff](sys) + ")"
	head := []string{"log", "pull", "id", "day", "begins (s)", "ends (s)", "induction", "valves per cylinder", "ethanol (%)", "ethanol energy (%)",
		"boost" + pressure, "lambda", "low speed (rpm)", "high speed (rpm)", "greatest power" + power, "its speed (rpm)", "its fuel" + flow, "its air" + flow,
		"greatest duty (%)", "greatest rail fall" + pressure}
	for _, where := range []string{"at greatest power", "mean", "greatest"} {
		head = append(head, "BSFC "+where+bsfc, "standard uncertainty"+bsfc+" "+where, "type A"+bsfc+" "+where, "type B"+bsfc+" "+where, "degrees of freedom "+where)
	}
	head = append(head, "fuel energy over work", "its standard uncertainty", "band low"+bsfc, "band high"+bsfc, "standing", "samples used")
	for _, r := range evidence.Reasons {
		head = append(head, "set aside: "+string(r))
	}
	return head
}

// pullCells are the figures of a pull, with every digit. Empty cells are not known.
func pullCells(number int, p evidence.Pull, sys quantity.System) []string {
	cells := []string{p.Log, strconv.Itoa(number), p.ID, p.When, cell(float64(p.Start)), cell(float64(p.End)), p.Induction.String(), orEmpty(p.Valves),
		cell(100 * float64(p.Ethanol)), cell(100 * float64(p.Share)), cell(quantity.Number(p.Boost, sys)), known(float64(p.Lambda)),
		cell(p.LowSpeed.In(quantity.RPM)), cell(p.HighSpeed.In(quantity.RPM)),
		known(quantity.Number(p.PeakPower, sys)), known(p.PeakAt.In(quantity.RPM)), known(quantity.Number(p.PeakFuel, sys)), known(quantity.Number(p.PeakAir, sys)),
		known(100 * float64(p.MostDuty)), cell(quantity.Number(p.RailError, sys))}
	for _, c := range []evidence.Consumption{p.AtPeak, p.Average, p.Peak} {
		if !c.Measured() {
			cells = append(cells, "", "", "", "", "")
			continue
		}
		for _, v := range []quantity.SpecificConsumption{c.Value, c.Standard, c.TypeA, c.TypeB} {
			cells = append(cells, cell(quantity.Number(v, sys)))
		}
		text, _ := c.DF.MarshalText() // it has no error
		cells = append(cells, string(text))
	}
	cells = append(cells, known(float64(p.Energy.Value)), known(float64(p.Energy.Standard)))
	if f := p.Finding; f != nil {
		cells = append(cells, cell(quantity.Number(f.Low, sys)), cell(quantity.Number(f.High, sys)), string(f.Standing))
	} else {
		cells = append(cells, "", "", "")
	}
	cells = append(cells, strconv.Itoa(p.Used))
	for _, r := range evidence.Reasons {
		cells = append(cells, strconv.Itoa(p.Aside[r]))
	}
	return cells
}

func cell(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// known is empty for a figure that is not known.
func known(v float64) string {
	if v == 0 {
		return ""
	}
	return cell(v)
}

func orEmpty(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}
