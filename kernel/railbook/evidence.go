package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"

	"example.com/railbook/report"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/evidence/table"
)

func newEvidenceCommand() *cobra.Command {
	job := &evidenceJob{}
	guess := false
	var decimal, encoding string
	cmd := &cobra.Command{
		Use:   "evidence SHEET LOG... --map MAP.toml [--out FILE.json|.csv] [--chart FILE.html]",
		Short: "Read logged pulls: what the engine really consumed",
		Long: `Evidence reads logs of pulls, tables of delimited text of any common shape, and finds
the pulls in them. For every sample the fuel flow follows from pulse width or duty and
the injectors of the sheet, and with the power logged the consumption. Samples at which
the rail sagged, the duty was pinned, a sensor was out of range or fuelling was in
transition are set aside and counted.

It prints each pull with its consumption and standard uncertainty, compares it with the
band of common practice, says whether the rail held, and what it all means for the next
build.

A mapping, a small TOML file, says what each column is, what its pressures are measured
from and how far its instruments may be off. evidence LOG --guess looks at the names and
units of a log and prints a mapping to look at, complete and save; nothing is ever taken
from a guess by itself.

--out writes the pulls with all figures to a file: .json, which railbook record takes, or
.csv. --chart writes a page that works offline. Files appear complete or not at all.`,
		Example: `  railbook evidence notebooks/logs/te-0147-first.csv --guess > map.toml
  railbook evidence notebooks/first-build.toml notebooks/logs/te-0147-first.csv --map notebooks/logs/dyno.toml
  railbook evidence notebooks/first-build.toml notebooks/logs/*.csv --map notebooks/logs/dyno.toml --out pulls.json --chart pulls.html`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case guess && len(args) != 1:
				return fmt.Errorf("evidence --guess takes one log, got %d arguments; see %s --help", len(args), cmd.CommandPath())
			case !guess && len(args) < 2:
				return fmt.Errorf("evidence takes a build sheet and one log or more, got %d arguments; see %s --help", len(args), cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			job.stdout = cmd.OutOrStdout()
			job.progress = newProgress(cmd.ErrOrStderr())
			if guess {
				return job.guess(args[0], decimal, encoding)
			}
			if decimal != "" || encoding != "" {
				return errors.New("--decimal and --encoding go with --guess; a mapping has log.decimal and log.encoding")
			}
			job.sheet, job.logs = args[0], args[1:]
			return job.run(cmd.Context())
		},
	}
	f := cmd.Flags()
	f.StringVarP(&job.mapping, "map", "m", "", "the mapping: what each column of the logs is")
	f.BoolVar(&guess, "guess", false, "print a mapping guessed from the names and units of a log's columns")
	f.StringVar(&decimal, "decimal", "", "with --guess, where it cannot be found: 'point' or 'comma'")
	f.StringVar(&encoding, "encoding", "", "with --guess, where it cannot be found: 'UTF-16LE', 'UTF-16BE' or 'Windows-1252'")
	f.StringVar(&job.date, "date", "", "day of the pulls, such as 2026-11-20")
	f.StringVarP(&job.out, "out", "o", "", "file for the pulls: .json or .csv")
	f.StringVar(&job.chart, "chart", "", "file for charts of consumption and rail pressure over speed: .html")
	f.BoolVar(&job.json, "json", false, "print JSON for programs: every quantity as text with its SI unit, all digits kept")
	return cmd
}

// evidenceJob is one invocation of railbook evidence.
type evidenceJob struct {
	sheet, mapping, date string
	logs                 []string
	out, chart           string
	json                 bool
	progress             *progress
	stdout               io.Writer

	assessment *sizing.Assessment
	read       []*evidence.Log
	advice     evidence.Advice
}

func (j *evidenceJob) run(ctx context.Context) error {
	pulls, err := j.find(ctx)
	if err != nil {
		return err
	}
	return j.write(ctx, pulls)
}

// find reads the logs and finds their pulls.
func (j *evidenceJob) find(ctx context.Context) ([]evidence.Pull, error) {
	if err := j.check(); err != nil {
		return nil, err
	}
	var err error
	if j.assessment, err = assessSheet(j.sheet); err != nil {
		return nil, err
	}
	m, err := openMapping(j.mapping)
	if err != nil {
		return nil, err
	}
	var pulls []evidence.Pull
	for _, path := range j.logs {
		log, err := j.readLog(ctx, path, m)
		if err != nil {
			return nil, err
		}
		j.read = append(j.read, log)
		pulls = append(pulls, log.Pulls...)
	}
	j.advice = evidence.Advise(j.assessment, pulls...)
	return pulls, nil
}

