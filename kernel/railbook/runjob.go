package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"time"

	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/nbformat"
	"example.com/railbook/kernel/page"
	"example.com/railbook/kernel/page/chart"
	"example.com/railbook/kernel/relay"
	"example.com/railbook/kernel/scripts"
	"example.com/railbook/kernel/session"
	"example.com/railbook/kernel/workbench"
	"github.com/google/renameio/v2/maybe"
)

// runJob is one run of one notebook.
type runJob struct {
	runTarget
	run  *notebookRun
	show *follower

	nb    *nbformat.Notebook
	note  string // for the page: what was set
	cells int    // that were run
}

// saveEvery is how often the notebook is saved while a cell puts out more.
const saveEvery = 2 * time.Second

// do runs the notebook and saves it, also as a page, as far as it went. The
// failures are those of cells; err is whatever else went wrong.
func (j *runJob) do(ctx context.Context) (failures []error, err error) {
	kernel, err := j.start(ctx)
	if err != nil {
		return nil, err
	}
	ran := session.Run(ctx, kernel, j.nb, session.Options{
		ToldExits:   true,
		CellTimeout: j.run.cellTimeout,
		KeepGoing:   j.run.keepGoing,
		Progress:    j.follow,
		Save:        func() { j.save() }, // a failure will happen again at the end
		SaveEvery:   saveEvery,
		Enrich:      addStill,
	})
	closeErr := kernel.Close()
	saveErr := j.save()
	if overtaken(ctx) { // the next run makes the page
		return session.Failures(ran), cmp.Or(saveErr, closeErr)
	}
	saveErr = cmp.Or(saveErr, j.writePage(ctx))
	if saveErr == nil && ran != nil {
		j.show.line("saved what there is: %s and %s", j.output(".ipynb"), j.output(".html"))
	}
	return session.Failures(ran), errors.Join(saveErr, closeErr)
}

// runningKernel is a kernel that has been started for a notebook.
type runningKernel interface {
	session.Kernel
	Close() error
}

// start starts the kernel that Jupyter has too, building what it needs if need be.
func (j *runJob) start(ctx context.Context) (runningKernel, error) {
	module, err := launch.FindModule(j.folder, ".")
	if err != nil {
		return nil, err
	}
	// The kernel would build them too, but as part of the first cell.
	if _, err := module.Build(ctx, func(text string) { j.show.line("%s", text) }); err != nil {
		return nil, err
	}
	out, err := filepath.Abs(j.out)
	if err != nil {
		return nil, err
	}
	return startBench(ctx, workbench.Options{Module: module, Dir: j.folder, Env: []string{outVariable + "=" + out}})
}

// benchKernel is the kernel of a workbench.
type benchKernel struct {
	*relay.Local
	bench *workbench.Bench
}

func startBench(ctx context.Context, o workbench.Options) (*benchKernel, error) {
	bench, err := workbench.New(o)
	if err != nil {
		return nil, err
	}
	local, err := relay.Start(ctx, bench.Relay())
	if err != nil {
		return nil, errors.Join(err, bench.Close())
	}
	return &benchKernel{local, bench}, nil
}

func (k *benchKernel) Close() error { return errors.Join(k.Local.Close(), k.bench.Close()) }

// outVariable tells cells the folder to write to.
const outVariable = "RAILBOOK_OUT"

func (j *runJob) follow(e session.Event) {
	if e.Kind == session.Finished {
		j.cells++
	}
	j.show.event(e)
	j.run.said(j, e)
}

func (j *runJob) save() error { return j.nb.WriteFile(j.output(".ipynb")) }

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
	o := page.Options{Files: os.DirFS(j.folder), Note: j.note}
	if hasCharts(j.nb) {
		o.Scripts = j.run.scripts.load(ctx, j.run.board.p)
	}
	var html bytes.Buffer
	if err := page.Render(&html, j.nb, o); err != nil {
		return err
	}
	if err := maybe.WriteFile(j.output(".html"), html.Bytes(), 0o644); err != nil {
		return err
	}
	return j.run.publish(j, o)
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

// chartScripts are the scripts of the live charts, loaded once for all pages.
type chartScripts struct {
	mu     sync.Mutex
	bundle *scripts.Bundle
	told   bool
}

// load returns the scripts, or nil if they cannot be had, which it tells once.
func (s *chartScripts) load(ctx context.Context, p *progress) *scripts.Bundle {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.bundle != nil {
		return s.bundle
	}
	bundle, err := scripts.Load(ctx, func(text string) { p.line("%s", text) })
	if err != nil && !s.told {
		s.told = true
		p.line("the page has still pictures instead of live charts: %v", err)
	}
	s.bundle = bundle
	return bundle
}
