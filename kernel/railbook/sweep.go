package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/sweep"
	"example.com/railbook/sizing/sweep/export"
)

func newSweepCommand() *cobra.Command {
	job := &sweepJob{}
	list := false
	cmd := &cobra.Command{
		Use:   "sweep SHEET --over AXIS [--over AXIS] [--show RESULT] [--out FILE] [--chart FILE.html]",
		Short: "Assess a build over ranges of boost, fuel, pressure and more",
		Long: `Sweep assesses a build sheet at every combination of the values of some axes.
An axis is a field of the build with a range and a step, a range and a number of
points, or a list; the unit stands once, behind the last number:

  boost = 0..30 psi by 1          base pressure = 3, 3.5, 4 bar
  ethanol = 0..85 % in 18         injector size = 500..2000 cc/min in 13 log

Without --out and --chart it prints tables of one or two axes. --out writes all
points to a file of which the ending says the format: .csv, .json or .parquet.
--chart writes a page that works offline: lines for one axis, a map with the limit
line for two, a stack of maps with a slider for three.

A point where the build makes no sense is a gap with its reason, never a zero.
Numbers are in the units of the sheet. Files appear complete or not at all.

sweep --list shows what can be swept and what can be shown.`,
		Example: `  railbook sweep notebooks/first-build.toml --over 'boost=10..30 psi by 2' --over 'ethanol=0..85 % in 6' --show duty
  railbook sweep notebooks/first-build.toml --over 'boost=0..30 psi by 1' --over 'ethanol=0..85 % by 5' --out duty.csv --chart duty.html
  railbook sweep notebooks/first-build.toml --over 'boost=10..30 psi by 1' --over 'ethanol=0..85 % by 5' --over 'base pressure=3, 3.5, 4 bar' --show duty --chart stack.html
  railbook sweep --list`,
		Args: func(cmd *cobra.Command, args []string) error {
			if list && len(args) == 0 {
				return nil
			}
			return oneSheet(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			job.stdout = cmd.OutOrStdout()
			job.progress = newProgress(cmd.ErrOrStderr())
			if list {
				return listSweep(job.stdout, args, job.json)
			}
			job.sheet = args[0]
			return job.run(cmd.Context())
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&job.over, "over", nil, "an axis, such as 'boost=10..30 psi by 1'; once for each axis")
	f.StringArrayVar(&job.show, "show", nil, "a result, such as 'duty'; once for each (default duty, pump margin, least margin, fuel volume flow)")
	f.StringVarP(&job.out, "out", "o", "", "file for all points: .csv, .json or .parquet")
	f.StringVar(&job.chart, "chart", "", "file for a chart: .html")
	f.BoolVar(&job.yes, "yes", false, "go on even if the sweep is very large")
	f.BoolVar(&job.json, "json", false, "print all points as JSON for programs, in the form of a .json file")
	f.BoolVar(&list, "list", false, "list the fields and the results, in the units of SHEET if it is given")
	return cmd
}

// sweepJob is one invocation of railbook sweep.
type sweepJob struct {
	sheet      string
	over, show []string
	out, chart string
	yes, json  bool
	progress   *progress
	stdout     io.Writer

	format format // of the file, or of what --json prints
	build  sizing.Build
	plan   sweep.Plan
	points int // of the plan as asked for
	table  *export.Table
	gaps   export.Gaps
}

func (j *sweepJob) run(ctx context.Context) error {
	if err := j.check(); err != nil {
		return err
	}
	if err := j.read(); err != nil {
		return err
	}
	if err := j.affordable(ctx); err != nil {
		return err
	}
	if j.chart != "" {
		if err := chartable(j.plan); err != nil {
			return err
		}
	}
	if j.out == "" && j.chart == "" && !j.json {
		return j.print(ctx)
	}
	return j.write(ctx)
}

// check looks at the flags and finds the format to write.
func (j *sweepJob) check() (err error) {
	switch {
	case len(j.over) == 0:
		return errors.New("sweep needs at least one axis, such as --over 'boost=10..30 psi by 1'; see railbook sweep --help")
	case j.json && (j.out != "" || j.chart != ""):
		return errors.New("--json prints to the terminal; with --out the ending of the file says the format, and --chart has none")
	}
	if j.chart != "" {
		if err := ending("--chart", j.chart, ".html"); err != nil {
			return err
		}
	}
	j.format = formats[".json"]
	if j.out != "" {
		j.format, err = formatOf(j.out)
	}
	return err
}

// usualResults are what is shown where nothing is asked for.
var usualResults = []sweep.Result{sweep.Duty, sweep.PumpMargin, sweep.LeastMargin, sweep.FuelVolume}

// read reads the sheet, the axes and the results.
func (j *sweepJob) read() error {
	var err error
	if j.build, err = sizing.Open(j.sheet); err != nil {
		return err
	}
	for _, text := range j.over {
		a, err := sweep.ParseAxis(text)
		if err != nil {
			return fmt.Errorf("--over: %w", err)
		}
		j.plan.Axes = append(j.plan.Axes, a)
	}
	for _, name := range j.show {
		r, err := sweep.ResultNamed(name)
		if err != nil {
			return fmt.Errorf("--show: %w", err)
		}
		j.plan.Results = append(j.plan.Results, r)
	}
	if j.show == nil {
		j.plan.Results = usualResults
	}
	return nil
}

// write writes the points, the chart, or both.
func (j *sweepJob) write(ctx context.Context) error {
	var err error
	if j.table, err = export.TableOf(j.build, j.plan); err != nil {
		return err
	}
	stream := func(take func(*sweep.Block) error) error {
		return sweep.Stream(ctx, j.build, j.plan, take)
	}
	bar := newSweepBar(j.progress, j.points)
	j.plan.Progress = bar.tell
	defer bar.clear()
	var page []byte
	if j.chart != "" {
		grid, err := sweep.Keep(ctx, j.build, j.plan)
		if err != nil {
			return bar.stopped(ctx, err)
		}
		if page, err = j.chartPage(ctx, grid); err != nil {
			return bar.stopped(ctx, err)
		}
		stream = func(take func(*sweep.Block) error) error { return export.FromGrid(grid, take) }
	}
	count := func(b *sweep.Block) error { j.gaps.Count(j.table, b); return nil }
	switch {
	case j.json:
		return bar.stopped(ctx, j.encode(j.stdout, "", stream))
	case j.out != "":
		err = j.writeFile(stream)
	default:
		err = stream(count)
	}
	if err != nil {
		return bar.stopped(ctx, err)
	}
	if j.chart != "" {
		if err := maybe.WriteFile(j.chart, page, 0o644); err != nil {
			return fmt.Errorf("--chart: %w", err)
		}
	}
	bar.clear()
	return j.sumUp()
}

// sumUp says what has been written, and what is missing in it.
func (j *sweepJob) sumUp() error {
	out := &printer{w: j.stdout}
	for _, path := range []string{j.out, j.chart} {
		if path == "" {
			continue
		}
		n, err := sizeOf(path)
		if err != nil {
			return err
		}
		out.print("%s  %s points  %s\n", path, thousands(j.table.Rows()), size(n))
	}
	out.print("%s", j.gapText())
	return out.err
}

// gapText is a line about points without an answer, empty where there are none.
func (j *sweepJob) gapText() string {
	if j.gaps.Gaps == 0 {
		return ""
	}
	return fmt.Sprintf("%s of %s points have a gap; the first: %s\n",
		thousands(j.gaps.Gaps), thousands(j.gaps.Points), j.gaps.First)
}
