package cell

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"golang.org/x/mod/modfile"
	"golang.org/x/mod/module"
)

// A directory finds the packages that a name before a dot may mean.
type directory struct {
	lib *library

	own, standard, pinned func() map[string][]string // import paths by package name
}

func newDirectory(lib *library) *directory {
	d := &directory{lib: lib}
	d.own = sync.OnceValue(func() map[string][]string { return walkModule(lib.root, lib.module) })
	d.standard = sync.OnceValue(d.walkStandard)
	d.pinned = sync.OnceValue(d.walkPinned)
	return d
}

// preferred are the packages meant by names that the standard library has
// several packages of, unless what is selected tells otherwise.
var preferred = map[string][]string{
	"rand":     {"math/rand/v2", "math/rand", "crypto/rand"},
	"template": {"text/template", "html/template"},
	"scanner":  {"text/scanner", "go/scanner"},
	"pprof":    {"runtime/pprof", "net/http/pprof"},
	"parse":    {"text/template/parse"},
}

// find returns the import path of the package that a name means, from which the
// names in selected are taken; "" if there is none. The packages of the Railbook
// module come first, then the standard library, then the modules that Railbook
// requires.
func (d *directory) find(name string, selected []string) string {
	if list := d.own()[name]; len(list) > 0 {
		return d.choose(list, selected)
	}
	list := slices.Clone(d.standard()[name])
	if order := preferred[name]; order != nil {
		slices.SortStableFunc(list, func(a, b string) int { return rank(order, a) - rank(order, b) })
	}
	if len(list) == 0 {
		list = d.pinned()[name]
	}
	return d.choose(list, selected)
}

func rank(order []string, path string) int {
	if i := slices.Index(order, path); i >= 0 {
		return i
	}
	return len(order)
}

// choose returns the first path whose package has all that is selected, or else
// the first.
func (d *directory) choose(list, selected []string) string {
	if len(list) == 0 {
		return ""
	}
	if len(list) > 1 {
		for _, path := range list {
			if d.has(path, selected) {
				return path
			}
		}
	}
	return list[0]
}

func (d *directory) has(path string, selected []string) bool {
	pkg, err := d.lib.Import(path)
	if err != nil {
		return false
	}
	for _, name := range selected {
		if o := pkg.Scope().Lookup(name); o == nil || !o.Exported() {
			return false
		}
	}
	return true
}

// walkModule lists the packages in a folder that cells may import.
func walkModule(root, module string) map[string][]string {
	byName := map[string][]string{}
	filepath.WalkDir(root, func(name string, e fs.DirEntry, err error) error {
		if err != nil || !e.IsDir() {
			return nil
		}
		base := e.Name()
		if name != root && (base == "internal" || base == "testdata" || base == "vendor" || base[0] == '.' || base[0] == '_') {
			return fs.SkipDir
		}
		if name != root {
			if _, err := os.Stat(filepath.Join(name, "go.mod")); err == nil {
				return fs.SkipDir // another module
			}
		}
		pkg := packageName(name)
		if pkg == "" || pkg == "main" {
			return nil
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return nil
		}
		byName[pkg] = append(byName[pkg], path.Join(module, filepath.ToSlash(rel)))
		return nil
	})
	for _, list := range byName { // the nearest to the top first
		slices.SortStableFunc(list, func(a, b string) int { return strings.Count(a, "/") - strings.Count(b, "/") })
	}
	return byName
}

// packageName reads the name of the package in a folder; "" if there is none.
func packageName(dir string) string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return ""
	}
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || name[0] == '_' || name[0] == '.' {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(dir, name), nil, parser.PackageClauseOnly)
		if err == nil && f.Name.Name != "documentation" {
			return f.Name.Name
		}
	}
	return ""
}

// walkStandard lists the packages of the standard library, whose names are the
// last element of their paths, or the one before a version.
func (d *directory) walkStandard() map[string][]string {
	out, _, err := d.lib.run(d.lib.root, "env", "GOROOT")
	if err != nil {
		return nil
	}
	src := filepath.Join(strings.TrimSpace(string(out)), "src")
	byName := map[string][]string{}
	filepath.WalkDir(src, func(name string, e fs.DirEntry, err error) error {
		if err != nil || !e.IsDir() || name == src {
			return nil
		}
		base := e.Name()
		if base == "internal" || base == "vendor" || base == "testdata" || base == "cmd" || base == "builtin" {
			return fs.SkipDir
		}
		rel, err := filepath.Rel(src, name)
		if err != nil {
			return nil
		}
		p := filepath.ToSlash(rel)
		if len(base) > 1 && base[0] == 'v' && strings.Trim(base[1:], "0123456789") == "" {
			base = path.Base(path.Dir(p))
		}
		if files, err := filepath.Glob(filepath.Join(name, "*.go")); err == nil && len(files) > 0 {
			byName[base] = append(byName[base], p)
		}
		return nil
	})
	return byName
}

// walkPinned lists the packages of the modules that Railbook requires itself.
func (d *directory) walkPinned() map[string][]string {
	file := filepath.Join(d.lib.root, "go.mod")
	data, err := os.ReadFile(file)
	if err != nil {
		return nil
	}
	mod, err := modfile.Parse(file, data, nil)
	if err != nil {
		return nil
	}
	out, _, err := d.lib.run(d.lib.root, "env", "GOMODCACHE")
	if err != nil {
		return nil
	}
	store := strings.TrimSpace(string(out))
	byName := map[string][]string{}
	for _, r := range mod.Require {
		if r.Indirect {
			continue
		}
		escaped, err := module.EscapePath(r.Mod.Path)
		if err != nil {
			continue
		}
		version, err := module.EscapeVersion(r.Mod.Version)
		if err != nil {
			continue
		}
		for name, list := range walkModule(filepath.Join(store, filepath.FromSlash(escaped)+"@"+version), r.Mod.Path) {
			byName[name] = append(byName[name], list...)
		}
	}
	return byName
}
