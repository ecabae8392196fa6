package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"strconv"
	"strings"
)

// shown says how the value of a cell's last expression is shown.
type shown struct {
	statement *statement // nil if nothing is shown
	values    []display  // what there is to show, in order
	call      string     // a function of package show that takes them all, or ""
	drop      bool       // it is a value that is not shown
}

// display is a way to show a value.
type display int

const (
	plainDisplay   display = iota // by package show
	projectDisplay                // by the Show of package display
	nilableDisplay                // the same, unless it is nil
	surfaceDisplay                // as a figure
)

// found tells of what type the last statement's value is, and which are shown.
func (pl *plan) shownBy(st *statement, e ast.Expr, t types.Type) shown {
	if t == nil || st == nil {
		return shown{}
	}
	call, isCall := ast.Unparen(e).(*ast.CallExpr)
	if st.ended || pl.sp.mode == testMode {
		return unseen(st, e)
	}
	tuple, ok := t.(*types.Tuple)
	if !ok {
		if isCall && forEffect(call) || isUnit(t) {
			return unseen(st, e)
		}
		if isCall && isError(t) {
			return shown{statement: st, call: "Error"}
		}
		return shown{statement: st, values: []display{pl.displayOf(t)}}
	}
	if tuple.Len() == 0 {
		return shown{}
	}
	if tuple.Len() == 2 && isInt(tuple.At(0).Type()) && isError(tuple.At(1).Type()) && writes(call) {
		return shown{statement: st, call: "Written"}
	}
	s := shown{statement: st}
	plain := true
	for i := range tuple.Len() {
		d := pl.displayOf(tuple.At(i).Type())
		plain = plain && d == plainDisplay
		s.values = append(s.values, d)
	}
	if plain {
		s.call, s.values = "Show", nil
	}
	return s
}

// unseen is for a last expression that is not shown.
func unseen(st *statement, e ast.Expr) shown {
	switch e := ast.Unparen(e).(type) {
	case *ast.CallExpr:
		return shown{}
	case *ast.UnaryExpr:
		if e.Op == token.ARROW {
			return shown{}
		}
	}
	return shown{statement: st, drop: true}
}

// writes reports whether a call is by its name one that prints or writes.
func writes(call *ast.CallExpr) bool {
	name := ""
	switch f := ast.Unparen(call.Fun).(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	for _, p := range []string{"Print", "Fprint", "Write"} {
		if strings.HasPrefix(name, p) {
			return true
		}
	}
	return false
}

// forEffect reports whether a call to a function of the language is made for
// what it does, though it gives something.
func forEffect(call *ast.CallExpr) bool {
	id, ok := ast.Unparen(call.Fun).(*ast.Ident)
	return ok && (id.Name == "copy" || id.Name == "recover")
}

// isUnit reports whether a value of the type says nothing.
func isUnit(t types.Type) bool {
	s, ok := types.Unalias(t).(*types.Struct)
	return ok && s.NumFields() == 0
}

func isError(t types.Type) bool { return types.Identical(t, types.Universe.Lookup("error").Type()) }

func isInt(t types.Type) bool {
	b, ok := types.Unalias(t).(*types.Basic)
	return ok && b.Kind() == types.Int
}

// projectTypes are the types that package display shows, by their text below the
// module's path.
var projectTypes = map[string]display{
	"*«sizing».Assessment":           nilableDisplay,
	"«sizing».Assessment":            projectDisplay,
	"«sizing».Build":                 projectDisplay,
	"«sizing».Table":                 projectDisplay,
	"[]«sizing».Step":                projectDisplay,
	"«report/figure».Figure":         projectDisplay,
	"*«kernel/display».Grid":         nilableDisplay,
	"*«kernel/display».Doubts":       nilableDisplay,
	"*«kernel/display».Measurements": nilableDisplay,
	"«sizing/sweep».Surface":         surfaceDisplay,
}

// displayOf says how a value of a type is shown.
func (pl *plan) displayOf(t types.Type) display {
	text := types.TypeString(types.Unalias(t), func(p *types.Package) string {
		path := p.Path()
		if len(path) > len(pl.library.module) && pl.library.own(path) {
			path = path[len(pl.library.module)+1:]
		}
		return "«" + path + "»"
	})
	if d, ok := projectTypes[text]; ok {
		return d
	}
	if n, ok := types.Unalias(t).(*types.Named); ok && n.Obj().Pkg() != nil && n.Obj().Pkg().Path() == pl.path("sizing/quantity") {
		if b, ok := n.Underlying().(*types.Basic); ok && b.Kind() == types.Float64 {
			return projectDisplay // a quantity, with its unit
		}
	}
	return plainDisplay
}

// packages lists the packages that the displays need.
func (pl *plan) displayPackages(s shown) []string {
	need := map[string]bool{}
	if s.call != "" {
		need[showPath] = true
	}
	for _, d := range s.values {
		switch d {
		case plainDisplay:
			need[showPath] = true
		case projectDisplay:
			need[displayPath] = true
		case nilableDisplay:
			need[displayPath], need[showPath] = true, true
		case surfaceDisplay:
			need[displayPath], need[figurePath] = true, true
		}
	}
	var list []string
	for p := range need {
		list = append(list, pl.path(p))
	}
	return list
}

// show writes the last statement so that its value is shown.
func (g *generator) show(st *statement, s shown) {
	edits := g.edits(st.refs)
	value := func() { g.b.piece(st.src, st.from, st.to, edits) }
	showName := g.alias(g.path(showPath))
	if s.drop {
		g.b.text("_ = ")
		value()
		return
	}
	if s.call != "" {
		g.b.text(showName, ".", s.call, "(")
		value()
		g.b.text(")")
		return
	}
	if len(s.values) == 1 && s.values[0] == plainDisplay {
		g.b.text(showName, ".Show(")
		value()
		g.b.text(")")
		return
	}
	g.b.text("{ ")
	for i := range s.values {
		if i > 0 {
			g.b.text(", ")
		}
		g.b.text(prefix, "value", strconv.Itoa(i))
	}
	g.b.text(" := ")
	value()
	for i, d := range s.values {
		name := prefix + "value" + strconv.Itoa(i)
		g.b.text("; ")
		switch d {
		case projectDisplay:
			g.b.text(g.alias(g.path(displayPath)), ".Show(", name, ")")
		case nilableDisplay:
			g.b.text("if ", name, " == nil { ", showName, ".Show(nil) } else { ", g.alias(g.path(displayPath)), ".Show(", name, ") }")
		case surfaceDisplay:
			figure := g.alias(g.path(figurePath))
			g.b.text(g.alias(g.path(displayPath)), ".Show(", figure, ".OfSurface(\"surface\", ", name, ", ", figure, ".Relief))")
		default:
			if i == len(s.values)-1 && i > 0 {
				g.b.text("if any(", name, ") != nil { ", showName, ".Show(", name, ") }")
			} else {
				g.b.text(showName, ".Show(", name, ")")
			}
		}
	}
	g.b.text(" }")
}
