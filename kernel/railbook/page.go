package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"

	"example.com/railbook/kernel/launch"
	"example.com/railbook/kernel/whatif/offline"
	"example.com/railbook/kernel/whatif/program"
	"example.com/railbook/sizing"
)

func newPageCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "page SHEET --out FILE.html",
		Short: "Write a page with sliders that answers what-if by itself, offline",
		Long: `Page writes one HTML file about a build sheet: sliders for boost, blend, base
pressure, target power and temperatures, and behind them the same program as here,
compiled to WebAssembly. It opens on a phone or a desktop without a network, and shows
how demand, duty, margins and the part that gives out first move. Its numbers are those
of railbook assess to the last printed digit.

The first page compiles the program with the go command, from the source tree that
railbook is called in, and keeps it in the cache; the next takes less than a second.
The page carries the sheet's values, but for the notes of its job. The file appears
complete or not at all.`,
		Example: `  railbook page notebooks/first-build.toml --out first-build-what-if.html`,
		Args:    oneSheet,
		RunE: func(cmd *cobra.Command, args []string) error {
			progress := newProgress(cmd.ErrOrStderr())
			page, verdict, err := whatIfPage(cmd.Context(), args[0], out, func(text string) { progress.line("%s", text) })
			if err != nil {
				return err
			}
			if err := maybe.WriteFile(out, page, 0o644); err != nil {
				return fmt.Errorf("--out: %w", err)
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s\n%s  %s\n", verdict, out, size(int64(len(page))))
			return err
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "HTML file to write (required)")
	return cmd
}

// whatIfPage makes the page of a sheet, and the verdict on it.
func whatIfPage(ctx context.Context, sheet, out string, progress func(string)) (page []byte, verdict string, err error) {
	if out == "" {
		return nil, "", errors.New("page needs --out FILE.html, the file to write")
	}
	if err := ending("--out", out, ".html"); err != nil {
		return nil, "", err
	}
	b, err := sizing.Open(sheet)
	if err != nil {
		return nil, "", err
	}
	a, err := sizing.Assess(b)
	if err != nil {
		return nil, "", err
	}
	module, err := launch.FindModule(".", filepath.Dir(sheet))
	if err != nil {
		return nil, "", err
	}
	p, err := program.Load(ctx, module, progress)
	if err != nil {
		return nil, "", err
	}
	var html bytes.Buffer
	if err := offline.Write(&html, b, p); err != nil {
		return nil, "", err
	}
	return html.Bytes(), a.Verdict(a.Build.Job.Units), nil
}
