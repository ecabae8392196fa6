//go:build unix

package imports

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
)

// Finder knows the packages that a program may import.
type Finder interface {
	// Dir returns the folder of the package with that import path, or "" if it is
	// not known.
	Dir(path string) string
	// Named returns the import paths of packages that a program may mean by that
	// name, those first that go before others.
	Named(name string) [][]string
}

// Complete returns the program's source with its imports completed, all lines
// where they were. It reports false if goimports has to do it.
func Complete(src []byte, find Finder) ([]byte, bool) {
	fset := token.NewFileSet()
	// Identifiers have to be resolved within the file, as in goimports.
	file, err := parser.ParseFile(fset, "main.go", src, parser.ParseComments)
	if err != nil {
		return nil, false
	}
	uses := usesOf(file)
	edit := editor{src: bytes.Clone(src), offset: func(p token.Pos) int { return fset.Position(p).Offset }}
	imported := map[string]bool{}
	var dots []string // folders of packages imported with a dot
	for _, decl := range file.Decls {
		decl, ok := decl.(*ast.GenDecl)
		if !ok || decl.Tok != token.IMPORT {
			break
		}
		for _, spec := range decl.Specs {
			spec := spec.(*ast.ImportSpec)
			path, err := strconv.Unquote(spec.Path.Value)
			if err != nil || path == "C" {
				return nil, false
			}
			name := ""
			switch {
			case spec.Name != nil:
				name = spec.Name.Name
			case path == "unsafe":
				name = path
			default:
				if name = nameOf(find.Dir(path)); name == "" {
					return nil, false
				}
			}
			switch {
			case name == "_":
			case name == ".":
				dots = append(dots, find.Dir(path))
			case uses[name] != nil && !imported[name]:
				imported[name] = true
			case imported[name]:
				return nil, false // twice the same name: goimports may see which to keep
			default:
				edit.remove(decl, spec)
			}
		}
	}
	var missing []string
	for name := range uses {
		if !imported[name] {
			missing = append(missing, name)
		}
	}
	slices.Sort(missing)
	for _, name := range missing {
		if ast.IsExported(name) && slices.ContainsFunc(dots, func(dir string) bool { return exports(dir, map[string]bool{name: true}) }) {
			continue
		}
		path, ok := choose(find, name, uses[name])
		if !ok {
			return nil, false
		}
		edit.add(file, path)
	}
	done := edit.result()
	if _, err := parser.ParseFile(token.NewFileSet(), "main.go", done, parser.ImportsOnly); err != nil {
		return nil, false // imports in an unusual form
	}
	return done, true
}

// usesOf returns what the file uses of packages: for every identifier that it
// does not declare, the exported names that are selected from it.
func usesOf(file *ast.File) map[string]map[string]bool {
	uses := map[string]map[string]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); ok && x.Obj == nil && sel.Sel.IsExported() {
			if uses[x.Name] == nil {
				uses[x.Name] = map[string]bool{}
			}
			uses[x.Name][sel.Sel.Name] = true
		}
		return true
	})
	return uses
}

// choose returns the one package that the program can mean by the name.
func choose(find Finder, name string, used map[string]bool) (string, bool) {
	for _, paths := range find.Named(name) {
		var fit []string
		for _, path := range paths {
			dir := find.Dir(path)
			if nameOf(dir) == name && exports(dir, used) {
				fit = append(fit, path)
			}
		}
		if len(fit) > 0 {
			return fit[0], len(fit) == 1
		}
	}
	return "", false
}

// editor changes the imports of a source and keeps its lines.
type editor struct {
	src    []byte
	offset func(token.Pos) int
	added  bytes.Buffer
	at     int // where added goes
}

// remove takes an import out.
func (e *editor) remove(decl *ast.GenDecl, spec *ast.ImportSpec) {
	from, to := e.offset(spec.Pos()), e.offset(spec.End())
	if !decl.Lparen.IsValid() {
		from = e.offset(decl.Pos())
	}
	// So goes a semicolon behind it.
	for i := to; i < len(e.src) && (e.src[i] == ' ' || e.src[i] == ';'); i++ {
		if e.src[i] == ';' {
			to = i + 1
			break
		}
	}
	for i := from; i < to; i++ {
		if e.src[i] != '\n' {
			e.src[i] = ' '
		}
	}
}

// add imports a package, in the line of the package clause.
func (e *editor) add(file *ast.File, path string) {
	e.at = e.offset(file.Name.End())
	fmt.Fprintf(&e.added, "; import %q", path)
}

func (e *editor) result() []byte {
	if e.added.Len() == 0 {
		return e.src
	}
	return slices.Concat(e.src[:e.at], e.added.Bytes(), e.src[e.at:])
}
