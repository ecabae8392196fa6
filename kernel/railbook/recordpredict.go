package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/evidence/predict"
	"example.com/railbook/sizing/evidence/record"
	"example.com/railbook/sizing/quantity"
)

// usualValves is the number of valves per cylinder of most engines built today.
const usualValves = 4

func (j *recordJob) predictCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "predict SHEET",
		Short: "Predict the consumption of a build sheet's combination",
		Long: `Predict says what consumption at full load to expect of a build sheet's induction,
fuel and boost: from the band of common practice alone where the record holds no
pull, and narrower the more engines were measured. It says how much was learnt
from which engine and of which feature, whether consumption rises with boost, and
the line to put into the sheet.

What it learns from is each pull's consumption where it made the most power. The
band counts as one standard deviation to either side of its middle. --again asks
for an engine of the record again, of which its own pulls tell most.`,
		Example: `  railbook record predict notebooks/first-build.toml
  railbook record predict notebooks/first-build.toml --percentile 95 --valves 2
  railbook record predict notebooks/first-build.toml --again 'harbour six' --json`,
		Args: oneSheet,
		RunE: func(cmd *cobra.Command, args []string) error {
			j.stdout = cmd.OutOrStdout()
			return j.predict(cmd.Context(), args[0], cmd.Flags().Changed("valves"), cmd.Flags().Changed("file"))
		},
	}
	cmd.Flags().IntVar(&j.valves, "valves", usualValves, "valves per cylinder")
	cmd.Flags().Float64Var(&j.percentile, "percentile", 90, "size on the consumption that this many percent stay below")
	cmd.Flags().StringVar(&j.engine, "again", "", "an engine of the record that the sheet is for again (default a new engine)")
	cmd.Flags().BoolVar(&j.json, "json", false, jsonHelp)
	return cmd
}

func (j *recordJob) predict(ctx context.Context, sheet string, valvesTold, fileTold bool) error {
	if !(j.percentile >= 1 && j.percentile <= 99.9) {
		return fmt.Errorf("--percentile %g: want a percentage from 1 to 99.9", j.percentile)
	}
	b, err := sizing.Open(sheet)
	if err != nil {
		return err
	}
	pulls, err := j.pulls(ctx)
	missing := errors.Is(err, record.ErrMissing) && !fileTold // then there is none yet
	if err != nil && !missing {
		return err
	}
	observations, aside := record.Observations(pulls)
	c := predict.Combination{Induction: b.Induction.Kind, Blend: b.Fuel.Blend, Boost: b.Induction.Boost, Valves: j.valves}
	p, err := predict.Consumption(c, j.engine, observations)
	if err != nil {
		return err
	}
	if j.json {
		return printJSON(j.stdout, j.predictionJSON(p, aside))
	}
	sys := b.Job.Units
	out := &printer{w: j.stdout}
	out.print("%s\n", p.Table(sys).Text())
	for _, remark := range p.Remarks(sys) {
		out.print("%s\n", remark)
	}
	if missing {
		out.print("There is no record at %s; see railbook record add.\n", j.path)
	}
	if !valvesTold {
		out.print("%d valves per cylinder are assumed; --valves says otherwise.\n", j.valves)
	}
	if len(p.Pulls) > 0 {
		out.print("\n%s\n%s", p.SourceTable().Text(), p.EffectTable(sys).Text())
	}
	for _, a := range aside {
		out.print("Pull %s of %s %v.\n", a.Pull.ID, a.Pull.Engine, a.Reason)
	}
	out.print("\n%s\n", p.BoostAnswer(sys))
	if bsfc := b.Fuel.BSFC; bsfc > 0 {
		out.print("The sheet sizes on %s; the chance of more is %s.\n", quantity.Format(bsfc, sys), quantity.Ratio(p.After.Above(bsfc)).Percent(0))
	}
	out.print("\nTo size on what %g %% stay below, put into the sheet:\n\n[fuel]\n%s\n", j.percentile, p.SheetLine(j.percentile/100, sys))
	if allowance := b.Target.Allowance; allowance > 0 {
		out.print("\nThe sheet's allowance of %s comes on top of it.\n", allowance.Percent(0))
	}
	return out.err
}

