//go:build unix

package build

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"golang.org/x/mod/modfile"
)

// listed is a package as the go command lists it.
type listed struct {
	ImportPath, Name, Dir string
	Standard              bool
	Imports               []string
	ImportMap             map[string]string
	EmbedPatterns         []string
	CgoFiles, CFiles, CXXFiles, MFiles, FFiles, SwigFiles, SwigCXXFiles,
	SysoFiles []string
	Module *listedModule
	Error  *struct{ Err string }
}

type listedModule struct {
	Path, Version string
	Main          bool
	GoMod         string
	Replace       *listedModule
}

const listFields = "-json=ImportPath,Name,Dir,Standard,Imports,ImportMap,EmbedPatterns," +
	"CgoFiles,CFiles,CXXFiles,MFiles,FFiles,SwigFiles,SwigCXXFiles,SysoFiles,Module,Error"

// list returns all packages that the cell in dir is made of.
func list(ctx context.Context, goCommand, dir string, env []string) ([]listed, error) {
	cmd := command(ctx, goCommand, "list", "-deps", listFields)
	cmd.Dir, cmd.Env = dir, env
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var l listed
		switch err := d.Decode(&l); {
		case err == io.EOF:
			return all, nil
		case err != nil:
			return nil, err
		case l.Error != nil:
			return nil, errors.New(l.Error.Err)
		}
		all = append(all, l)
	}
}

// exported returns where the go command keeps the compiled packages.
func exported(ctx context.Context, goCommand, dir string, env []string, paths []string) (map[string]string, error) {
	cmd := command(ctx, goCommand, append([]string{"list", "-export", "-f", "{{.ImportPath}} {{.Export}}", "--"}, paths...)...)
	cmd.Dir, cmd.Env = dir, env
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	files := map[string]string{}
	for line := range strings.Lines(string(out)) {
		path, file, ok := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		if !ok || file == "" {
			return nil, fmt.Errorf("go list -export: line %q", line)
		}
		files[path] = file
	}
	return files, nil
}

// command returns a command that is interrupted when ctx ends, so that it can
// remove its files.
func command(ctx context.Context, name string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	return cmd
}

// resolve returns what the package imports, as the go command resolved it.
func (l listed) resolve() []string {
	var paths []string
	for _, path := range l.Imports {
		if path == "C" {
			continue
		}
		if other, ok := l.ImportMap[path]; ok {
			path = other
		}
		paths = append(paths, path)
	}
	return paths
}

// foreign reports whether the package holds other languages than Go and
// assembly, which may change how a program is linked. That of the standard
// library does not.
func (l listed) foreign() bool {
	return !l.Standard && len(l.CgoFiles)+len(l.CFiles)+len(l.CXXFiles)+len(l.MFiles)+len(l.FFiles)+
		len(l.SwigFiles)+len(l.SwigCXXFiles)+len(l.SysoFiles) > 0
}

// fixed reports whether the package's source never changes: that of the standard
// library and of a module version in the module cache.
func (l listed) fixed() bool {
	m := l.Module
	if l.Standard {
		return true
	}
	if m == nil || m.Main {
		return false
	}
	if m.Replace != nil {
		m = m.Replace
	}
	return m.Version != "" && strings.Contains(l.Dir, "@"+m.Version)
}

// watches returns what a package that may change depends on.
func (l listed) watches() []watch {
	if l.fixed() {
		return nil
	}
	ws := []watch{{Kind: watchSources, Path: l.Dir}}
	for _, pattern := range l.EmbedPatterns {
		pattern = strings.TrimPrefix(pattern, "all:")
		// Below the last folder that every match is in, anything may match.
		plain := pattern
		if i := strings.IndexAny(pattern, `*?[\`); i >= 0 {
			plain = filepath.Dir(pattern[:i] + "x")
		}
		ws = append(ws, watch{Kind: watchTree, Path: filepath.Join(l.Dir, plain)})
	}
	return ws
}

// moduleWatches returns the files beside those in dir on which it depends which
// modules a cell uses: the module files of the modules that are worked on, those
// of the workspace and those that replace others.
func moduleWatches(dir string, packages []listed) ([]watch, error) {
	seen := map[string]bool{}
	var ws []watch
	var add func(folder string) error
	add = func(folder string) error {
		if seen[folder] {
			return nil
		}
		seen[folder] = true
		path := filepath.Join(folder, "go.mod")
		ws = append(ws, watch{Kind: watchFile, Path: path}, watch{Kind: watchFile, Path: filepath.Join(folder, "go.sum")})
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		file, err := modfile.Parse(path, text, nil)
		if err != nil {
			return err
		}
		return addReplaced(folder, file.Replace, add)
	}
	if err := add(dir); err != nil {
		return nil, err
	}
	path := filepath.Join(dir, "go.work")
	switch text, err := os.ReadFile(path); {
	case err == nil:
		file, err := modfile.ParseWork(path, text, nil)
		if err != nil {
			return nil, err
		}
		for _, use := range file.Use {
			if err := add(join(dir, use.Path)); err != nil {
				return nil, err
			}
		}
		if err := addReplaced(dir, file.Replace, add); err != nil {
			return nil, err
		}
	case !os.IsNotExist(err):
		return nil, err
	}
	for _, l := range packages {
		if m := l.Module; m != nil && !l.fixed() {
			if m.GoMod != "" {
				if err := add(filepath.Dir(m.GoMod)); err != nil {
					return nil, err
				}
			}
		}
	}
	return ws[2:], nil // those in dir are part of the key
}

func addReplaced(folder string, replaced []*modfile.Replace, add func(string) error) error {
	for _, r := range replaced {
		if r.New.Version == "" {
			if err := add(join(folder, r.New.Path)); err != nil {
				return err
			}
		}
	}
	return nil
}

// join resolves a path that may be relative to dir.
func join(dir, path string) string {
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(dir, path)
}
