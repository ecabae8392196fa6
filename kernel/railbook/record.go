package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/evidence/record"
	"example.com/railbook/sizing/quantity"
)

func newRecordCommand() *cobra.Command {
	job := &recordJob{}
	cmd := &cobra.Command{
		Use:   "record",
		Short: "Keep measured pulls, and predict consumption from them",
		Long: `Record keeps measured pulls in a database, one file of your own, and predicts from
them what another combination will consume.

Pulls come from railbook evidence --out. A pull is kept once, however often it is
added; added again with other figures it takes the place of the old one.`,
		Example: `  railbook record add pulls.json --engine 'harbour six'
  railbook record list
  railbook record predict notebooks/first-build.toml
  railbook record forget 3f2a`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.PersistentFlags().StringVarP(&job.path, "file", "f", "pulls.db", "the database")
	cmd.AddCommand(job.addCommand(), job.listCommand(), job.predictCommand(), job.forgetCommand())
	return cmd
}

// recordJob is one invocation of railbook record.
type recordJob struct {
	path   string
	json   bool
	units  string
	stdout io.Writer

	engine     string
	told       int // valves per cylinder, where a file of pulls does not tell
	valves     int // of the combination asked for
	percentile float64
}

// jsonHelp says what --json prints.
const jsonHelp = "print JSON for programs: every quantity as text with its SI unit, all digits kept"

func (j *recordJob) addCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "add PULLS.json --engine NAME",
		Short: "Add the pulls that railbook evidence wrote",
		Long: `Add puts the pulls of a file that railbook evidence --out wrote into the record,
all or none. Pulls in which no consumption was measured are left out, and told.

All pulls of one engine need the same --engine: ten pulls of one engine say much
less of another engine than ten engines do.`,
		Example: `  railbook record add pulls.json --engine 'harbour six'
  railbook record add pulls.json --engine 'harbour six' --valves 4 --file shop.db`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return fmt.Errorf("add takes one file of pulls, got %d arguments; see %s --help", len(args), cmd.CommandPath())
			}
			if j.engine == "" {
				return fmt.Errorf("add needs --engine NAME, the engine that made the pulls; see %s --help", cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			j.stdout = cmd.OutOrStdout()
			return j.add(cmd.Context(), args[0])
		},
	}
	cmd.Flags().StringVar(&j.engine, "engine", "", "the engine that made the pulls")
	cmd.Flags().IntVar(&j.told, "valves", 0, "valves per cylinder, where the file does not tell")
	cmd.Flags().BoolVar(&j.json, "json", false, jsonHelp)
	return cmd
}

// addedJSON is what became of a pull.
type addedJSON struct {
	ID      string `json:"id"`
	Log     string `json:"log"`
	Outcome string `json:"outcome"`
	Reason  string `json:"reason,omitempty"` // of one left out
}

func (j *recordJob) add(ctx context.Context, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	pulls, err := record.Read(path, f)
	if err != nil {
		return err
	}
	var kept []evidence.PullSummary
	told := make([]addedJSON, len(pulls))
	var at []int // of kept in told
	for i, p := range pulls {
		told[i] = addedJSON{ID: p.ID, Log: p.Log, Outcome: "left out"}
		if p.Valves == 0 {
			p.Valves = j.told
		}
		switch err := record.Check(j.engine, p); {
		case err == nil:
			kept, at = append(kept, p), append(at, i)
		case p.AtPeak.Measured() && p.Valves == 0:
			return fmt.Errorf("%s: pull %d: valves per cylinder are not told; give --valves", path, i+1)
		case p.AtPeak.Measured():
			return fmt.Errorf("%s: pull %d: %w", path, i+1, err)
		default:
			told[i].Reason = err.Error()
		}
	}
	r, err := record.Open(ctx, j.path, record.Create)
	if err != nil {
		return err
	}
	defer r.Close()
	outcomes, err := r.Add(ctx, j.engine, time.Now(), kept...)
	if err != nil {
		return err
	}
	counts := map[string]int{}
	for i, o := range outcomes {
		told[at[i]].Outcome = o.String()
	}
	for _, a := range told {
		counts[a.Outcome]++
	}
	if err := r.Close(); err != nil {
		return err
	}
	if j.json {
		return printJSON(j.stdout, told)
	}
	out := &printer{w: j.stdout}
	out.print("%s: %d added, %d known, %d revised, %d left out\n", j.path, counts["added"], counts["known"], counts["revised"], counts["left out"])
	for i, a := range told {
		if a.Reason != "" {
			out.print("- pull %d (%s) left out: %s\n", i+1, a.ID, a.Reason)
		}
	}
	return out.err
}

