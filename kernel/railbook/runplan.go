package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// runTarget is a notebook to be run and where what comes of it is written.
type runTarget struct {
	path   string // of the notebook, as given
	folder string // absolute path of its folder
	out    string // folder to write to, as given
}

// name is the notebook's name without its folder and extension.
func (t runTarget) name() string {
	base := filepath.Base(t.path)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

// file is the absolute path of the notebook.
func (t runTarget) file() string { return filepath.Join(t.folder, filepath.Base(t.path)) }

// output returns the path of the output with the extension.
func (t runTarget) output(extension string) string {
	return filepath.Join(t.out, t.name()+extension)
}

// planRun makes sure that the notebooks are there, that there is a folder out to
// write to, made if need be, and that no output takes the place of a notebook or
// of another output.
func planRun(notebooks []string, out string) ([]runTarget, error) {
	if out == "" {
		return nil, errors.New("run needs --out DIR, the folder to write to")
	}
	var targets []runTarget
	var infos []os.FileInfo
	for _, path := range notebooks {
		info, err := os.Stat(path)
		if err != nil {
			return nil, err
		}
		if info.IsDir() {
			return nil, fmt.Errorf("%s is a folder, not a notebook: name the notebooks in it, such as %s", path, filepath.Join(path, "*.ipynb"))
		}
		full, err := filepath.Abs(path)
		if err != nil {
			return nil, err
		}
		t := runTarget{path: path, folder: filepath.Dir(full), out: out}
		for i, other := range targets {
			switch {
			case os.SameFile(info, infos[i]):
				return nil, fmt.Errorf("the notebook %s is given twice, as %s and as %s", filepath.Base(path), other.path, path)
			case strings.EqualFold(other.name(), t.name()): // as some file systems see it
				return nil, fmt.Errorf("%s and %s would both be written to %s: run them one after the other, with an --out each",
					other.path, path, other.output(".ipynb"))
			}
		}
		targets, infos = append(targets, t), append(infos, info)
	}
	if err := writable(out); err != nil {
		return nil, err
	}
	for i, t := range targets {
		for j := range targets {
			if old, err := os.Stat(t.output(".ipynb")); err == nil && os.SameFile(infos[j], old) {
				return nil, fmt.Errorf("--out %s is the folder of the notebook %s, which would be overwritten", out, targets[j].path)
			}
		}
		// A notebook may have any name, even that of a page.
		if old, err := os.Stat(t.output(".html")); err == nil && os.SameFile(infos[i], old) {
			return nil, fmt.Errorf("the notebook %s would be overwritten by its page: name it .ipynb", t.path)
		}
	}
	return targets, nil
}

// writable makes the folder, if it is not there, and tries to write there.
func writable(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	probe, err := os.CreateTemp(dir, ".railbook-")
	if err != nil {
		return fmt.Errorf("--out: cannot write there: %w", err)
	}
	if err := cmp.Or(probe.Close(), os.Remove(probe.Name())); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	return nil
}
