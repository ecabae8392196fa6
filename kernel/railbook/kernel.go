package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"example.com/railbook/kernel/display"
	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/relay"
	"example.com/railbook/kernel/wire"
	"example.com/railbook/kernel/workbench"
	"example.com/railbook/report"
)

func newKernelCommand() *cobra.Command {
	var connection, root string
	cmd := &cobra.Command{
		Use:   "kernel --connection FILE",
		Short: "Run the kernel for Jupyter",
		Long: `Kernel serves the connection that Jupyter describes in a file, and ends when Jupyter
tells it to or is gone. Jupyter starts it by itself; see railbook install.`,
		Args:   cobra.NoArgs,
		Hidden: true, // people use install and open
		RunE: func(cmd *cobra.Command, _ []string) error {
			if connection == "" {
				return errors.New("kernel needs --connection FILE, which Jupyter writes; to start Jupyter: railbook open")
			}
			conn, err := wire.ReadConnection(connection)
			if err != nil {
				return err
			}
			module, err := kernelModule(root)
			if err != nil {
				return err
			}
			dir, err := os.Getwd()
			if err != nil {
				return err
			}
			// A front end that has no message to interrupt with sends the signal. It is
			// meant for the cell, and ends no kernel as it would end another command.
			interrupts := make(chan os.Signal, 1)
			signal.Notify(interrupts, os.Interrupt)
			life, end := signal.NotifyContext(context.WithoutCancel(cmd.Context()), syscall.SIGTERM, syscall.SIGHUP)
			defer end()
			bench, err := workbench.New(workbench.Options{
				Module: module, Dir: dir, Assist: true, Version: report.Version, Targets: targets, Interrupts: interrupts,
				Enrich: map[string]func(map[string]json.RawMessage) error{
					display.FigureMIME: func(data map[string]json.RawMessage) error { return addStill(data) },
				},
				Log: func(line string) { fmt.Fprintln(cmd.ErrOrStderr(), "railbook:", line) },
			})
			if err != nil {
				return err
			}
			ctx, stop := relay.UntilOrphaned(life)
			defer stop()
			err = relay.Serve(ctx, conn, bench.Relay())
			if ctx.Err() != nil {
				err = nil // it was told to end
			}
			return errors.Join(err, bench.Close())
		},
	}
	cmd.Flags().StringVar(&connection, "connection", "", "the connection file")
	cmd.Flags().StringVar(&root, "module", "", "Railbook's source tree (default around the working folder)")
	return cmd
}

// kernelModule is the source tree that cells are compiled against.
func kernelModule(root string) (launch.Module, error) {
	if root == "" {
		return findModule()
	}
	m, err := launch.FindModule(root)
	if err != nil {
		return launch.Module{}, fmt.Errorf("--module %s: %w; install again: railbook install", root, err)
	}
	return m, nil
}
