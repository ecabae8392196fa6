package cell

import (
	"go/ast"
	"go/token"
)

// binder finds the names in a piece of Go that are not declared in it, and the
// variables that it may change.
type binder struct {
	shift int
	scope *scope
	refs  []ref
	moves []string
	depth int // of function literals
}

// scope is the names declared in a block.
type scope struct {
	names map[string]bool
	outer *scope
}

func newBinder(shift int) *binder { return &binder{shift: shift, scope: &scope{}} }

func (b *binder) open()  { b.scope = &scope{outer: b.scope} }
func (b *binder) close() { b.scope = b.scope.outer }

func (b *binder) declare(id *ast.Ident) {
	if id == nil || id.Name == "_" {
		return
	}
	if b.scope.names == nil {
		b.scope.names = map[string]bool{}
	}
	b.scope.names[id.Name] = true
}

func (b *binder) local(name string) bool {
	for s := b.scope; s != nil; s = s.outer {
		if s.names[name] {
			return true
		}
	}
	return false
}

func (b *binder) use(id *ast.Ident, sel string, key bool) {
	if id.Name == "_" || b.local(id.Name) {
		return
	}
	b.refs = append(b.refs, ref{at: int(id.Pos()) - b.shift, name: id.Name, sel: sel, key: key, later: b.depth > 0})
}

// move notes that what an expression stands for may be changed.
func (b *binder) move(e ast.Expr) {
	for {
		switch x := e.(type) {
		case *ast.ParenExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.SliceExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.Ident:
			if x.Name != "_" && !b.local(x.Name) {
				b.moves = append(b.moves, x.Name)
			}
			return
		default:
			return
		}
	}
}

func (b *binder) exprs(list []ast.Expr) {
	for _, e := range list {
		b.expr(e)
	}
}

// changers are the functions of the language that change their first argument.
var changers = map[string]bool{"append": true, "copy": true, "delete": true, "clear": true}

func (b *binder) expr(e ast.Expr) {
	switch e := e.(type) {
	case nil:
	case *ast.Ident:
		b.use(e, "", false)
	case *ast.BasicLit, *ast.BadExpr:
	case *ast.SelectorExpr:
		if id, ok := e.X.(*ast.Ident); ok {
			b.use(id, e.Sel.Name, false)
			return
		}
		b.expr(e.X)
	case *ast.FuncLit:
		b.open()
		b.signature(e.Type)
		b.depth++
		b.block(e.Body)
		b.depth--
		b.close()
	case *ast.CompositeLit:
		b.expr(e.Type)
		for _, elt := range e.Elts {
			if kv, ok := elt.(*ast.KeyValueExpr); ok {
				if id, ok := kv.Key.(*ast.Ident); ok {
					b.use(id, "", true)
				} else {
					b.expr(kv.Key)
				}
				b.expr(kv.Value)
				continue
			}
			b.expr(elt)
		}
	case *ast.ParenExpr:
		b.expr(e.X)
	case *ast.IndexExpr:
		b.expr(e.X)
		b.expr(e.Index)
	case *ast.IndexListExpr:
		b.expr(e.X)
		b.exprs(e.Indices)
	case *ast.SliceExpr:
		b.expr(e.X)
		b.expr(e.Low)
		b.expr(e.High)
		b.expr(e.Max)
	case *ast.TypeAssertExpr:
		b.expr(e.X)
		b.expr(e.Type)
	case *ast.CallExpr:
		if id, ok := e.Fun.(*ast.Ident); ok && changers[id.Name] && len(e.Args) > 0 {
			b.move(e.Args[0])
		}
		b.expr(e.Fun)
		b.exprs(e.Args)
	case *ast.StarExpr:
		b.expr(e.X)
	case *ast.UnaryExpr:
		if e.Op == token.AND {
			b.move(e.X)
		}
		b.expr(e.X)
	case *ast.BinaryExpr:
		b.expr(e.X)
		b.expr(e.Y)
	case *ast.KeyValueExpr:
		b.expr(e.Key)
		b.expr(e.Value)
	case *ast.Ellipsis:
		b.expr(e.Elt)
	case *ast.ArrayType:
		b.expr(e.Len)
		b.expr(e.Elt)
	case *ast.MapType:
		b.expr(e.Key)
		b.expr(e.Value)
	case *ast.ChanType:
		b.expr(e.Value)
	case *ast.StructType:
		b.fieldTypes(e.Fields)
	case *ast.InterfaceType:
		b.fieldTypes(e.Methods)
	case *ast.FuncType:
		b.open() // the names of parameters mean nothing outside
		b.signature(e)
		b.close()
	}
}

// fieldTypes visits the types of fields or methods.
func (b *binder) fieldTypes(list *ast.FieldList) {
	if list == nil {
		return
	}
	for _, f := range list.List {
		b.expr(f.Type)
	}
}

