package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/catalogue"
	"example.com/railbook/sizing/quantity"
	"example.com/railbook/sizing/sweep"
)

func newChooseCommand() *cobra.Command {
	job := &chooseJob{}
	schema := false
	cmd := &cobra.Command{
		Use:   "choose SHEET --parts DIR [--pressures '43.5, 58 psi'] [--later 'power = 800 hp'] [--write NEW.toml]",
		Short: "Choose injectors, pumps, hoses and more from lists of parts",
		Long: `Choose looks at every set of one injector, pump, hose, filter and regulator of the
lists in a folder, at every number of pumps and every base pressure asked for, and
prints the sets that carry the sheet's target with the margins that its policy asks
for and still idle cleanly, the cheapest first; what more money buys; what the others
fail at, and by how much; and the lines to put into the sheet for the best set.

A list that is not in the folder leaves the sheet's own part in place, at no cost.
choose --schema prints what the lists hold.

With --later it compares buying once for the sheet's target and a later one with
buying for today and again later. With --why it tells what becomes of one part.`,
		Example: `  railbook choose notebooks/first-build.toml --parts notebooks/parts --pressures '43.5, 50, 58, 65, 72.5 psi'
  railbook choose notebooks/first-build.toml --parts notebooks/parts --why 'Lindqvist L-1050'
  railbook choose notebooks/first-build.toml --parts notebooks/parts --later 'power = 800 hp, blend = E85'
  railbook choose notebooks/first-build.toml --parts notebooks/parts --pressures '43.5..72.5 psi by 7.25' --set 2 --write new.toml
  railbook choose --schema`,
		Args: func(cmd *cobra.Command, args []string) error {
			if schema && len(args) == 0 {
				return nil
			}
			return oneSheet(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			job.stdout = cmd.OutOrStdout()
			if schema {
				_, err := io.WriteString(job.stdout, catalogue.Schema())
				return err
			}
			job.sheet = args[0]
			job.progress = newProgress(cmd.ErrOrStderr())
			return job.run(cmd.Context())
		},
	}
	f := cmd.Flags()
	f.StringVar(&job.parts, "parts", "", "folder with the parts lists: "+"injectors.csv, pumps.csv, hoses.csv, regulators.csv, filters.csv")
	f.StringVar(&job.pressures, "pressures", "", "base pressures to look at: a list or a range with a step (default the sheet's own)")
	f.IntVar(&job.top, "top", 10, "how many sets and near misses to list")
	f.StringVar(&job.later, "later", "", "a later target to plan for, such as 'power = 800 hp, blend = E85'")
	f.Float64Var(&job.confidence, "confidence", 0, "count only on what parts carry in so many percent of the draws from a sheet's doubts (default their middle)")
	f.StringVar(&job.why, "why", "", "look only at the sets with this part, and tell what becomes of it")
	f.IntVar(&job.set, "set", 1, "which of the sets listed is put into the sheet")
	f.StringVar(&job.write, "write", "", "write the sheet with the set's parts to this file")
	f.StringVar(&job.csv, "csv", "", "write the sets and near misses listed, and all of the trade-off, to this file")
	f.StringVar(&job.chart, "chart", "", "file for a chart of headroom over cost, with the tables: .html")
	f.BoolVar(&job.json, "json", false, "print JSON for programs: every quantity as text with its SI unit, all digits kept")
	f.BoolVar(&schema, "schema", false, "print what the parts lists hold")
	return cmd
}

// chooseJob is one invocation of railbook choose.
type chooseJob struct {
	sheet, parts, pressures, later, why string
	write, csv, chart                   string
	top, set                            int
	confidence                          float64 // in percent; 0: the middle of what is in doubt
	countedText                         string  // what is counted on with it
	json                                bool
	progress                            *progress
	stdout                              io.Writer

	text   []byte // of the sheet
	build  sizing.Build
	lists  catalogue.Lists
	choice *catalogue.Choice
	plan   *catalogue.Plan
	anew   bool // the sheet of --write is not the old text with some lines changed
}

func (j *chooseJob) run(ctx context.Context) error {
	if err := j.read(); err != nil {
		return err
	}
	options, err := j.options()
	if err != nil {
		return err
	}
	if options.Counted, err = j.counted(ctx); err != nil {
		return err
	}
	lists := &j.lists
	if j.why != "" {
		if lists, err = j.lists.Only(j.why); err != nil {
			return fmt.Errorf("--why: %w", err)
		}
	}
	bar := newChooseBar(j.progress)
	options.Progress = bar.tell
	defer bar.clear()
	if j.choice, err = catalogue.Choose(ctx, j.build, lists, options); err != nil {
		return bar.stopped(ctx, err)
	}
	if j.later != "" {
		later, err := changed(j.build, j.later)
		if err != nil {
			return fmt.Errorf("--later: %w", err)
		}
		if j.plan, err = catalogue.MakePlan(ctx, j.build, later, lists, options); err != nil {
			return bar.stopped(ctx, fmt.Errorf("--later: %w", err))
		}
	}
	bar.clear()
	if err := j.files(ctx); err != nil {
		return err
	}
	if j.json {
		return j.printJSON()
	}
	return j.print()
}

// read reads the sheet and the lists.
func (j *chooseJob) read() error {
	switch {
	case j.parts == "":
		return errors.New("choose needs --parts DIR, the folder with the parts lists; see railbook choose --help")
	case j.top < 1 || j.top > maxTop:
		return fmt.Errorf("--top %d: want a number from 1 to %d", j.top, maxTop)
	case j.set < 1 || j.set > j.top:
		return fmt.Errorf("--set %d: want the number of a set that is listed, from 1 to %d", j.set, j.top)
	case j.csv != "" && filepath.Ext(j.csv) != ".csv":
		return ending("--csv", j.csv, ".csv")
	case j.chart != "" && filepath.Ext(j.chart) != ".html":
		return ending("--chart", j.chart, ".html")
	case j.write != "" && sameFile(j.write, j.sheet):
		return fmt.Errorf("--write %s is the sheet itself: it would be overwritten; want another file", j.write)
	}
	var err error
	if j.build, err = sizing.Open(j.sheet); err != nil {
		return err
	}
	if j.text, err = os.ReadFile(j.sheet); err != nil {
		return err
	}
	if j.lists, err = catalogue.Read(os.DirFS(j.parts)); err != nil {
		return fmt.Errorf("--parts %s: %w", j.parts, err)
	}
	return nil
}

// maxTop bounds what is listed, since each set is assessed in full.
const maxTop = 1000

func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

func (j *chooseJob) options() (catalogue.Options, error) {
	o := catalogue.Options{Top: j.top}
	if j.pressures == "" {
		return o, nil
	}
	axis, err := sweep.ParseAxis("base pressure = " + j.pressures)
	if err != nil {
		return o, fmt.Errorf("--pressures: %w", err)
	}
	_, _, of, err := quantity.Scale[quantity.PressureDiff](axis.Unit)
	if err != nil {
		return o, fmt.Errorf("--pressures: %w", err)
	}
	for _, v := range axis.Values {
		o.Pressures = append(o.Pressures, of(v))
	}
	return o, nil
}

// chosen is the set that is put into the sheet.
func (j *chooseJob) chosen() (*catalogue.Set, error) {
	n := len(j.choice.Best)
	switch {
	case n == 0:
		return nil, errors.New("no set carries")
	case j.set > n && n == 1:
		return nil, fmt.Errorf("--set %d: there is one set", j.set)
	case j.set > n:
		return nil, fmt.Errorf("--set %d: there are %d sets", j.set, n)
	}
	return &j.choice.Best[j.set-1], nil
}

// files writes what is to be written to files.
func (j *chooseJob) files(ctx context.Context) error {
	if j.write != "" {
		set, err := j.chosen()
		if err != nil {
			return fmt.Errorf("--write: nothing to write: %w", err)
		}
		text, err := j.newSheet(set)
		if err == nil {
			err = maybe.WriteFile(j.write, text, 0o644)
		}
		if err != nil {
			return fmt.Errorf("--write: %w", err)
		}
	}
	if j.csv != "" {
		if err := maybe.WriteFile(j.csv, j.table(), 0o644); err != nil {
			return fmt.Errorf("--csv: %w", err)
		}
	}
	if j.chart != "" {
		page, err := j.chartPage(ctx)
		if err == nil {
			err = maybe.WriteFile(j.chart, page, 0o644)
		}
		if err != nil {
			return fmt.Errorf("--chart: %w", err)
		}
	}
	return nil
}

// newSheet is the sheet with the parts of a set: its own text where that can be changed
// line by line, and else written anew.
func (j *chooseJob) newSheet(set *catalogue.Set) ([]byte, error) {
	text, err := j.choice.Lists.Rewrite(j.sheet, j.text, set.Candidate)
	if !errors.Is(err, catalogue.ErrRewrite) {
		return text, err
	}
	j.anew = true
	var b bytes.Buffer
	err = j.choice.Lists.Build(j.build, set.Candidate).WriteSheet(&b)
	return b.Bytes(), err
}

// changed returns the build with changes such as "power = 800 hp, blend = E85".
func changed(b sizing.Build, text string) (sizing.Build, error) {
	given := map[string]bool{}
	for part := range strings.SplitSeq(text, ",") {
		name, value, ok := strings.Cut(part, "=")
		if !ok {
			return sizing.Build{}, fmt.Errorf(`%q is no change; want for example "power = 800 hp, blend = E85"`, strings.TrimSpace(part))
		}
		f, err := sizing.FieldNamed(name)
		if err != nil {
			return sizing.Build{}, err
		}
		switch {
		case given[f.Name()]:
			return sizing.Build{}, fmt.Errorf("%s is given twice", f.Name())
		case f.Name() == "boost" && given["power"], f.Name() == "power" && given["boost"]:
			return sizing.Build{}, errors.New("boost and power move each other; give one of them")
		}
		given[f.Name()] = true
		if b, err = f.Read(b, strings.TrimSpace(value)); err != nil {
			return sizing.Build{}, fmt.Errorf("%s: %w", f.Name(), err)
		}
	}
	return b, b.Validate()
}

// offered says how many parts there are to choose from: "13 injectors, 6 pumps".
func offered(l *catalogue.Lists) string {
	var list []string
	for _, x := range []struct {
		n    int
		what string
	}{{len(l.Injectors), "injector"}, {len(l.Pumps), "pump"}, {len(l.Hoses), "hose"}, {len(l.Filters), "filter"}, {len(l.Regulators), "regulator"}} {
		if x.n > 0 {
			list = append(list, plural(x.n, x.what))
		}
	}
	return cmp.Or(strings.Join(list, ", "), "nothing")
}
