package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"example.com/railbook/kernel/cache"
)

// jupyters are the programs that show notebooks, in the order they are looked for.
var jupyters = []string{"jupyter-lab", "jupyter-notebook", "jupyter-server"}

func newOpenCommand() *cobra.Command {
	var with string
	cmd := &cobra.Command{
		Use:   "open [FOLDER] [-- ARGUMENTS FOR JUPYTER]",
		Short: "Start Jupyter on the notebooks",
		Long: `Open starts Jupyter on the folder of notebooks, with the kernel named Railbook at hand
whether or not it is installed. It ends with Jupyter. What stands behind -- is given to
Jupyter as it is.`,
		Example: `  railbook open
  railbook open mynotebooks
  railbook open --with notebook -- --no-browser --port 9000`,
		RunE: func(cmd *cobra.Command, args []string) error {
			own, rest := args, []string(nil)
			if at := cmd.ArgsLenAtDash(); at >= 0 {
				own, rest = args[:at], args[at:]
			}
			if len(own) > 1 {
				return fmt.Errorf("want one folder, got %s", strings.Join(own, " "))
			}
			program, err := findJupyter(with)
			if err != nil {
				return err
			}
			folder, err := notebookFolder(own)
			if err != nil {
				return err
			}
			data, err := cache.Dir("jupyter")
			if err != nil {
				return err
			}
			if err := os.MkdirAll(data, 0o755); err != nil {
				return err
			}
			if _, err := installKernel(data); err != nil {
				return err
			}
			// Jupyter ends on Ctrl-C by itself and asks before it does; it is told to end
			// only where this command is.
			jupyter := exec.CommandContext(cmd.Context(), program, rest...)
			jupyter.Cancel = func() error { return jupyter.Process.Signal(syscall.SIGTERM) }
			jupyter.Dir = folder
			jupyter.Env = append(os.Environ(), "JUPYTER_PATH="+joined(data, os.Getenv("JUPYTER_PATH")))
			jupyter.Stdin, jupyter.Stdout, jupyter.Stderr = os.Stdin, cmd.OutOrStdout(), cmd.ErrOrStderr()
			err = jupyter.Run()
			if cmd.Context().Err() != nil {
				return nil // it was asked to end
			}
			if err != nil {
				return fmt.Errorf("%s: %w", filepath.Base(program), err)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&with, "with", "", "which Jupyter to start: lab or notebook (default the first that is installed)")
	return cmd
}

func joined(first, others string) string {
	if others == "" {
		return first
	}
	return first + string(filepath.ListSeparator) + others
}

// findJupyter finds the program to start.
func findJupyter(with string) (string, error) {
	names := jupyters
	switch with {
	case "":
	case "lab", "notebook":
		names = []string{"jupyter-" + with}
	default:
		return "", fmt.Errorf("--with %s: want lab or notebook", with)
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("%s is not installed; on Debian and its kin: apt install jupyter-notebook; elsewhere: pip install notebook. "+
		"Notebooks also run without it: railbook run", strings.Join(names, ", "))
}

// notebookFolder is the folder to open: the one given, or that of Railbook's notebooks.
func notebookFolder(args []string) (string, error) {
	if len(args) == 0 {
		m, err := findModule()
		return filepath.Join(m.Root, "notebooks"), err
	}
	info, err := os.Stat(args[0])
	switch {
	case err != nil:
		return "", err
	case !info.IsDir():
		return "", fmt.Errorf("%s is no folder; want the folder with the notebooks", args[0])
	}
	return args[0], nil
}
