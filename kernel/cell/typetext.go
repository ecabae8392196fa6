package cell

import (
	"go/token"
	"go/types"
	"strings"

	"example.com/railbook/kernel/cell/keep"
)

// typeText returns a type as Go source, in which the import path of a package
// stands in angle quotes before a name; types of the session stand for
// themselves. ok tells whether a program of another module can write it.
func typeText(t types.Type, session *types.Package) (text string, ok bool) {
	ok = named(t, session, map[types.Type]bool{})
	return types.TypeString(t, func(p *types.Package) string {
		if p == session {
			return ""
		}
		return "«" + p.Path() + "»"
	}), ok
}

// named reports whether a type can be written outside of the packages that its
// parts are from.
func named(t types.Type, session *types.Package, seen map[types.Type]bool) bool {
	if seen[t] {
		return true
	}
	seen[t] = true
	foreign := func(o types.Object) bool {
		return o.Pkg() != nil && o.Pkg() != session && (!o.Exported() || !keep.Importable(o.Pkg().Path()))
	}
	switch t := t.(type) {
	case *types.Basic:
		return t.Kind() != types.Invalid && t.Info()&types.IsUntyped == 0
	case *types.Named:
		if foreign(t.Obj()) || t.Obj().Pkg() == session && t.Obj().Parent() != session.Scope() {
			return false
		}
		for i := range t.TypeArgs().Len() {
			if !named(t.TypeArgs().At(i), session, seen) {
				return false
			}
		}
		return true
	case *types.Alias:
		if !foreign(t.Obj()) && (t.Obj().Pkg() != session || t.Obj().Parent() == session.Scope()) {
			return t.TypeArgs().Len() == 0 || named(types.Unalias(t), session, seen)
		}
		return false
	case *types.Pointer:
		return named(t.Elem(), session, seen)
	case *types.Slice:
		return named(t.Elem(), session, seen)
	case *types.Array:
		return named(t.Elem(), session, seen)
	case *types.Chan:
		return named(t.Elem(), session, seen)
	case *types.Map:
		return named(t.Key(), session, seen) && named(t.Elem(), session, seen)
	case *types.Signature:
		return named(t.Params(), session, seen) && named(t.Results(), session, seen)
	case *types.Tuple:
		for i := range t.Len() {
			if !named(t.At(i).Type(), session, seen) {
				return false
			}
		}
		return true
	case *types.Struct:
		for i := range t.NumFields() {
			if f := t.Field(i); foreignField(f, session) || !named(f.Type(), session, seen) {
				return false
			}
		}
		return true
	case *types.Interface:
		for i := range t.NumExplicitMethods() {
			if m := t.ExplicitMethod(i); foreignField(m, session) || !named(m.Type(), session, seen) {
				return false
			}
		}
		for i := range t.NumEmbeddeds() {
			if !named(t.EmbeddedType(i), session, seen) {
				return false
			}
		}
		return true
	}
	return false
}

// foreignField reports whether a field or method is another package's own.
func foreignField(o types.Object, session *types.Package) bool {
	return !o.Exported() && o.Pkg() != session
}

// renderType writes the text of a type with the names that a program has for
// packages.
func renderType(text string, name func(path string) string) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(text, "«")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		path, after, _ := strings.Cut(rest, "»")
		b.WriteString(name(path))
		text = after
	}
}

// typePaths lists the packages that the text of a type names.
func typePaths(text string) []string {
	var list []string
	renderType(text, func(path string) string {
		list = append(list, path)
		return ""
	})
	return list
}

// typeNames lists the names in the text of a type that may be types of the
// session.
func typeNames(text string) []string {
	var list []string
	text = renderType(text, func(string) string { return "_" })
	for _, word := range strings.FieldsFunc(text, func(r rune) bool {
		return r != '_' && r != '.' && !('a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || r >= 0x80)
	}) {
		if token.IsIdentifier(word) {
			list = append(list, word)
		}
	}
	return list
}
