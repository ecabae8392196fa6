package main

import (
	"encoding/json"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

func newAssessCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "assess SHEET",
		Short: "Assess a build sheet: demand, margins, weakest part",
		Long: `Assess reads a build sheet and prints what the fuel system can do at the
target: the verdict, the fuel demand by three routes, what each injector and the
delivery do, every part's margin, the warnings and the assumptions.

It exits with status 0 whether or not the system carries the target; the verdict
tells. A sheet with mistakes is refused with all of them listed.`,
		Example: `  railbook assess notebooks/first-build.toml
  railbook assess notebooks/first-build.toml --json | jq .parts`,
		Args: oneSheet,
		RunE: func(cmd *cobra.Command, args []string) error {
			a, err := assessSheet(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				enc := json.NewEncoder(cmd.OutOrStdout())
				enc.SetIndent("", "  ")
				enc.SetEscapeHTML(false)
				return enc.Encode(assessmentJSON{Verdict: a.Verdict(a.Build.Job.Units), Weakest: a.Weakest().Kind, Assessment: a})
			}
			return printAssessment(cmd.OutOrStdout(), a)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON for programs: every quantity as text with its SI unit, all digits kept")
	return cmd
}

// oneSheet wants one build sheet as argument.
func oneSheet(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("%s takes one build sheet, got %d arguments; see %s --help", cmd.Name(), len(args), cmd.CommandPath())
	}
	return nil
}

// assessmentJSON is what --json prints: the assessment, and what its methods say.
type assessmentJSON struct {
	Verdict string          `json:"verdict"`
	Weakest sizing.PartKind `json:"weakest"`
	*sizing.Assessment
}

// assessSheet reads and assesses a build sheet.
func assessSheet(path string) (*sizing.Assessment, error) {
	b, err := sizing.Open(path)
	if err != nil {
		return nil, err
	}
	return sizing.Assess(b)
}

// printAssessment prints an assessment for a person, in the sheet's units.
func printAssessment(w io.Writer, a *sizing.Assessment) error {
	sys := a.Build.Job.Units
	out := &printer{w: w}
	out.print("%s\n%s\n", a.Build.Job.Name, a.Verdict(sys))
	if keeps := a.Keeps(); keeps > 0 {
		out.print("All parts keep the margins asked for up to %s%s.\n", quantity.Format(keeps, sys), boostAt(a, keeps))
	}
	for _, warning := range a.Warnings {
		if warning.Grave {
			out.print("\nCAUTION: %s\n", warning.Text)
		}
	}
	for _, t := range []sizing.Table{a.DemandTable(sys), a.InjectionTable(sys), a.MarginTable(sys)} {
		out.print("\n%s", t.Text())
	}
	heading := "\nWarnings\n"
	for _, warning := range a.Warnings {
		if !warning.Grave {
			out.print("%s- %s\n", heading, warning.Text)
			heading = ""
		}
	}
	heading = "\nAssumptions\n"
	for i, as := range a.Assumptions {
		out.print("%s%d. %s (%s). If wrong: %s.\n", heading, i+1, as.Text, as.Source, as.Effect)
		heading = ""
	}
	out.print("\n%s\n", caution)
	return out.err
}

// boostAt says at which boost a boosted engine makes a power.
func boostAt(a *sizing.Assessment, p quantity.CrankPower) string {
	if !a.Build.Induction.Kind.Boosted() {
		return ""
	}
	return ", that is " + quantity.Format(a.Build.AtPower(p).Induction.Boost, a.Build.Job.Units) + " of boost"
}

// caution closes everything the command prints about a build.
const caution = `These are computed figures. Prove them on the built system, rail pressure and
mixture logged under load, before it is leaned on. Fuel under pressure burns:
local codes and licensed practice come first.`

// printer keeps the first error of a run of prints.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) print(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format, args...)
	}
}
