package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"example.com/railbook/sizing"
)

func newSheetCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "sheet",
		Short: "Print a build sheet to start from, every field explained",
		Long: `Sheet prints a build sheet that names every field, says what it means and what
it accepts, and is valid as it stands. Redirect it into a file, change the values
to those of the build at hand, and hand the file to assess, report or a notebook.`,
		Example: `  railbook sheet > mybuild.toml
  railbook assess mybuild.toml`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := fmt.Fprint(cmd.OutOrStdout(), sizing.Template)
			return err
		},
	}
}