// forReport is what the logs say, for the report's section on them.
func (j *evidenceJob) forReport(ctx context.Context) (*report.Evidence, error) {
	if _, err := j.find(ctx); err != nil {
		return nil, err
	}
	e := &report.Evidence{Words: []string{j.advice.Text}}
	logs, left := j.printable()
	for _, log := range logs {
		e.Words = append(e.Words, strings.TrimSpace(log.Name+": "+log.Rail.Text+" "+log.RejectedText()+" "+log.WhyNone))
	}
	if left > 0 {
		e.Words = append(e.Words, plural(left, "pull")+" more are not shown.")
	}
	sys := j.assessment.Build.Job.Units
	if t := evidence.PullTable(sys, logs...); len(t.Rows) > 0 {
		e.Tables = append(e.Tables, t, evidence.ConsumptionTable(sys, logs...), evidence.AsideTable(logs...))
	}
	if p, ok := firstMeasured(logs); ok {
		e.Tables = append(e.Tables, p.UncertaintyTable(sys))
	}
	return e, nil
}

// check looks at the flags.
func (j *evidenceJob) check() error {
	if j.mapping == "" {
		return errors.New("evidence needs --map MAP.toml, which says what each column is; evidence LOG --guess prints one to start from")
	}
	if j.date != "" {
		if _, err := time.Parse(time.DateOnly, j.date); err != nil {
			return fmt.Errorf("--date %s: want year-month-day such as 2026-11-20", j.date)
		}
	}
	if j.out != "" {
		if err := ending("--out", j.out, ".json", ".csv"); err != nil {
			return err
		}
	}
	if j.chart != "" {
		return ending("--chart", j.chart, ".html")
	}
	return nil
}

// mostMapping is the largest mapping that is read; a real one is a kilobyte or two.
const mostMapping = 1 << 20

func openMapping(path string) (evidence.Mapping, error) {
	f, err := os.Open(path)
	if err != nil {
		return evidence.Mapping{}, fmt.Errorf("--map: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostMapping+1))
	if err != nil {
		return evidence.Mapping{}, fmt.Errorf("--map: %w", err)
	}
	if len(data) > mostMapping {
		return evidence.Mapping{}, fmt.Errorf("--map: %s is larger than %s and no mapping", path, size(mostMapping))
	}
	m, err := evidence.ReadMapping(filepath.Base(path), data)
	if err != nil {
		return evidence.Mapping{}, fmt.Errorf("--map: %w", err)
	}
	return m, nil
}

// readLog reads a log and shows how far it is.
func (j *evidenceJob) readLog(ctx context.Context, path string, m evidence.Mapping) (*evidence.Log, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	bar := newReadBar(j.progress, f, filepath.Base(path))
	defer bar.clear()
	log, err := evidence.Read(ctx, evidence.Source{Name: filepath.Base(path), When: j.date, Text: bar}, m, j.assessment)
	if err != nil && ctx.Err() != nil {
		bar.clear()
		return nil, fmt.Errorf("stopped while reading %s, and nothing written: %w", path, context.Cause(ctx))
	}
	return log, err
}

// guess prints a mapping guessed from a log's header.
func (j *evidenceJob) guess(path, decimal, encoding string) error {
	o := table.Options{Encoding: table.Encoding(encoding)}
	switch decimal {
	case "":
	case "point":
		o.Decimal = '.'
	case "comma":
		o.Decimal = ','
	default:
		return fmt.Errorf("--decimal %s: want point or comma", decimal)
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	g, err := evidence.GuessMapping(f, o)
	if errors.Is(err, table.ErrAmbiguous) {
		return fmt.Errorf("%s: %w, with --decimal", path, err)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	if j.json {
		return j.encode(j.stdout, g)
	}
	_, err = io.WriteString(j.stdout, g.Mapping())
	return err
}

// write writes the file, the chart, and prints.
func (j *evidenceJob) write(ctx context.Context, pulls []evidence.Pull) error {
	if j.out != "" {
		data, err := j.file(pulls)
		if err == nil {
			err = maybe.WriteFile(j.out, data, 0o644)
		}
		if err != nil {
			return fmt.Errorf("--out: %w", err)
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
	if j.json {
		return j.encode(j.stdout, j.content(pulls))
	}
	return j.print()
}

func (j *evidenceJob) encode(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
