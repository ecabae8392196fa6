package cell

import (
	"go/ast"
	"go/token"
)

// makeStatements makes statements of one in the source, which are several if it
// is a group of variables. Positions are offsets plus shift.
func makeStatements(src *source, s ast.Stmt, shift int) []*statement {
	offset := func(p token.Pos) int { return int(p) - shift }
	make := func(n ast.Node) *statement {
		st := &statement{src: src, node: s}
		// A label at the end of the cell labels what stands around it.
		st.from, st.to = offset(n.Pos()), min(offset(n.End()), len(src.text))
		return st
	}
	b := newBinder(shift)
	switch s := s.(type) {
	case *ast.DeclStmt:
		if d, ok := s.Decl.(*ast.GenDecl); ok && d.Tok == token.VAR {
			var list []*statement
			for _, spec := range d.Specs {
				spec := spec.(*ast.ValueSpec)
				st := make(spec)
				st.isVar = true
				st.rhs = st.to
				if len(spec.Values) > 0 {
					st.rhs = offset(spec.Values[0].Pos())
				}
				if spec.Type != nil {
					st.typ = [2]int{offset(spec.Type.Pos()), offset(spec.Type.End())}
				}
				for _, name := range spec.Names {
					st.defines = append(st.defines, define{name: name.Name, at: offset(name.Pos())})
				}
				b := newBinder(shift)
				b.expr(spec.Type)
				b.exprs(spec.Values)
				st.refs, st.moves = b.refs, b.moves
				list = append(list, st)
			}
			return list
		}
	case *ast.AssignStmt:
		st := make(s)
		if s.Tok == token.DEFINE {
			st.rhs = offset(s.Rhs[0].Pos())
			for _, l := range s.Lhs {
				if id, ok := l.(*ast.Ident); ok {
					st.defines = append(st.defines, define{name: id.Name, at: offset(id.Pos())})
				}
			}
			b.exprs(s.Rhs)
			st.refs, st.moves = b.refs, b.moves
			return []*statement{st}
		}
		b.stmt(s)
		st.refs, st.moves = b.refs, b.moves
		st.rhs = offset(s.Rhs[0].Pos())
		if id, ok := s.Lhs[0].(*ast.Ident); ok && len(s.Lhs) == 1 && s.Tok == token.ASSIGN {
			st.assigns = id.Name
		}
		return []*statement{st}
	}
	st := make(s)
	b.stmt(s)
	st.refs, st.moves = b.refs, b.moves
	return []*statement{st}
}

// check marks the names that the cell has made before, and sees to it that a
// statement that makes variables makes a new one.
func (s *statement) check(made map[string]bool) *problem {
	if len(s.defines) == 0 {
		return nil
	}
	fresh := false
	for i := range s.defines {
		d := &s.defines[i]
		if d.name == "_" {
			continue
		}
		if made[d.name] && s.isVar {
			return &problem{at: d.at, message: d.name + " redeclared in this cell"}
		}
		d.again = made[d.name]
		fresh = fresh || !d.again
	}
	if !fresh && !s.isVar {
		return &problem{at: s.defines[0].at, message: "no new variables on left side of :="}
	}
	for _, d := range s.defines {
		made[d.name] = true
	}
	return nil
}

// place tells for each name that a statement mentions whether the cell has made
// it by then. If not, it means an older variable, and is out of sight without one.
func place(list []*statement) {
	first := map[string]int{} // the statement that makes a name
	for i, s := range list {
		for _, d := range s.defines {
			if _, ok := first[d.name]; !ok {
				first[d.name] = i
			}
		}
	}
	for i, s := range list {
		for k := range s.refs {
			if at, ok := first[s.refs[k].name]; ok && at >= i {
				s.refs[k].old = true
			}
		}
	}
}

// names lists the variables that statements make, each once.
func names(list []*statement) []string {
	var all []string
	for _, s := range list {
		for _, d := range s.defines {
			if !d.again && d.name != "_" {
				all = append(all, d.name)
			}
		}
	}
	return all
}
