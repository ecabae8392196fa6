package cell

import (
	"go/token"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Names that a program has beside those of its cells begin with a prefix that no
// cell has a reason to use.
const (
	prefix     = "railbook_"
	wasPrefix  = prefix + "was_"  // a variable before the cell makes it anew
	lostPrefix = prefix + "lost_" // a name that is not in sight
	initPrefix = prefix + "init"
	entry      = prefix + "run" // what the cell kernel's main calls
	bodyName   = prefix + "cell"
	mainName   = prefix + "main"
	stepsName  = prefix + "steps"
)

// generator writes the program of a cell.
type generator struct {
	*plan
	b       builder
	aliases map[string]string // by import path
	wanted  map[string]string // the names under which cells know packages
	forced  map[string]bool   // packages that need a name no cell can hide
	taken   map[string]bool
	// checking is set for the program by which types are found.
	checking  bool
	knownList known
}

// newGenerator gives every package that the program imports a name.
func newGenerator(pl *plan, forced, plain []string) *generator {
	g := &generator{plan: pl, aliases: map[string]string{}, wanted: map[string]string{}, forced: map[string]bool{}, taken: map[string]bool{}}
	for _, u := range pl.units {
		for _, name := range u.names {
			g.taken[name] = true
		}
		g.want(u.refs)
	}
	for name := range pl.made {
		g.taken[name] = true
	}
	for _, st := range pl.p.statements {
		g.want(st.refs)
	}
	if pl.p.main != nil {
		g.want(pl.p.main.refs)
	}
	for _, u := range pl.usesInOrder() {
		g.taken[u.name] = true
		if u.again {
			g.want(u.maker.refs)
		}
		for _, path := range typePaths(u.typ) {
			g.wanted[path] += ""
		}
	}
	for name := range pl.keys {
		g.taken[name] = true
	}
	for _, r := range pl.checks {
		for _, path := range typePaths(r.typ) {
			g.wanted[path] += ""
		}
	}
	for _, path := range forced {
		g.forced[path] = true
	}
	for _, path := range plain {
		g.wanted[path] += ""
	}
	g.assign()
	return g
}

func (g *generator) want(refs []ref) {
	for _, r := range refs {
		switch {
		case r.path == "":
		case r.dot:
			g.forced[r.path] = true
		case g.wanted[r.path] == "":
			g.wanted[r.path] = r.name
		}
	}
}

// assign gives packages their names: that by which cells call them, if it is
// free.
func (g *generator) assign() {
	for _, path := range slices.Sorted(maps.Keys(g.forced)) {
		g.aliases[path] = g.free(prefix + g.baseName(path))
	}
	for _, path := range slices.Sorted(maps.Keys(g.wanted)) {
		if g.aliases[path] != "" {
			continue
		}
		name := g.wanted[path]
		if name == "" {
			name = g.baseName(path)
		}
		if g.taken[name] {
			name = g.free(prefix + name)
		}
		g.taken[name] = true
		g.aliases[path] = name
	}
}

func (g *generator) free(name string) string {
	for try, n := name, 2; ; n++ {
		if !g.taken[try] {
			g.taken[try] = true
			return try
		}
		try = name + strconv.Itoa(n)
	}
}

// baseName is a name for a package, by its own or else its path.
func (g *generator) baseName(path string) string {
	if pkg, err := g.library.Import(path); err == nil {
		return pkg.Name()
	}
	name := strings.Map(func(r rune) rune {
		if r == '_' || '0' <= r && r <= '9' || 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' {
			return r
		}
		return '_'
	}, path[strings.LastIndexByte(path, '/')+1:])
	if !token.IsIdentifier(name) {
		return "p_" + name
	}
	return name
}

// alias returns the program's name for a package.
func (g *generator) alias(path string) string { return g.aliases[path] }

func (g *generator) typeText(text string) string { return renderType(text, g.alias) }

