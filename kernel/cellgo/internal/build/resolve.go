//go:build unix

package build

import (
	"context"
	"os"
	"path/filepath"
	"slices"
)

// Resolved reports whether every import of the cell is there to be compiled, so
// that there is nothing to get: dir returns its folder, or the go command finds it
// in the modules that the cell already uses.
func (j Job) Resolved(ctx context.Context, dir func(importPath string) string) bool {
	c, plain := readCell(j.Dir)
	if !plain {
		return false
	}
	rest := slices.DeleteFunc(c.imports, func(path string) bool { return path == "unsafe" || dir(path) != "" })
	if len(rest) == 0 {
		return true
	}
	// With an import that is not found, the go command ends with an error.
	cmd := command(ctx, j.Go, append([]string{"list", "-find", "--"}, rest...)...)
	cmd.Dir, cmd.Env = j.Dir, j.Env
	return cmd.Run() == nil
}

// Root returns the folder of the Go distribution, or "" if it is not where the
// go command is.
func (j Job) Root() string {
	if root := lookup(j.Env, "GOROOT"); root != "" {
		return root
	}
	path, err := filepath.EvalSymlinks(j.Go)
	if err != nil {
		return ""
	}
	root := filepath.Dir(filepath.Dir(path))
	if _, err := os.Stat(filepath.Join(root, "src", "runtime")); err != nil {
		return ""
	}
	return root
}

// Known returns the source folders of the packages that earlier cells were made
// of, by import path, if these packages have not changed since.
func (j Job) Known() map[string]string {
	key, ok := keyOf(j.Dir, j.Go, j.Env)
	if !ok {
		return nil
	}
	r, err := load(key)
	if err != nil || !unchanged(r.Watch) {
		return nil
	}
	known := map[string]string{}
	for path, p := range r.Packages {
		if p.Dir != "" && unchanged(p.Watch) {
			known[path] = p.Dir
		}
	}
	return known
}
