package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.com/railbook/kernel/kernelspec"
	"example.com/railbook/kernel/launch"
)

func newInstallCommand() *cobra.Command {
	var prefix string
	var remove bool
	cmd := &cobra.Command{
		Use:   "install [--prefix DIR]",
		Short: "Put the kernel named Railbook into Jupyter",
		Long: `Install puts a kernel named Railbook among those that Jupyter offers: for the user, or
with --prefix for all who use the Jupyter installed there. A copy of this program goes with
it; the source tree has to stay where it is, for cells are compiled against it. After an
update of Railbook install again.`,
		Example: `  railbook install
  railbook install --prefix /usr/local
  railbook install --remove`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			data, err := jupyterData(prefix)
			if err != nil {
				return err
			}
			out := &printer{w: cmd.OutOrStdout()}
			if remove {
				was, err := kernelspec.Remove(data)
				switch {
				case err != nil:
					return err
				case was:
					out.print("Removed: %s\n", kernelspec.Folder(data))
				default:
					out.print("There was none in %s\n", kernelspec.Folder(data))
				}
				return out.err
			}
			folder, err := installKernel(data)
			if err != nil {
				return err
			}
			out.print("Installed: %s\nIn Jupyter choose the kernel %s, or start with: railbook open\n", folder, kernelspec.DisplayName)
			return out.err
		},
	}
	cmd.Flags().StringVar(&prefix, "prefix", "", "folder that Jupyter is installed under (default the user's own)")
	cmd.Flags().BoolVar(&remove, "remove", false, "take the kernel away again")
	return cmd
}

func jupyterData(prefix string) (string, error) {
	if prefix == "" {
		return kernelspec.UserDir()
	}
	if info, err := os.Stat(prefix); err != nil || !info.IsDir() {
		return "", fmt.Errorf("--prefix %s is no folder; want the one that Jupyter is installed under", prefix)
	}
	prefix, err := filepath.Abs(prefix)
	return kernelspec.PrefixDir(prefix), err
}

// installKernel writes the kernel below one of Jupyter's data folders.
func installKernel(data string) (string, error) {
	m, err := findModule()
	if err != nil {
		return "", err
	}
	program, err := os.Executable()
	if err != nil {
		return "", err
	}
	return kernelspec.Write(data, kernelspec.Spec{
		Program: program,
		Args:    []string{"kernel", "--module", m.Root, "--connection", "{connection_file}"},
	})
}

// findModule finds the source tree around the working folder or the program.
func findModule() (launch.Module, error) {
	work, err := os.Getwd()
	if err != nil {
		return launch.Module{}, err
	}
	dirs := []string{work}
	if program, err := os.Executable(); err == nil {
		dirs = append(dirs, filepath.Dir(program))
	}
	m, err := launch.FindModule(dirs...)
	if err != nil {
		return launch.Module{}, errors.Join(err, errors.New("start railbook inside of its source tree"))
	}
	return m, nil
}
