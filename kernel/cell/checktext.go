package cell

import (
	"maps"
	"slices"
)

// checkText writes a program by which types are found: variables that the cell
// makes are initialised where they are declared.
func (g *generator) checkText() string {
	g.checking = true
	g.head()
	g.declarations(true)
	if g.sp.mode == wasmMode {
		g.b.text("const GonbWasmDir, GonbWasmUrl, GonbWasmDivId = \"\", \"\", \"\"\n")
	}
	for _, u := range g.usesInOrder() {
		name := u.name
		if g.made[name] {
			name = wasPrefix + name
			u.anew = name
		}
		if u.local {
			g.b.text("var ", name, " = ")
			g.maker(u)
			g.b.text("\n")
			continue
		}
		g.b.text("var ", name, " ", g.typeText(u.typ), "\n")
	}
	for _, name := range slices.Sorted(maps.Keys(g.keys)) {
		if v := g.keys[name]; g.vars[name] == nil && !v.local {
			g.b.text("var ", name, " ", g.typeText(v.typ), "\n")
		}
	}
	for _, st := range g.p.statements {
		if len(st.defines) == 0 {
			continue
		}
		g.b.text("var ")
		for i, d := range st.defines {
			if i > 0 {
				g.b.text(", ")
			}
			if d.again {
				g.b.text("_")
			} else {
				g.b.code(st.src, d.at, d.at+len(d.name))
			}
		}
		edits := g.edits(st.refs)
		if st.typ[0] > 0 {
			g.b.text(" ")
			g.b.piece(st.src, st.typ[0], st.typ[1], edits)
		}
		if st.rhs < st.to {
			g.b.text(" = ")
			g.b.piece(st.src, st.rhs, st.to, edits)
		}
		g.b.text("\n")
	}
	g.mainBody()
	g.b.text("func ", bodyName, "() {\n")
	for _, u := range g.usesInOrder() {
		if u.again && !u.local {
			g.again(u)
		}
	}
	for _, st := range g.p.statements {
		if len(st.defines) == 0 {
			g.b.piece(st.src, st.from, st.to, g.edits(st.refs))
			g.b.text("\n")
		}
	}
	g.b.text("}\n")
	return g.b.out.String()
}

// maker writes the value of a variable by the statement that made it, which has
// made no other.
func (g *generator) maker(u *use) {
	st := u.maker
	g.b.piece(st.src, st.rhs, st.to, g.edits(st.refs))
}
