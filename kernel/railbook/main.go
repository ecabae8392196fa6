// Command railbook specifies fuel systems from the command line and runs the
// notebooks that do.
//
// Each subcommand explains itself with --help.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
)

func main() {
	// Every command stops cleanly when told to: by Ctrl-C, by the system, or
	// by the end of the terminal.
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	err := newRootCommand().ExecuteContext(ctx)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "railbook: error:", err)
		os.Exit(1)
	}
}

func newRootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "railbook",
		Short: "Specify fuel systems for high-output engines",
		Long: `Railbook specifies fuel systems for high-output engines: injectors, pumps,
lines and base pressure. It runs notebooks that explore a build and hand it over.`,
		Example: `  railbook run notebooks/01-first-build.ipynb --out out`,
		Args:    cobra.NoArgs,
		RunE:    func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		// Errors are printed once, by main, without the usage text.
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return fmt.Errorf("%w; see %s --help", err, cmd.CommandPath())
	})
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		newAssessCommand(),
		newCertificateCommand(),
		newCheckCommand(),
		newDoubtCommand(),
		newEvidenceCommand(),
		newChooseCommand(),
		newInstallCommand(),
		newKernelCommand(),
		newOpenCommand(),
		newPageCommand(),
		newRecordCommand(),
		newReportCommand(),
		newRunCommand(),
		newSheetCommand(),
		newSignCommand(),
		newSweepCommand(),
		newVersionCommand(),
	)
	return root
}
