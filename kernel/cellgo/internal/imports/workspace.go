//go:build unix

package imports

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"golang.org/x/mod/modfile"
)

// Workspace finds the packages of the standard library, of the modules in a
// cell's workspace, and those that earlier cells were made of.
type Workspace struct {
	// Root is the folder of the Go distribution.
	Root string
	// Modules are the folders of the workspace's modules by module path.
	Modules map[string]string
	// Known returns the folders of further packages by import path.
	Known func() map[string]string
}

// ReadModules returns the folders, by module path, of the modules that go.work in
// dir uses, that in dir aside.
func ReadModules(dir string) map[string]string {
	modules := map[string]string{}
	text, err := os.ReadFile(filepath.Join(dir, "go.work"))
	if err != nil {
		return modules
	}
	work, err := modfile.ParseWork("go.work", text, nil)
	if err != nil {
		return modules
	}
	for _, use := range work.Use {
		folder := use.Path
		if !filepath.IsAbs(folder) {
			folder = filepath.Join(dir, folder)
		}
		if folder = filepath.Clean(folder); folder == filepath.Clean(dir) {
			continue
		}
		if text, err := os.ReadFile(filepath.Join(folder, "go.mod")); err == nil {
			modules[modfile.ModulePath(text)] = folder
		}
	}
	return modules
}

// Dir returns the folder of the package with that import path, or "" if it is
// not known.
func (w Workspace) Dir(importPath string) string {
	for module, dir := range w.Modules {
		if rest, ok := strings.CutPrefix(importPath, module); ok && (rest == "" || rest[0] == '/') {
			return withSource(filepath.Join(dir, filepath.FromSlash(rest)))
		}
	}
	if first, _, _ := strings.Cut(importPath, "/"); !strings.Contains(first, ".") {
		if w.Root == "" {
			return ""
		}
		return withSource(filepath.Join(w.Root, "src", filepath.FromSlash(importPath)))
	}
	return w.Known()[importPath]
}

// withSource returns dir if there is a package in it.
func withSource(dir string) string {
	for range sources(dir) {
		return dir
	}
	return ""
}

// Named returns the packages in folders of that name: those of the standard
// library, then those of the workspace's modules.
func (w Workspace) Named(name string) [][]string {
	var own []string
	for module, root := range w.Modules {
		own = append(own, below(root, module, name)...)
	}
	return [][]string{w.standard(name), own}
}

// standard returns the packages of the standard library in folders of that name.
func (w Workspace) standard(name string) (paths []string) {
	if w.Root == "" {
		return nil
	}
	src := filepath.Join(w.Root, "src")
	for _, parent := range []string{"", "*", filepath.Join("*", "*")} {
		found, err := filepath.Glob(filepath.Join(src, parent, name))
		if err != nil {
			continue // a name with special characters
		}
		for _, dir := range found {
			rel, err := filepath.Rel(src, dir)
			if err != nil {
				continue
			}
			rel = filepath.ToSlash(rel)
			if first, _, _ := strings.Cut(rel, "/"); first != "cmd" && first != "vendor" && !strings.Contains("/"+rel+"/", "/internal/") {
				paths = append(paths, rel)
			}
		}
	}
	return paths
}

// below returns the packages of a module in folders of that name. What others
// cannot import is left out.
func below(root, module, name string) (paths []string) {
	filepath.WalkDir(root, func(dir string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() || dir == root {
			return nil // a folder that cannot be read holds nothing to import
		}
		base := d.Name()
		if base == "testdata" || base == "vendor" || base == "internal" || base[0] == '.' || base[0] == '_' {
			return filepath.SkipDir
		}
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.SkipDir
		}
		if rel, err := filepath.Rel(root, dir); err == nil && base == name {
			paths = append(paths, path.Join(module, filepath.ToSlash(rel)))
		}
		return nil
	})
	return paths
}
