package cell

import (
	"maps"
	"slices"
	"strconv"
)

// variables declares the variables of the session.
func (g *generator) variables() {
	for _, u := range g.usesInOrder() {
		if !u.local {
			name := u.name
			if u.anew != "" {
				name = u.anew
			}
			g.b.text("var ", name, " ", g.typeText(u.typ), "\n")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(g.checks)) {
		if g.vars[name] == nil && !g.checks[name].local {
			g.b.text("var ", name, " ", g.typeText(g.checks[name].typ), "\n")
		}
	}
	if g.stepping() {
		g.b.text("var ", stepsName, " = ", g.keepName(), ".OpenSteps(", strconv.Quote(g.o.Folder), ", ", strconv.Quote(g.mark()), ")\n")
	}
	g.b.text("\n")
}

// mark begins the names of the files that the cell writes.
func (g *generator) mark() string { return strconv.Itoa(g.src.id) }

// stepping reports whether the program notes at which statement it is: where
// there are several.
func (pl *plan) stepping() bool {
	return pl.sp.mode != wasmMode && pl.sp.mode != testMode && len(pl.stepPlaces()) > 1
}

// stepPlaces lists the offsets of the statements that are run one after the
// other, in the order of their numbers.
func (pl *plan) stepPlaces() []int {
	var list []int
	for _, st := range pl.p.statements {
		list = append(list, st.from)
	}
	if pl.p.main != nil {
		list = append(list, pl.p.main.spotsOfSteps...)
	}
	return list
}

// stepEdits writes the notes before the statements of a main. They go before other edits
// of the same place, which change the statement itself.
func (g *generator) stepEdits() []edit {
	if g.checking || !g.stepping() {
		return nil
	}
	var list []edit
	for i, at := range g.p.main.spotsOfSteps {
		list = append(list, edit{at, at, g.step(len(g.p.statements) + i)})
	}
	return list
}

func (g *generator) step(n int) string {
	return stepsName + ".At(" + strconv.Itoa(n) + "); "
}

// body writes the function that runs the cell.
func (g *generator) body(shown shown) {
	g.b.text("func ", bodyName, "() {\n")
	for _, u := range g.usesInOrder() {
		if u.again {
			g.again(u)
		}
	}
	if flag := g.aliases["flag"]; flag != "" {
		g.b.text("\t", flag, ".Parse()\n")
	}
	for i := range g.initCount() {
		g.b.text("\t", initPrefix, strconv.Itoa(i+1), "()\n")
	}
	for i, st := range g.p.statements {
		g.b.text("\t")
		if g.stepping() {
			g.b.text(g.step(i))
		}
		if shown.statement == st {
			g.show(st, shown)
		} else {
			g.statement(st)
		}
		g.b.text("\n")
	}
	if g.p.main != nil {
		g.b.text("\t", mainName, "()\n")
	}
	if g.sp.call != "" {
		g.b.text("\t", g.sp.call, "()\n")
	}
	g.b.text("}\n\n")
}

// again writes the statement that made a variable whose value is not carried, to
// make that variable alone.
func (g *generator) again(u *use) {
	st := u.maker
	name := u.name
	if u.anew != "" {
		name = u.anew
	}
	g.b.text("\t")
	if st.assigns != "" || st.rhs >= st.to {
		if st.rhs >= st.to && len(st.defines) > 0 {
			return // a var without a value
		}
		edits := append(g.edits(st.refs), edit{st.from, st.from + len(st.assigns), name})
		g.b.piece(st.src, st.from, st.to, edits)
		g.b.text("\n")
		return
	}
	for i, d := range g.targets(st, u.name) {
		if i > 0 {
			g.b.text(", ")
		}
		if d == u.name {
			d = name
		}
		g.b.text(d)
	}
	if u.local {
		g.b.text(" := ")
	} else {
		g.b.text(" = ")
	}
	g.b.piece(st.src, st.rhs, st.to, g.edits(st.refs))
	g.b.text("\n")
	if u.local {
		g.b.text("\t_ = ", name, "\n")
	}
}

// targets lists the left side of a statement in which only one variable is made.
func (g *generator) targets(st *statement, name string) []string {
	list := make([]string, len(st.defines))
	for i, d := range st.defines {
		list[i] = "_"
		if d.name == name {
			list[i] = name
		}
	}
	return list
}

// statement writes a statement of the cell.
func (g *generator) statement(st *statement) {
	edits := g.edits(st.refs)
	if len(st.defines) == 0 {
		g.b.piece(st.src, st.from, st.to, edits)
		return
	}
	if st.rhs >= st.to { // a var without values
		for _, d := range st.defines {
			if g.vars[d.name] != nil { // it has held something
				g.b.text("{ var ", prefix, "zero ")
				g.b.piece(st.src, st.typ[0], st.typ[1], edits)
				g.b.text("; ", d.name, " = ", prefix, "zero }; ")
			}
		}
		return
	}
	local := func(d define) bool {
		c := g.checks[d.name]
		return c != nil && c.local
	}
	if !slices.ContainsFunc(st.defines, local) {
		for i, d := range st.defines {
			if i > 0 {
				g.b.text(", ")
			}
			g.b.code(st.src, d.at, d.at+len(d.name))
		}
		g.b.text(" = ")
		g.b.piece(st.src, st.rhs, st.to, edits)
		return
	}
	// Variables whose type has no name can only be declared where they are made.
	// What stands beside them must not be declared there once more.
	var rest string
	for i, d := range st.defines {
		if i > 0 {
			g.b.text(", ")
		}
		switch {
		case local(d) || d.name == "_":
			g.b.code(st.src, d.at, d.at+len(d.name))
		default:
			temp := prefix + "value" + strconv.Itoa(i)
			g.b.text(temp)
			rest += "; " + d.name + " = " + temp
		}
		if local(d) {
			rest += "; _ = " + d.name
		}
	}
	g.b.text(" := ")
	g.b.piece(st.src, st.rhs, st.to, edits)
	g.b.text(rest)
}
