package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"runtime"
	"slices"
	"sync"
	"time"

	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/session"
	"example.com/railbook/kernel/session/inputs"
	"github.com/spf13/cobra"
)

func newRunCommand() *cobra.Command {
	r := &notebookRun{}
	cmd := &cobra.Command{
		Use:   "run NOTEBOOK... --out DIR",
		Short: "Run notebooks and save them with their outputs and as pages",
		Long: `Run runs the cells of a notebook in order. Into the folder DIR it writes

  NAME.ipynb   the notebook with its outputs, saved as the run goes on
  NAME.html    the same as one self-contained page

and whatever the cells write there: they find its path in the environment
variable RAILBOOK_OUT. Cells run in the folder of the notebook, without the
network, on the kernel that Jupyter has too (see railbook install).

The first run builds the cell kernel, which takes a minute or two.

Several notebooks run at the same time, up to --jobs of them, each with a kernel
of its own. A summary follows at the end; the exit status is 0 only if all of
them ran through.

If a cell fails the run of its notebook stops, the notebook and the page are
saved as far as they go, and the error says which cell, which line and why. With
--keep-going the run goes on with the next cell and still counts as failed.
Cells tagged skip-execution or skip are not run; cells tagged raises-exception
have to fail. Ctrl-C stops the run at once and saves what there is.

--set NAME=VALUE replaces the literal that a cell tagged inputs (or parameters)
gives to NAME: a number, a text, true or false, or a quantity with its unit.
The saved notebook shows the cell as it was run.

--watch runs again whenever the notebook is saved, or a sheet or table (*.toml,
*.csv) in its folder or below, and serves the page on this machine alone, under
the address that it prints; an open page reloads itself. Ctrl-C ends it.`,
		Example: `  railbook run notebooks/01-first-build.ipynb --out out
  railbook run notebooks/*.ipynb --out out --jobs 2 --keep-going
  railbook run notebooks/01-first-build.ipynb --out out --set sheet=other.toml --set "boost=18 psi"
  railbook run notebooks/01-first-build.ipynb --out out --watch`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("run takes a notebook or several, got none; see railbook run --help")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			r.progress = newProgress(cmd.ErrOrStderr())
			r.stdout = cmd.OutOrStdout()
			return r.run(cmd.Context(), args)
		},
	}
	f := cmd.Flags()
	f.StringVarP(&r.out, "out", "o", "", "folder to write to, made if it is not there (required)")
	f.IntVarP(&r.jobs, "jobs", "j", runtime.GOMAXPROCS(0), "how many notebooks run at the same time")
	f.StringArrayVar(&r.sets, "set", nil, "NAME=VALUE, an input of the notebooks; may be given again")
	f.DurationVar(&r.cellTimeout, "cell-timeout", 10*time.Minute, "longest time for one cell, 0 for no limit")
	f.DurationVar(&r.timeout, "timeout", 0, "longest time for the whole run, all notebooks together, 0 for no limit")
	f.BoolVarP(&r.keepGoing, "keep-going", "k", false, "go on after a cell that failed")
	f.BoolVarP(&r.watch, "watch", "w", false, "run again when something was saved, and show the page in a browser")
	return cmd
}

// notebookRun is one invocation of railbook run.
type notebookRun struct {
	out                  string
	jobs                 int
	sets                 []string
	cellTimeout, timeout time.Duration
	keepGoing, watch     bool

	progress *progress
	stdout   io.Writer // for the list of files
	board    *board
	scripts  chartScripts
	values   map[string]string // of the inputs
	viewer   *viewer           // shows the pages; nil unless watching
}

