package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"example.com/railbook/report"
)

func newReportCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "report SHEET --out FILE.pdf",
		Short: "Write the PDF build report of a build sheet",
		Long: `Report assesses a build sheet and writes the build report: verdict, inputs,
assumptions, demand with the working shown, parts and margins, surfaces, safety
notes and sign-off. It is dated by the sheet's job.date, or today without one.

The file appears complete or not at all.`,
		Example: `  railbook report notebooks/first-build.toml --out first-build.pdf`,
		Args:    oneSheet,
		RunE: func(cmd *cobra.Command, args []string) error {
			a, err := assessSheet(args[0])
			if err != nil {
				return err
			}
			if err := report.Write(out, a, report.Options{}); err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s\n%s\n", a.Verdict(a.Build.Job.Units), out)
			return err
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "the PDF file to write")
	if err := cmd.MarkFlagRequired("out"); err != nil {
		panic(err) // the flag is defined on the line above
	}
	return cmd
}
