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
	"time"

	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/scripts"
	"example.com/railbook/kernel/session"
	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"
)

func newRunCommand() *cobra.Command {
	job := &runJob{}
	cmd := &cobra.Command{
		Use:   "run NOTEBOOK --out DIR",
		Short: "Run a notebook and save it with its outputs and as a page",
		Long: `Run runs the cells of a notebook in order. Into the folder DIR it writes

  NAME.ipynb   the notebook with its outputs, saved after every cell
  NAME.html    the same as one self-contained page

and whatever the cells write there: they find its path in the environment
variable RAILBOOK_OUT. Cells run in the folder of the notebook, without the
network. They need no import lines for what package display offers, which they
call by its bare names, nor for the packages
` + packageNames() + `.

The first run builds the cell kernel, which takes a minute or two.

If a cell fails the run stops, the notebook and the page are saved as far as
they go, and the error says which cell, which line and why. Cells tagged
skip-execution are not run; cells tagged raises-exception have to fail.
Ctrl-C stops the run at once and saves what there is.`,
		Example: `  railbook run notebooks/01-first-build.ipynb --out out`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("run takes one notebook, got %d arguments; see railbook run --help", len(args))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			job.notebook = args[0]
			job.progress = newProgress(cmd.ErrOrStderr())
			job.stdout = cmd.OutOrStdout()
			return job.run(cmd.Context())
		},
	}
	cmd.Flags().StringVarP(&job.out, "out", "o", "", "folder to write to, made if it is not there (required)")
	cmd.Flags().DurationVar(&job.limit, "cell-timeout", 10*time.Minute, "longest time for one cell, 0 for no limit")
	return cmd
}

// runJob is one invocation of railbook run.
type runJob struct {
	notebook string // path of the notebook
	out      string // folder of what the run writes
	limit    time.Duration
	progress *progress
	stdout   io.Writer // for the list of files

	nb     *nbformat.Notebook
	folder string // absolute path of the notebook's folder
}

func (j *runJob) run(ctx context.Context) error {
	if err := j.open(); err != nil {
		return err
	}
	before, err := listFiles(j.out)
	if err != nil {
		return err
	}
	kernel, err := j.start(ctx)
	if err != nil {
		return err
	}
	runErr := session.Run(ctx, kernel, j.nb, session.Options{
		Setup:       setup(),
		CellTimeout: j.limit,
		Progress:    j.follow,
		Enrich:      addStill,
	})
	closeErr := kernel.Close()
	saveErr := cmp.Or(j.save(), j.writePage(ctx))
	if saveErr == nil && runErr != nil {
		j.progress.line("saved what there is: %s and %s", j.target(".ipynb"), j.target(".html"))
	}
	if err := errors.Join(runErr, saveErr, closeErr); err != nil {
		return err
	}
	after, err := listFiles(j.out)
	if err != nil {
		return err
	}
	return after.since(before).print(j.stdout, j.out)
}

// open reads the notebook and makes sure of the folder to write to.
func (j *runJob) open() error {
	if j.out == "" {
		return errors.New("run needs --out DIR, the folder to write to")
	}
	var err error
	if j.nb, err = nbformat.ReadFile(j.notebook); err != nil {
		return err
	}
	info, err := os.Stat(j.notebook)
	if err != nil {
		return err
	}
	full, err := filepath.Abs(j.notebook)
	if err != nil {
		return err
	}
	j.folder = filepath.Dir(full)

	if err := os.MkdirAll(j.out, 0o777); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	probe, err := os.CreateTemp(j.out, ".railbook-")
	if err != nil {
		return fmt.Errorf("--out: cannot write there: %w", err)
	}
	if err := cmp.Or(probe.Close(), os.Remove(probe.Name())); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	if old, err := os.Stat(j.target(".ipynb")); err == nil && os.SameFile(info, old) {
		return fmt.Errorf("--out %s is the notebook's own folder: the notebook would be overwritten", j.out)
	}
	return nil
}

// start starts the cell kernel, building it if need be.
func (j *runJob) start(ctx context.Context) (*launch.Kernel, error) {
	module, err := launch.FindModule(j.folder, ".")
	if err != nil {
		return nil, err
	}
	tools, err := module.Build(ctx, func(text string) { j.progress.line("%s", text) })
	if err != nil {
		return nil, err
	}
	out, err := filepath.Abs(j.out)
	if err != nil {
		return nil, err
	}
	return launch.Start(ctx, module, tools, launch.Options{Dir: j.folder, Env: []string{outVariable + "=" + out}})
}

// outVariable tells cells the folder to write to.
const outVariable = "RAILBOOK_OUT"

// follow shows the progress of the run and saves the notebook after each cell.
// A failure to save is not told here: it will happen again at the end.
func (j *runJob) follow(e session.Event) {
	j.progress.event(e)
	if e.Kind == session.Finished {
		j.save()
	}
}

// target returns the path of the output with the extension.
func (j *runJob) target(extension string) string {
	base := filepath.Base(j.notebook)
	return filepath.Join(j.out, strings.TrimSuffix(base, filepath.Ext(base))+extension)
}

func (j *runJob) save() error { return j.nb.WriteFile(j.target(".ipynb")) }

// hurried is how long a page may wait for the chart scripts in a run that was
// stopped.
const hurried = 5 * time.Second

// writePage writes the notebook as a page, with live charts if it has charts
// and their scripts can be had.
func (j *runJob) writePage(ctx context.Context) error {
	if ctx.Err() != nil {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(context.WithoutCancel(ctx), hurried)
		defer cancel()
	}
	o := page.Options{Files: os.DirFS(j.folder)}
	if hasCharts(j.nb) {
		var err error
		o.Scripts, err = scripts.Load(ctx, func(text string) { j.progress.line("%s", text) })
		if err != nil {
			j.progress.line("the page has still pictures instead of live charts: %v", err)
		}
	}
	var html bytes.Buffer
	if err := page.Render(&html, j.nb, o); err != nil {
		return err
	}
	return maybe.WriteFile(j.target(".html"), html.Bytes(), 0o644)
}

func hasCharts(nb *nbformat.Notebook) bool {
	for _, c := range nb.Cells {
		for _, o := range c.Outputs {
			if _, ok := o.Data[chart.MIME]; ok {
				return true
			}
		}
	}
	return false
}
