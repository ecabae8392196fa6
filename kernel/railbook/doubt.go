package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/uncertainty"
)

func newDoubtCommand() *cobra.Command {
	job := &doubtJob{}
	cmd := &cobra.Command{
		Use:   "doubt SHEET",
		Short: "Say what follows from what is not known exactly",
		Long: `Doubt reads a build sheet in which some values are not known exactly, draws them
many times over, and assesses the build of every draw. It prints how the results are
spread, how likely each part falls short, how large a part has to be to carry the
demand with the confidence asked for, and which doubt matters most.

In the sheet a number, the blend and the flow of injectors may be given as

  "12.8..13.6 V"                    a range, any value in it as likely
  "142 lb/h +- 2 %"                 a tolerance, likewise; or ± 3 lb/h
  "E60..E78", "E70 +- 5"            a blend; tolerances in percentage points
  "1550 cc/min +- 2 % at 3 bar"     a rating
  "normal 0.95, 0.02"               mean and standard deviation
  "normal 5 %, 2 % within 0..12 %"  the same between limits
  "triangular 40, 48, 65 degC"      ends, and the most likely value between them
  "lognormal 142 lb/h, 5 %"         median, and what 68 % of the values keep within

and two of them may go together:

  [[correlation]]
  between = ["induction.charge_temperature", "fuel.temperature"]
  r = 0.6

Every other command takes such a sheet at the middle of each. Draws that make no sense
are left out, counted, and shown with their reason. The same seed gives the same
numbers on any machine of a kind.`,
		Example: `  railbook doubt testdata/sheets/doubt.toml
  railbook doubt testdata/sheets/doubt.toml --draws 1000000 --confidence 99 --show duty --show 'most power'
  railbook doubt testdata/sheets/doubt.toml --json | jq '.parts[] | {kind, falls_short}'`,
		Args: oneSheet,
		RunE: func(cmd *cobra.Command, args []string) error {
			job.progress = newProgress(cmd.ErrOrStderr())
			return job.run(cmd.Context(), cmd.OutOrStdout(), args[0])
		},
	}
	f := cmd.Flags()
	f.IntVar(&job.plan.Draws, "draws", uncertainty.DefaultDraws, "how many draws to assess")
	f.Uint64Var(&job.plan.Seed, "seed", 0, "what the random numbers start from")
	f.StringArrayVar(&job.show, "show", nil, "a result, such as 'duty'; once for each (default fuel volume flow, duty, pump margin, least margin, most power); sweep --list lists them")
	f.Float64Var(&job.confidence, "confidence", 100*float64(uncertainty.DefaultConfidence), "in how many percent of the draws a part is to carry the demand")
	f.StringVar(&job.sampling, "sampling", "halton", "how to draw: 'halton' (scrambled) or 'latin hypercube'")
	f.BoolVar(&job.json, "json", false, "print JSON for programs, with histograms and all sensitivities")
	return cmd
}

// doubtJob is one invocation of railbook doubt.
type doubtJob struct {
	plan       uncertainty.Plan
	show       []string
	confidence float64
	sampling   string
	json       bool
	progress   *progress
}

func (j *doubtJob) run(ctx context.Context, w io.Writer, path string) error {
	if err := j.check(); err != nil {
		return err
	}
	b, err := sizing.Open(path)
	if err != nil {
		return err
	}
	if b.Doubts.IsZero() {
		return fmt.Errorf(`%s gives every value exactly; give one as a range such as "12.8..13.6 V", see railbook doubt --help`, path)
	}
	bar := newSweepBar(j.progress, j.plan.Draws)
	j.plan.Progress = bar.tell
	study, err := uncertainty.Propagate(ctx, b, j.plan)
	if err = bar.stopped(ctx, err); err != nil {
		return err
	}
	if j.json {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		return enc.Encode(study)
	}
	return printStudy(w, study)
}

// check reads the flags.
func (j *doubtJob) check() error {
	for _, name := range j.show {
		r, err := sweep.ResultNamed(name)
		if err != nil {
			return fmt.Errorf("--show: %w", err)
		}
		j.plan.Results = append(j.plan.Results, r)
	}
	if !(j.confidence >= 50 && j.confidence < 100) {
		return fmt.Errorf("--confidence %v: want a percentage from 50 to below 100", j.confidence)
	}
	j.plan.Confidence = quantity.Ratio(j.confidence / 100)
	if j.plan.Draws < 1 {
		return fmt.Errorf("--draws %d: want a number above zero", j.plan.Draws)
	}
	if err := j.plan.Sampling.UnmarshalText([]byte(j.sampling)); err != nil {
		return fmt.Errorf("--sampling: %w", err)
	}
	return nil
}

// printStudy prints a study for a person, in the sheet's units.
func printStudy(w io.Writer, s *uncertainty.Study) error {
	out := &printer{w: w}
	out.print("%s\n", s.Middle.Build.Job.Name)
	for _, text := range s.Words() {
		out.print("%s\n", text)
	}
	for _, t := range []sizing.Table{s.DoubtTable(), s.ResultTable(), s.PartTable(), s.SizeTable(), s.MovesTable()} {
		if len(t.Rows) > 0 {
			out.print("\n%s", t.Text())
		}
	}
	heading := "\nDraws that make no sense\n"
	for _, r := range s.Reasons {
		out.print("%s- %s: %s\n", heading, plural(r.Count, "draw"), r.Text)
		heading = ""
	}
	out.print("\n%s drawn by %s sampling, seed %d", thousands(s.Draws), s.Sampling, s.Seed)
	if s.Base > 0 {
		out.print("; what moves the results from %s more pairs", thousands(s.Base))
	}
	out.print(".\n\n%s\n", caution)
	return out.err
}