func (j *recordJob) listCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the pulls in the record",
		Example: `  railbook record list --units US`,
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			j.stdout = cmd.OutOrStdout()
			return j.list(cmd.Context())
		},
	}
	cmd.Flags().StringVar(&j.units, "units", "SI", "units to print in: SI or US")
	cmd.Flags().BoolVar(&j.json, "json", false, jsonHelp)
	return cmd
}

func (j *recordJob) list(ctx context.Context) error {
	var sys quantity.System
	if err := sys.UnmarshalText([]byte(j.units)); err != nil {
		return fmt.Errorf("--units: %w", err)
	}
	pulls, err := j.pulls(ctx)
	if err != nil {
		return err
	}
	if j.json {
		return printJSON(j.stdout, append([]record.Pull{}, pulls...))
	}
	out := &printer{w: j.stdout}
	if len(pulls) == 0 {
		out.print("%s holds no pull\n", j.path)
		return out.err
	}
	out.print("%s", pullTable(pulls, sys).Text())
	return out.err
}

// pullTable lists pulls.
func pullTable(pulls []record.Pull, sys quantity.System) sizing.Table {
	t := sizing.Table{Caption: plural(len(pulls), "pull"), Columns: []sizing.Column{
		{Name: "ID"}, {Name: "Day"}, {Name: "Engine"}, {Name: "Log"}, {Name: "Induction"}, {Name: "Ethanol", Numeric: true}, {Name: "Boost", Numeric: true},
		{Name: "Valves", Numeric: true}, {Name: "Peak power", Numeric: true}, {Name: "BSFC there", Numeric: true}, {Name: "+- (95 %)", Numeric: true}, {Name: "Samples", Numeric: true},
	}}
	for _, p := range pulls {
		t.Rows = append(t.Rows, []string{
			p.ID, p.When, p.Engine, p.Log, p.Induction.String(), quantity.Format(p.Ethanol, sys), quantity.Format(p.Boost, sys), strconv.Itoa(p.Valves),
			quantity.Format(p.PeakPower, sys), quantity.Format(p.AtPeak.Value, sys),
			quantity.Ratio(float64(p.AtPeak.Expanded(0.95)) / float64(p.AtPeak.Value)).Percent(1), strconv.Itoa(p.Used),
		})
	}
	return t
}

func (j *recordJob) forgetCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "forget ID...",
		Short:   "Take pulls out of the record",
		Long:    `Forget takes the pulls with the given IDs out of the record, all or none. The beginning of an ID will do where it fits one pull only.`,
		Example: `  railbook record forget 3f2a 77c0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("forget takes the IDs of pulls, see railbook record list")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			r, err := record.Open(cmd.Context(), j.path, record.Existing)
			if err != nil {
				return err
			}
			defer r.Close()
			gone, err := r.Forget(cmd.Context(), args...)
			if err != nil {
				return err
			}
			out := &printer{w: cmd.OutOrStdout()}
			for _, p := range gone {
				out.print("forgot %s of %s\n", p.ID, p.Engine)
			}
			return errors.Join(out.err, r.Close())
		},
	}
	return cmd
}

// pulls reads the record.
func (j *recordJob) pulls(ctx context.Context) ([]record.Pull, error) {
	r, err := record.Open(ctx, j.path, record.Existing)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return r.Pulls(ctx)
}

// printJSON prints a value as JSON for programs.
func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