// edits returns what has to be changed of the names in a piece.
func (g *generator) edits(refs []ref) []edit {
	var list []edit
	for _, r := range refs {
		end := r.at + len(r.name)
		switch {
		case r.lost:
			list = append(list, edit{r.at, end, lostPrefix + r.name})
		case r.dot:
			list = append(list, edit{r.at, r.at, g.alias(r.path) + "."})
		case r.path != "":
			if a := g.alias(r.path); a != r.name {
				list = append(list, edit{r.at, end, a})
			}
		case r.old && !r.key:
			if u := g.older[r.name]; u != nil && u.anew != "" {
				list = append(list, edit{r.at, end, u.anew})
			}
		}
	}
	return list
}

// head writes the package clause and the imports.
func (g *generator) head() {
	g.b.text("// Made by Railbook of the cells of a notebook.\n\npackage main\n\nimport (\n")
	for _, path := range slices.Sorted(maps.Keys(g.aliases)) {
		g.b.text("\t", g.aliases[path], " ", strconv.Quote(path), "\n")
	}
	for _, path := range g.sideEffects() {
		g.b.text("\t_ ", strconv.Quote(path), "\n")
	}
	g.b.text(")\n\n")
}

// kernelLibrary is the cell kernel's own library for displays. A program with it
// has package show speak to the kernel through it.
const kernelLibrary = "github.com/janpfeifer/gonb/gonbui"

// sideEffects lists the packages that are imported for what they do.
func (g *generator) sideEffects() []string {
	list := append(slices.Clone(g.Session.effects), g.effects...)
	if g.aliases[g.path(showPath)] != "" {
		if g.library.closure(append(slices.Collect(maps.Keys(g.aliases)), list...))[kernelLibrary] {
			list = append(list, g.path(sharedPath))
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// declarations writes types, constants and functions. Those that go test alone
// calls are left out, unless tests is set.
func (g *generator) declarations(tests bool) {
	inits := 0
	for _, u := range g.units {
		if isTest(u) && !tests {
			continue
		}
		edits := g.edits(u.refs)
		switch {
		case u.kind == constItem:
			for i, name := range u.names {
				if name != "_" && g.unit(name) != u { // declared anew since
					edits = append(edits, edit{u.spots[i], u.spots[i] + len(name), "_"})
				}
			}
		case isInit(u):
			inits++
			edits = append(edits, edit{u.spots[0], u.spots[0] + len(u.names[0]), initPrefix + strconv.Itoa(inits)})
		}
		g.b.text(u.before)
		g.b.piece(u.src, u.from, u.to, edits)
		g.b.text("\n\n")
	}
}

// isInit reports whether a unit is an init function, which may have a longer name
// so that there can be several.
func isInit(u *unit) bool {
	return u.kind == funcItem && u.isFor == "" && len(u.names) == 1 && (u.names[0] == "init" || strings.HasPrefix(u.names[0], "init_"))
}

func (g *generator) initCount() (n int) {
	for _, u := range g.units {
		if isInit(u) {
			n++
		}
	}
	return n
}

// mainBody writes the cell's own main, under another name.
func (g *generator) mainBody() {
	u := g.p.main
	if u == nil {
		return
	}
	if g.sp.mode == mainMode {
		g.b.text("func ", mainName, "() {")
		g.b.piece(u.src, u.from, u.to, append(g.stepEdits(), g.edits(u.refs)...))
		g.b.text("\n}\n\n")
		return
	}
	edits := append(g.edits(u.refs), edit{u.spots[0], u.spots[0] + len("main"), mainName})
	g.b.piece(u.src, u.from, u.to, append(g.stepEdits(), edits...))
	g.b.text("\n\n")
}

// programText writes the program to be built.
func (g *generator) programText(pr *Prepared, shown shown) string {
	tests := g.sp.mode == testMode
	g.head()
	g.declarations(tests)
	g.variables()
	g.mainBody()
	g.body(shown)
	g.entry(pr)
	return g.b.out.String()
}
