package cell

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"runtime"
	"strings"
)

// check finds the types of what the cell makes and says what is wrong with it.
func (pl *plan) check() (shown, []*complaint) {
	var paths []string
	for _, v := range pl.keys {
		if !v.local {
			paths = append(paths, typePaths(v.typ)...)
		}
	}
	g := newGenerator(pl, nil, paths)
	text := g.checkText()
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, "", text, parser.SkipObjectResolution)
	if err != nil {
		return shown{}, []*complaint{{problem: problem{message: err.Error()}}}
	}
	var found []types.Error
	conf := types.Config{
		Importer: pl.library,
		Sizes:    types.SizesFor("gc", runtime.GOARCH),
		Error: func(err error) {
			var e types.Error
			if errors.As(err, &e) {
				found = append(found, e)
			}
		},
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
	pkg, _ := conf.Check("main", fset, []*ast.File{file}, info) // its error is the first of those found
	last, value := lastExpression(file, pl.p.statements)
	var bad []*complaint
	for _, e := range found {
		if ignored(e, value) {
			continue
		}
		bad = append(bad, g.problem(e, pkg))
	}
	if len(bad) > 0 {
		return shown{}, bad
	}
	pl.findTypes(pkg)
	pl.findShared(pkg)
	pl.findKeys(file, info, pkg)
	if p := pl.hidden(); p != nil {
		return shown{}, []*complaint{p}
	}
	pl.settle()
	if value == nil {
		return shown{}, nil
	}
	return pl.shownBy(last, value, info.TypeOf(value)), nil
}

// ignored reports whether an error comes of how the program to check differs
// from the one to run.
func ignored(e types.Error, value ast.Expr) bool {
	switch {
	case strings.HasPrefix(e.Msg, "initialization cycle"), strings.HasPrefix(e.Msg, "\t"):
		return true // variables are made in main, one after the other
	case value != nil && e.Pos >= value.Pos() && e.Pos <= value.End() && strings.HasSuffix(e.Msg, "is not used"):
		return e.Pos == value.Pos() || strings.Contains(e.Msg, "(") // it is shown
	}
	return false
}

// lastExpression returns the cell's last statement, if that is an expression, and
// the expression in the program that was checked.
func lastExpression(file *ast.File, list []*statement) (*statement, ast.Expr) {
	if len(list) == 0 {
		return nil, nil
	}
	last := list[len(list)-1]
	if _, ok := last.node.(*ast.ExprStmt); !ok {
		return nil, nil
	}
	for _, d := range file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Name.Name != bodyName || len(f.Body.List) == 0 {
			continue
		}
		if s, ok := f.Body.List[len(f.Body.List)-1].(*ast.ExprStmt); ok {
			return last, s.X
		}
	}
	return nil, nil
}

// findTypes notes the types of the variables that the cell makes.
func (pl *plan) findTypes(pkg *types.Package) {
	for name := range pl.made {
		o := pkg.Scope().Lookup(name)
		if o == nil {
			continue
		}
		text, ok := typeText(o.Type(), pkg)
		pl.checks[name] = &result{typ: text, local: !ok}
	}
}

// findShared finds what the variables may share with packages: in what packages
// the types are of what they can hold, and whether that may be anything.
func (pl *plan) findShared(pkg *types.Package) {
	pl.holds = map[string]bool{}
	seen := map[types.Type]bool{}
	for _, name := range pkg.Scope().Names() {
		if v, ok := pkg.Scope().Lookup(name).(*types.Var); ok {
			pl.look(v.Type(), seen)
		}
	}
}

// look looks for packages through a type.
func (pl *plan) look(t types.Type, seen map[types.Type]bool) {
	if seen[t] {
		return
	}
	seen[t] = true
	switch t := t.(type) {
	case *types.Named:
		if p := t.Obj().Pkg(); p != nil {
			pl.holds[p.Path()] = true
		}
		pl.look(t.Underlying(), seen)
	case *types.Alias:
		pl.look(types.Unalias(t), seen)
	case *types.Pointer:
		pl.look(t.Elem(), seen)
	case *types.Slice:
		pl.look(t.Elem(), seen)
	case *types.Array:
		pl.look(t.Elem(), seen)
	case *types.Map:
		pl.look(t.Key(), seen)
		pl.look(t.Elem(), seen)
	case *types.Struct:
		for i := range t.NumFields() {
			pl.look(t.Field(i).Type(), seen)
		}
	case *types.Interface, *types.Signature:
		pl.anything = true
	}
}

// findKeys adds the variables of the session that are keys of composite
// literals, which only types can tell from names of fields.
func (pl *plan) findKeys(file *ast.File, info *types.Info, pkg *types.Package) {
	ast.Inspect(file, func(n ast.Node) bool {
		kv, ok := n.(*ast.KeyValueExpr)
		if !ok {
			return true
		}
		if id, ok := kv.Key.(*ast.Ident); ok {
			if o := info.Uses[id]; o != nil && o.Parent() == pkg.Scope() {
				pl.addName(o.Name(), false, false)
			}
		}
		return true
	})
}

// hidden looks for a function that uses a variable whose type cannot be named,
// so that only statements can have it.
func (pl *plan) hidden() *complaint {
	local := func(name string) bool {
		if c := pl.checks[name]; c != nil {
			return c.local
		}
		return pl.vars[name] != nil && pl.vars[name].local
	}
	units := pl.units
	if pl.p.main != nil {
		units = append(units[:len(units):len(units)], pl.p.main)
	}
	for _, u := range units {
		for _, r := range u.refs {
			if r.path == "" && !r.key && local(r.name) {
				return &complaint{src: u.src, problem: problem{at: r.at,
					message: r.name + " has a type that only its own package can name, so that functions cannot use it"}}
			}
		}
	}
	return nil
}

// complaint is a problem in the text of some cell.
type complaint struct {
	src *source
	problem
	words string // the compiler's own
}

// problem turns what the type checker says into a problem of a cell.
func (g *generator) problem(e types.Error, pkg *types.Package) *complaint {
	at := int(e.Pos) - base
	p := &complaint{problem: problem{message: scrub(e.Msg)}}
	p.words = p.message
	if src, offset, ok := g.b.locate(at); ok {
		p.src, p.at = src, offset
	}
	return p
}

// scrub takes the program's own names out of a message.
func scrub(text string) string {
	for _, p := range []string{wasPrefix, lostPrefix, prefix + "display.", prefix} {
		text = strings.ReplaceAll(text, p, "")
	}
	return text
}
