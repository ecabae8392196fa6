package cell

import (
	"go/types"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Variables of a session may hold pointers and functions that packages hold too,
// and comparing them has to give the same in every cell. What exported variables
// of the Railbook module's packages lead to is known by their names, and so is
// what these expressions lead to.
var knownExpressions = map[string][]string{
	// Blends share the table of constituents.
	"sizing/fuel": {`func() any { b, _ := %s.Ethanol(0); return &b }`},
}

// knownStandard are variables of the standard library that are compared.
var knownStandard = map[string][]string{
	"io":      {"EOF", "ErrUnexpectedEOF", "ErrClosedPipe", "Discard"},
	"io/fs":   {"ErrInvalid", "ErrPermission", "ErrExist", "ErrNotExist", "ErrClosed"},
	"os":      {"Stdin", "Stdout", "Stderr"},
	"context": {"Canceled", "DeadlineExceeded"},
	"strconv": {"ErrRange", "ErrSyntax"},
}

// known is the list of what is known by name, of the packages that a program
// links.
type known []knownVar

type knownVar struct{ path, name, expr string }

func (k known) paths() []string {
	var list []string
	for _, v := range k {
		list = append(list, v.path)
	}
	return list
}

// findKnown lists what is known in the packages that the program links anyway.
func (pl *plan) findKnown() known {
	if len(pl.kept()) == 0 && len(pl.older) == 0 {
		return nil
	}
	var list known
	for _, path := range slices.Sorted(maps.Keys(pl.library.closure(pl.linked()))) {
		switch {
		case knownStandard[path] != nil && pl.anything:
			for _, name := range knownStandard[path] {
				list = append(list, knownVar{path, path + "." + name, "func() any { return &%s." + name + " }"})
			}
		case pl.library.own(path) && (pl.anything || pl.holds[path]) && !strings.Contains(path, "/internal/") && !strings.Contains(path, "/kernel/"):
			list = append(list, pl.knownIn(path)...)
		}
	}
	return list
}

// linked lists the packages that the cell's program imports for what it is.
func (pl *plan) linked() []string {
	g := newGenerator(pl, nil, nil)
	return slices.Collect(maps.Keys(g.aliases))
}

// knownIn lists what is known in a package of the Railbook module.
func (pl *plan) knownIn(path string) known {
	pkg, err := pl.library.Import(path)
	if err != nil {
		return nil
	}
	if list, ok := pl.knownOf[pkg]; ok {
		return list
	}
	var list known
	for i, expr := range knownExpressions[strings.TrimPrefix(path, pl.library.module+"/")] {
		list = append(list, knownVar{path, path + " " + strconv.Itoa(i), expr})
	}
	for _, name := range pkg.Scope().Names() {
		if v, ok := pkg.Scope().Lookup(name).(*types.Var); ok && v.Exported() && shares(v.Type()) {
			list = append(list, knownVar{path, path + "." + name, "func() any { return &%s." + name + " }"})
		}
	}
	pl.knownOf[pkg] = list
	return list
}

// shares reports whether values of a type may share something.
func shares(t types.Type) bool {
	switch t := t.Underlying().(type) {
	case *types.Basic:
		return false
	case *types.Array:
		return shares(t.Elem())
	case *types.Struct:
		for i := range t.NumFields() {
			if shares(t.Field(i).Type()) {
				return true
			}
		}
		return false
	}
	return true
}

// known writes the list.
func (g *generator) known() {
	if len(g.knownList) == 0 {
		return
	}
	g.b.text("\t\tKnown: []", g.keepName(), ".Known{\n")
	for _, k := range g.knownList {
		g.b.text("\t\t\t{", strconv.Quote(k.name), ", ", strings.ReplaceAll(k.expr, "%s", g.alias(k.path)), "},\n")
	}
	g.b.text("\t\t},\n")
}
