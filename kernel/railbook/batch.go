package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.com/railbook/report"
	"example.com/railbook/sizing"
)

// batch is the reports of many sheets.
type batch struct {
	jobs  []reportJob
	parts []partsFile
}

// reportJob is one report of a batch and what came of it.
type reportJob struct {
	Sheet   string  `json:"sheet"`
	Report  string  `json:"report,omitempty"` // empty where it failed
	Status  string  `json:"status,omitempty"`
	Verdict string  `json:"verdict,omitempty"`
	Error   string  `json:"error,omitempty"`
	Seconds float64 `json:"seconds"`

	path string
}

// newBatch finds the sheets of files and folders, and where the report of each goes.
func newBatch(args []string, out string, parts []partsFile) (*batch, error) {
	b := &batch{parts: parts}
	from := map[string]string{}
	for _, arg := range args {
		sheets := []string{arg}
		if isFolder(arg) {
			var err error
			if sheets, err = sheetsIn(arg); err != nil {
				return nil, err
			}
		}
		for _, sheet := range sheets {
			base := filepath.Base(sheet)
			path := filepath.Join(out, strings.TrimSuffix(base, filepath.Ext(base))+".pdf")
			// There are systems on which capitals make no other name.
			if other, taken := from[strings.ToLower(path)]; taken {
				return nil, fmt.Errorf("the reports of %s and %s would both be %s; give them in two runs", other, sheet, path)
			}
			from[strings.ToLower(path)] = sheet
			b.jobs = append(b.jobs, reportJob{Sheet: sheet, path: path})
		}
	}
	if err := os.MkdirAll(out, 0o777); err != nil {
		return nil, fmt.Errorf("--out: %w", err)
	}
	return b, nil
}

// sheetsIn lists the build sheets in a folder.
func sheetsIn(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var list []string
	for _, e := range entries {
		if !e.IsDir() && filepath.Ext(e.Name()) == ".toml" {
			list = append(list, filepath.Join(dir, e.Name()))
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s holds no build sheets, *.toml", dir)
	}
	return list, nil
}

// run writes all reports, tells how it goes, and sums up. The error tells how many failed.
func (b *batch) run(cmd *cobra.Command, asJSON bool) error {
	p := newProgress(cmd.ErrOrStderr())
	begun := time.Now()
	failed := 0
	var done []reportJob
	written := b.start(cmd.Context())
	for i := range b.jobs {
		if !<-written[i] {
			continue
		}
		j := b.jobs[i]
		done = append(done, j)
		what := j.Status + ", " + j.Report
		if j.Error != "" {
			failed++
			what = "failed: " + firstLine(j.Error)
		}
		p.line("%d of %d: %s … %s, %s", len(done), len(b.jobs), j.Sheet, what, seconds(time.Duration(j.Seconds*float64(time.Second))))
	}
	if err := sumUp(cmd, done, failed, asJSON, time.Since(begun)); err != nil {
		return err
	}
	switch {
	case len(done) < len(b.jobs):
		return fmt.Errorf("stopped after %d of %d build sheets: %w", len(done), len(b.jobs), context.Cause(cmd.Context()))
	case failed > 0:
		return fmt.Errorf("%d of %d build sheets failed", failed, len(b.jobs))
	}
	return nil
}

// start writes reports, as many at a time as there are processors, until the context ends.
// Each tells when it is through, and whether it was begun at all.
func (b *batch) start(ctx context.Context) []chan bool {
	written := make([]chan bool, len(b.jobs))
	for i := range written {
		written[i] = make(chan bool, 1)
	}
	next := make(chan int, len(b.jobs))
	for i := range b.jobs {
		next <- i
	}
	close(next)
	for range min(runtime.GOMAXPROCS(0), len(b.jobs)) {
		go func() {
			for i := range next {
				if ctx.Err() != nil {
					written[i] <- false
					continue
				}
				b.jobs[i].write(b.parts)
				written[i] <- true
			}
		}()
	}
	return written
}

// write writes the report of one sheet.
func (j *reportJob) write(parts []partsFile) {
	begun := time.Now()
	a, err := j.report(parts)
	j.Seconds = time.Since(begun).Seconds()
	if err != nil {
		j.Error = err.Error()
		return
	}
	j.Report, j.Status, j.Verdict = j.path, a.Status().String(), a.Verdict(a.Build.Job.Units)
}

func (j *reportJob) report(parts []partsFile) (*sizing.Assessment, error) {
	a, err := assessSheet(j.Sheet)
	if err != nil {
		return nil, err
	}
	o, err := reportOptions(j.Sheet, a, parts)
	if err != nil {
		return nil, err
	}
	return a, report.Write(j.path, a, o)
}

// sumUp prints what came of a batch: the verdict of every report, and every error whole.
func sumUp(cmd *cobra.Command, done []reportJob, failed int, asJSON bool, took time.Duration) error {
	if asJSON {
		enc := json.NewEncoder(cmd.OutOrStdout())
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		return enc.Encode(struct {
			Reports []reportJob `json:"reports"`
			Failed  int         `json:"failed"`
		}{done, failed})
	}
	out := &printer{w: cmd.OutOrStdout()}
	for _, j := range done {
		if j.Error == "" {
			out.print("%s: %s\n", j.Report, j.Verdict)
		}
	}
	for _, j := range done {
		if j.Error != "" {
			out.print("%s: %s\n", j.Sheet, j.Error)
		}
	}
	out.print("reports written: %d, failed: %d, %s\n", len(done)-failed, failed, seconds(took))
	return out.err
}

func firstLine(text string) string {
	line, _, more := strings.Cut(text, "\n")
	if more {
		line += " …"
	}
	return line
}