// predictionJSON is what --json prints of a prediction.
type predictionJSON struct {
	Induction demand.Induction                `json:"induction"`
	Fuel      string                          `json:"fuel"`
	Boost     quantity.PressureDiff           `json:"boost"`
	Valves    int                             `json:"valves"`
	Again     string                          `json:"again,omitempty"`
	Band      [2]quantity.SpecificConsumption `json:"band"`

	Before distributionJSON `json:"before"`
	After  distributionJSON `json:"after"`

	BandWeight float64        `json:"band_weight"`
	Engines    []sourceJSON   `json:"engines"`
	Pulls      []sourceJSON   `json:"pulls"`
	Effects    []effectJSON   `json:"effects"`
	Between    quantity.Ratio `json:"between_engines"`
	Within     quantity.Ratio `json:"within_engine"`
	Aside      []asideJSON    `json:"set_aside"`

	Percentile float64                      `json:"percentile"`
	BSFC       quantity.SpecificConsumption `json:"bsfc"`
}

// distributionJSON is what is believed of a consumption.
type distributionJSON struct {
	P5        quantity.SpecificConsumption `json:"p5"`
	Median    quantity.SpecificConsumption `json:"median"`
	P90       quantity.SpecificConsumption `json:"p90"`
	P95       quantity.SpecificConsumption `json:"p95"`
	Mean      quantity.SpecificConsumption `json:"geometric_mean"`
	SD        quantity.Ratio               `json:"sd_of_logarithm"`
	AboveBand float64                      `json:"chance_above_band"`
}

// sourceJSON is an engine or a pull.
type sourceJSON struct {
	Engine string         `json:"engine"`
	Pulls  int            `json:"pulls"`
	Off    quantity.Ratio `json:"above_band_middle"`
	Weight float64        `json:"weight"`
}

// effectJSON is what is believed of a feature: relative changes of consumption per unit.
type effectJSON struct {
	Feature string            `json:"feature"`
	Kind    string            `json:"kind,omitempty"` // of induction, against the sheet's
	Unit    string            `json:"unit"`
	Before  [2]quantity.Ratio `json:"before"` // 5 to 95 %
	After   [2]quantity.Ratio `json:"after"`
	Rises   float64           `json:"chance_that_it_rises"`
	Learnt  float64           `json:"learnt"`
}

// asideJSON is a pull that tells the prediction nothing.
type asideJSON struct {
	ID     string `json:"id"`
	Engine string `json:"engine"`
	Reason string `json:"reason"`
}

// effectUnits says what the changes of --json are per unit of.
var effectUnits = map[predict.Feature]string{
	predict.Level: "to the middle of the band", predict.Induction: "other kind instead of the sheet's",
	predict.Ethanol: "all of the energy against none", predict.Boost: "bar", predict.Valves: "valve per cylinder",
}

func (j *recordJob) predictionJSON(p *predict.Prediction, aside []record.SetAside) predictionJSON {
	distribution := func(d predict.Distribution) distributionJSON {
		return distributionJSON{
			P5: d.Quantile(0.05), Median: d.Quantile(0.5), P90: d.Quantile(0.9), P95: d.Quantile(0.95),
			Mean: d.Mean(), SD: d.SD(), AboveBand: d.Above(p.Band.High),
		}
	}
	sources := func(list []predict.Source) []sourceJSON {
		out := []sourceJSON{}
		for _, s := range list {
			out = append(out, sourceJSON{s.Engine, s.Pulls, s.Off, s.Weight})
		}
		return out
	}
	change := func(c predict.Change) [2]quantity.Ratio {
		low, high := c.Interval(0.90, 1)
		return [2]quantity.Ratio{low, high}
	}
	out := predictionJSON{
		Induction: p.Combination.Induction, Fuel: p.Combination.Blend.String(), Boost: p.Combination.Boost, Valves: p.Combination.Valves,
		Again: p.Engine, Band: [2]quantity.SpecificConsumption{p.Band.Low, p.Band.High},
		Before: distribution(p.Before), After: distribution(p.After),
		BandWeight: p.BandWeight, Engines: sources(p.Engines), Pulls: sources(p.Pulls),
		Between: p.BetweenEngines, Within: p.WithinEngine, Aside: []asideJSON{},
		Percentile: j.percentile, BSFC: p.After.Quantile(j.percentile / 100),
	}
	for _, e := range p.Effects {
		row := effectJSON{
			Feature: e.Feature.String(), Unit: effectUnits[e.Feature],
			Before: change(e.Before), After: change(e.After), Rises: e.After.Rises(), Learnt: e.Learnt,
		}
		if e.Feature == predict.Induction {
			row.Kind = e.Kind.String()
		}
		out.Effects = append(out.Effects, row)
	}
	for _, a := range aside {
		out.Aside = append(out.Aside, asideJSON{a.Pull.ID, a.Pull.Engine, a.Reason.Error()})
	}
	return out
}