func (r *notebookRun) run(ctx context.Context, notebooks []string) error {
	switch {
	case r.jobs < 1:
		return fmt.Errorf("--jobs: got %d, want 1 or more", r.jobs)
	case r.cellTimeout < 0:
		return fmt.Errorf("--cell-timeout: got %v, want 0 for no limit or more", r.cellTimeout)
	case r.timeout < 0:
		return fmt.Errorf("--timeout: got %v, want 0 for no limit or more", r.timeout)
	}
	var err error
	if r.values, err = inputs.Parse(r.sets); err != nil {
		return fmt.Errorf("--set: %w", err)
	}
	targets, err := planRun(notebooks, r.out)
	if err != nil {
		return err
	}
	if r.watch {
		return r.watchAll(ctx, targets)
	}
	jobs, err := r.open(targets)
	if err != nil {
		return err
	}
	before, err := listFiles(r.out)
	if err != nil {
		return err
	}
	ctx, cancel := r.limited(ctx)
	defer cancel()
	results := r.all(ctx, jobs)
	r.summarize(results)
	if err := r.verdict(ctx, results); err != nil {
		return err
	}
	after, err := listFiles(r.out)
	if err != nil {
		return err
	}
	return after.since(before).print(r.stdout, r.out)
}

// open reads the notebooks and sets their inputs.
func (r *notebookRun) open(targets []runTarget) ([]*runJob, error) {
	var jobs []*runJob
	var known []string
	for _, t := range targets {
		nb, err := nbformat.ReadFile(t.path)
		if err != nil {
			return nil, err
		}
		if err := isGo(nb); err != nil {
			return nil, fmt.Errorf("%s: %w", t.path, err)
		}
		known = append(known, inputs.Names(inputs.Find(nb))...)
		j := &runJob{runTarget: t, run: r, nb: nb}
		if err := j.set(r.values); err != nil {
			return nil, fmt.Errorf("%s: --set: %w", t.path, err)
		}
		jobs = append(jobs, j)
	}
	for _, name := range slices.Sorted(maps.Keys(r.values)) {
		if !slices.Contains(known, name) {
			slices.Sort(known)
			return nil, fmt.Errorf("--set: %w", inputs.Unknown(name, slices.Compact(known)))
		}
	}
	return jobs, nil
}

// isGo returns an error for a notebook that says it is in another language.
func isGo(nb *nbformat.Notebook) error {
	var info struct {
		Name     string `json:"name"`
		Language string `json:"language"`
	}
	for _, key := range []string{"kernelspec", "language_info"} {
		info.Name, info.Language = "", ""
		if ok, err := nb.Metadata.Get(key, &info); !ok || err != nil {
			continue
		}
		language := info.Language
		if key == "language_info" {
			language = info.Name
		}
		if language != "" && language != "go" && language != "gonb" {
			return fmt.Errorf("its cells are in %s (metadata %s), and there is a kernel for go alone", language, key)
		}
	}
	return nil
}

// limited returns a context for a run that has the time it is allowed.
func (r *notebookRun) limited(ctx context.Context) (context.Context, context.CancelFunc) {
	if r.timeout == 0 {
		return ctx, func() {}
	}
	return context.WithTimeoutCause(ctx, r.timeout, &session.OutOfTime{Limit: r.timeout})
}

// all runs the notebooks, as many at a time as allowed, and returns how each
// went.
func (r *notebookRun) all(ctx context.Context, jobs []*runJob) []outcome {
	r.board = &board{p: r.progress, of: len(jobs), details: r.keepGoing || len(jobs) > 1 || r.watch}
	defer r.board.begin()()
	results := make([]outcome, len(jobs))
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(r.jobs, len(jobs)) {
		workers.Go(func() {
			for i := range next {
				results[i] = r.one(ctx, jobs[i])
			}
		})
	}
	for i := range jobs {
		next <- i
	}
	close(next)
	workers.Wait()
	return results
}

// one runs one notebook.
func (r *notebookRun) one(ctx context.Context, j *runJob) outcome {
	o := outcome{name: j.name()}
	if ctx.Err() != nil {
		o.notRun = true
		return o
	}
	j.show = r.board.follow(o.name)
	defer j.show.end()
	start := time.Now()
	o.failures, o.err = j.do(ctx)
	o.cells, o.elapsed = j.cells, time.Since(start)
	if o.err != nil && r.board.details {
		j.show.line("%v", o.err)
	}
	if !o.failed() {
		j.show.line("%s in %s", plural(o.cells, "cell"), seconds(o.elapsed))
	}
	return o
}
