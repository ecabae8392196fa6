//go:build unix

package imports

import (
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"iter"
	"os"
	"path/filepath"
	"strings"
)

// sources yields the paths of the files of the package in dir, tests aside.
func sources(dir string) iter.Seq[string] {
	return func(yield func(string) bool) {
		if dir == "" {
			return
		}
		entries, err := os.ReadDir(dir)
		if err != nil {
			return
		}
		for _, e := range entries {
			name := e.Name()
			if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
				continue
			}
			if ok, err := build.Default.MatchFile(dir, name); err == nil && ok && !yield(filepath.Join(dir, name)) {
				return
			}
		}
	}
}

// nameOf returns the name of the package in dir, or "" if there is none.
func nameOf(dir string) string {
	for path := range sources(dir) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.PackageClauseOnly)
		if err != nil {
			return ""
		}
		return file.Name.Name
	}
	return ""
}

// exports reports whether the package in dir declares all the names.
func exports(dir string, names map[string]bool) bool {
	found := 0
	note := func(id *ast.Ident) {
		if names[id.Name] {
			found++
		}
	}
	for path := range sources(dir) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return false
		}
		for _, decl := range file.Decls {
			switch decl := decl.(type) {
			case *ast.FuncDecl:
				if decl.Recv == nil {
					note(decl.Name)
				}
			case *ast.GenDecl:
				for _, spec := range decl.Specs {
					switch spec := spec.(type) {
					case *ast.TypeSpec:
						note(spec.Name)
					case *ast.ValueSpec:
						for _, id := range spec.Names {
							note(id)
						}
					}
				}
			}
		}
	}
	return found == len(names)
}
