package cell

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"strings"
)

// unit is a declaration that lives on: a function, a method, a type or a group of
// constants.
type unit struct {
	kind  itemKind
	names []string // that it declares; of a method its type and its name
	spots []int    // where in the text the names of constants stand
	isFor string   // the type of a method's receiver
	src   *source
	piece
	before string // what has to stand before the piece: "type " for one of a group
	shape  string // the tokens of a type or constants, by which a change is seen
	moves  []string
	// spotsOfSteps are where the statements of a main begin.
	spotsOfSteps []int
}

func (p *parsed) readUnits(src *source, text string, items []item) *problem {
	only := only(text, items, funcItem, typeItem, constItem)
	f, err := parser.ParseFile(token.NewFileSet(), "", declPrefix+only, parser.SkipObjectResolution)
	if err != nil {
		return syntax(err, len(declPrefix), text)
	}
	r := &unitReader{src: src, text: text, shift: base + len(declPrefix)}
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			u, bad := r.function(d)
			if bad != nil {
				return bad
			}
			if d.Recv == nil && d.Name.Name == "main" {
				if p.main != nil {
					return &problem{at: u.from, message: "main is declared twice in this cell"}
				}
				p.main = u
			} else {
				p.units = append(p.units, u)
			}
		case *ast.GenDecl:
			p.units = append(p.units, r.general(d)...)
		}
	}
	return p.twice()
}

// twice looks for a name that the cell declares twice.
func (p *parsed) twice() *problem {
	seen := map[string]bool{}
	for _, u := range p.units {
		for _, name := range u.names {
			key := name
			if u.isFor != "" {
				key = u.isFor + "." + name
			}
			if seen[key] && name != "_" && name != "init" {
				return &problem{at: u.from, message: key + " is declared twice in this cell"}
			}
			seen[key] = true
		}
	}
	return nil
}

// unitReader makes units of declarations.
type unitReader struct {
	src   *source
	text  string
	shift int
}

func (r *unitReader) offset(p token.Pos) int { return int(p) - r.shift }

func (r *unitReader) unit(kind itemKind, n ast.Node) *unit {
	u := &unit{kind: kind, src: r.src}
	u.from, u.to = r.offset(n.Pos()), r.offset(n.End())
	return u
}

func (r *unitReader) function(d *ast.FuncDecl) (*unit, *problem) {
	u := r.unit(funcItem, d)
	u.names = []string{d.Name.Name}
	u.spots = []int{r.offset(d.Name.Pos())}
	if d.Recv != nil {
		if d.Recv.NumFields() == 0 {
			return nil, &problem{at: u.from, message: "method has no receiver"}
		}
		u.isFor = receiver(d.Recv.List[0].Type)
	} else if d.Name.Name == "_" {
		u.names = nil
	}
	b := newBinder(r.shift)
	b.function(d)
	u.refs, u.moves = b.refs, b.moves
	if d.Recv == nil && d.Name.Name == "main" {
		u.spotsOfSteps = spots(d, r.shift)
	}
	return u, nil
}

// spots lists where the statements of a function begin.
func spots(d *ast.FuncDecl, shift int) []int {
	if d.Body == nil {
		return nil
	}
	var list []int
	for _, s := range d.Body.List {
		list = append(list, int(s.Pos())-shift)
	}
	return list
}

// receiver returns the name of a method's type.
func receiver(t ast.Expr) string {
	switch t := ast.Unparen(t).(type) {
	case *ast.StarExpr:
		return receiver(t.X)
	case *ast.IndexExpr:
		return receiver(t.X)
	case *ast.IndexListExpr:
		return receiver(t.X)
	case *ast.Ident:
		return t.Name
	}
	return ""
}

func (r *unitReader) general(d *ast.GenDecl) []*unit {
	if d.Tok == token.CONST {
		u := r.unit(constItem, d)
		b := newBinder(r.shift)
		for _, spec := range d.Specs {
			spec := spec.(*ast.ValueSpec)
			for _, name := range spec.Names {
				u.names = append(u.names, name.Name)
				u.spots = append(u.spots, r.offset(name.Pos()))
			}
			b.expr(spec.Type)
			b.exprs(spec.Values)
		}
		u.refs = without(b.refs, u.names...) // later ones may use earlier ones
		u.shape = shape(r.text[u.from:u.to])
		return []*unit{u}
	}
	var list []*unit
	for _, spec := range d.Specs {
		spec, ok := spec.(*ast.TypeSpec)
		if !ok {
			continue
		}
		u := r.unit(typeItem, spec)
		u.before = "type "
		u.names = []string{spec.Name.Name}
		u.spots = []int{u.from}
		b := newBinder(r.shift)
		b.typeSpec(spec)
		u.refs = without(b.refs, spec.Name.Name)
		u.shape = shape(r.text[u.from:u.to])
		list = append(list, u)
	}
	return list
}

// without returns the refs that are not to one of the names.
func without(refs []ref, names ...string) []ref {
	var list []ref
next:
	for _, r := range refs {
		for _, name := range names {
			if r.name == name {
				continue next
			}
		}
		list = append(list, r)
	}
	return list
}

// shape returns the tokens of a text without what is between them.
func shape(text string) string {
	var s scanner.Scanner
	s.Init(token.NewFileSet().AddFile("", -1, len(text)), []byte(text), func(token.Position, string) {}, 0)
	var b strings.Builder
	for {
		_, tok, lit := s.Scan()
		if tok == token.EOF {
			return b.String()
		}
		if lit == "\n" {
			lit = ";"
		}
		fmt.Fprintf(&b, "%v %s ", tok, lit)
	}
}