// signature visits the types of a function and declares its parameters.
func (b *binder) signature(t *ast.FuncType) {
	if t.TypeParams != nil {
		for _, f := range t.TypeParams.List {
			b.declareAll(f.Names)
		}
		b.fieldTypes(t.TypeParams)
	}
	b.fieldTypes(t.Params)
	b.fieldTypes(t.Results)
	for _, list := range []*ast.FieldList{t.Params, t.Results} {
		if list != nil {
			for _, f := range list.List {
				b.declareAll(f.Names)
			}
		}
	}
}

func (b *binder) declareAll(ids []*ast.Ident) {
	for _, id := range ids {
		b.declare(id)
	}
}

// function visits a function with its body.
func (b *binder) function(d *ast.FuncDecl) {
	b.open()
	defer b.close()
	if d.Recv != nil {
		for _, f := range d.Recv.List {
			// The type parameters of a receiver are declared by it.
			t := ast.Unparen(f.Type)
			if star, ok := t.(*ast.StarExpr); ok {
				t = ast.Unparen(star.X)
			}
			switch t := t.(type) {
			case *ast.IndexExpr:
				b.expr(t.X)
				b.declareParam(t.Index)
			case *ast.IndexListExpr:
				b.expr(t.X)
				for _, i := range t.Indices {
					b.declareParam(i)
				}
			default:
				b.expr(t)
			}
			b.declareAll(f.Names)
		}
	}
	b.signature(d.Type)
	b.block(d.Body)
}

func (b *binder) declareParam(e ast.Expr) {
	if id, ok := e.(*ast.Ident); ok {
		b.declare(id)
	}
}

func (b *binder) typeSpec(s *ast.TypeSpec) {
	b.open()
	if s.TypeParams != nil {
		for _, f := range s.TypeParams.List {
			b.declareAll(f.Names)
		}
		b.fieldTypes(s.TypeParams)
	}
	b.expr(s.Type)
	b.close()
}

func (b *binder) block(s *ast.BlockStmt) {
	if s == nil {
		return
	}
	b.open()
	b.stmts(s.List)
	b.close()
}

func (b *binder) stmts(list []ast.Stmt) {
	for _, s := range list {
		b.stmt(s)
	}
}

func (b *binder) stmt(s ast.Stmt) {
	switch s := s.(type) {
	case nil, *ast.BadStmt, *ast.EmptyStmt, *ast.BranchStmt:
	case *ast.DeclStmt:
		b.decl(s.Decl)
	case *ast.LabeledStmt:
		b.stmt(s.Stmt)
	case *ast.ExprStmt:
		b.expr(s.X)
	case *ast.SendStmt:
		b.move(s.Chan)
		b.expr(s.Chan)
		b.expr(s.Value)
	case *ast.IncDecStmt:
		b.move(s.X)
		b.expr(s.X)
	case *ast.AssignStmt:
		if s.Tok == token.DEFINE {
			b.exprs(s.Rhs)
			for _, l := range s.Lhs {
				if id, ok := l.(*ast.Ident); ok {
					b.declare(id)
				}
			}
			return
		}
		for _, l := range s.Lhs {
			b.move(l)
		}
		b.exprs(s.Lhs)
		b.exprs(s.Rhs)
	case *ast.GoStmt:
		b.expr(s.Call)
	case *ast.DeferStmt:
		b.expr(s.Call)
	case *ast.ReturnStmt:
		b.exprs(s.Results)
	case *ast.BlockStmt:
		b.block(s)
	case *ast.IfStmt:
		b.open()
		b.stmt(s.Init)
		b.expr(s.Cond)
		b.block(s.Body)
		b.stmt(s.Else)
		b.close()
	case *ast.SwitchStmt:
		b.open()
		b.stmt(s.Init)
		b.expr(s.Tag)
		b.block(s.Body)
		b.close()
	case *ast.TypeSwitchStmt:
		b.open()
		b.stmt(s.Init)
		b.stmt(s.Assign)
		b.block(s.Body)
		b.close()
	case *ast.CaseClause:
		b.exprs(s.List)
		b.open()
		b.stmts(s.Body)
		b.close()
	case *ast.SelectStmt:
		b.block(s.Body)
	case *ast.CommClause:
		b.open()
		b.stmt(s.Comm)
		b.stmts(s.Body)
		b.close()
	case *ast.ForStmt:
		b.open()
		b.stmt(s.Init)
		b.expr(s.Cond)
		b.stmt(s.Post)
		b.block(s.Body)
		b.close()
	case *ast.RangeStmt:
		b.expr(s.X)
		b.open()
		for _, v := range []ast.Expr{s.Key, s.Value} {
			if id, ok := v.(*ast.Ident); ok && s.Tok == token.DEFINE {
				b.declare(id)
			} else if v != nil {
				b.move(v)
				b.expr(v)
			}
		}
		b.block(s.Body)
		b.close()
	}
}

// decl visits a declaration within a function.
func (b *binder) decl(d ast.Decl) {
	g, ok := d.(*ast.GenDecl)
	if !ok {
		return
	}
	for _, spec := range g.Specs {
		switch s := spec.(type) {
		case *ast.ValueSpec:
			b.expr(s.Type)
			b.exprs(s.Values)
			b.declareAll(s.Names)
		case *ast.TypeSpec:
			b.declare(s.Name)
			b.typeSpec(s)
		}
	}
}
