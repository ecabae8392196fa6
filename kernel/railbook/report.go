package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.com/railbook/report"
	"example.com/railbook/sizing"
)

func newReportCommand() *cobra.Command {
	var out string
	var lists []string
	var logs []string
	var mapping string
	choice := &chooseJob{top: 10, set: 1}
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "report SHEET... --out FILE.pdf|DIR",
		Short: "Write the PDF build report of a build sheet, or of many",
		Long: `Report assesses a build sheet and writes the build report: verdict, inputs,
assumptions, demand with the working shown, parts and margins, surfaces, safety
notes and sign-off. It is dated by the sheet's job.date, or today without one. The
report carries the sheet and its results as attachments; railbook check makes it
again from them, and railbook sign signs it.

Given several sheets, or a folder, it writes a report of each into the folder --out,
named after the sheet; a folder stands for the files *.toml in it. A sheet that fails
does not keep the others from their reports; what failed is told at the end.

A file appears complete or not at all.`,
		Example: `  railbook report notebooks/first-build.toml --out first-build.pdf
  railbook report notebooks/first-build.toml --parts injectors.csv --out first-build.pdf
  railbook report notebooks/first-build.toml --log notebooks/logs/te-0147-first.csv --map notebooks/logs/dyno.toml --out first-build.pdf
  railbook report sheets/ --out reports/`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("report takes one build sheet or more, or a folder of them; see %s --help", cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			files, err := readParts(lists)
			if err != nil {
				return err
			}
			if len(args) == 1 && !isFolder(args[0]) && !isFolder(out) && !asJSON {
				return oneReportOf(cmd, args[0], out, files, logs, mapping, choice)
			}
			if len(logs) > 0 {
				return errors.New("--log goes with one sheet, whose engine it is of, and a file to write")
			}
			if choice.parts != "" {
				return errors.New("--choose goes with one sheet, and a file to write")
			}
			batch, err := newBatch(args, out, files)
			if err != nil {
				return err
			}
			return batch.run(cmd, asJSON)
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "the PDF file to write, or the folder where there is more than one sheet")
	cmd.Flags().StringArrayVar(&lists, "parts", nil, "parts list that parts were chosen from, to be attached; may be repeated")
	cmd.Flags().StringVar(&choice.parts, "choose", "", "folder with parts lists, for a section on the sets that carry and why others do not; see choose --help")
	cmd.Flags().StringVar(&choice.pressures, "pressures", "", "base pressures to choose at (default the sheet's own)")
	cmd.Flags().StringArrayVar(&logs, "log", nil, "log of pulls of this engine, for a section on what it consumed; may be repeated")
	cmd.Flags().StringVar(&mapping, "map", "", "mapping file that says what the columns of the logs are; see evidence --help")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what was written as JSON for programs; --out is then a folder")
	if err := cmd.MarkFlagRequired("out"); err != nil {
		panic(err) // the flag is defined above
	}
	return cmd
}

// oneReportOf writes the report of one sheet.
func oneReportOf(cmd *cobra.Command, sheet, out string, files []partsFile, logs []string, mapping string, choice *chooseJob) error {
	a, err := assessSheet(sheet)
	if err != nil {
		return err
	}
	o, err := reportOptions(sheet, a, files)
	if err != nil {
		return err
	}
	if len(logs) > 0 {
		job := &evidenceJob{sheet: sheet, logs: logs, mapping: mapping, progress: newProgress(cmd.ErrOrStderr())}
		if o.Evidence, err = job.forReport(cmd.Context()); err != nil {
			return err
		}
	}
	if choice.parts != "" {
		choice.sheet, choice.progress = sheet, newProgress(cmd.ErrOrStderr())
		if o.Choice, err = choice.forReport(cmd.Context()); err != nil {
			return err
		}
	}
	if err := report.Write(out, a, o); err != nil {
		return err
	}
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s\n%s\n", a.Verdict(a.Build.Job.Units), out)
	return err
}

// reportOptions are those of the report of a sheet: with its logo, and with parts lists.
func reportOptions(sheet string, a *sizing.Assessment, files []partsFile) (report.Options, error) {
	logo, err := report.LogoOf(a.Build, filepath.Dir(sheet))
	if err != nil {
		return report.Options{}, fmt.Errorf("%s: %w", sheet, err)
	}
	return report.Options{Lists: partsLists(files), Logo: logo}, nil
}

// isFolder reports whether a path names a folder: one that is there, or one that is to
// be, which it ends in a slash to say.
func isFolder(path string) bool {
	info, err := os.Stat(path)
	if err != nil {
		return path != "" && os.IsPathSeparator(path[len(path)-1])
	}
	return info.IsDir()
}

// partsFile is a parts list that has been read.
type partsFile struct {
	name string
	data []byte
}

func readParts(paths []string) ([]partsFile, error) {
	var list []partsFile
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			return nil, fmt.Errorf("cannot read the parts list: %w", err)
		}
		list = append(list, partsFile{filepath.Base(path), data})
	}
	return list, nil
}

func partsLists(files []partsFile) []report.PartsList {
	var list []report.PartsList
	for _, f := range files {
		list = append(list, report.PartsList{Name: f.name, Content: bytes.NewReader(f.data)})
	}
	return list
}
