package cell

import (
	"go/scanner"
	"go/token"
	"go/types"
	"maps"
	"path"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// Program returns a Go file of the session with a cell in its place, for tools
// that complete and explain code, and a function that gives the byte offset in it
// of a byte of the cell. The cell may be unfinished. Bytes of the cell that are no
// Go have the offset -1.
//
// It is the program as the reader of the notebook thinks of it: what the cell
// does stands in one function as it is written, and the names of package display
// are imported with a dot.
func (s *Session) Program(code string) (program string, offset func(int) int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	sp := readSpecial(code)
	if sp.whole {
		return emptyProgram, func(int) int { return -1 }
	}
	w := &programWriter{Session: s, src: &source{text: sp.text}, imports: map[string]string{}}
	w.write(sp)
	return w.b.out.String(), func(at int) int {
		if sp.text != code && at < len(code) && sp.text[at] != code[at] {
			return -1
		}
		if out, ok := w.b.back(w.src, at); ok {
			return out
		}
		return -1
	}
}

// programWriter writes the file for [Session.Program].
type programWriter struct {
	*Session
	b       builder
	src     *source
	imports map[string]string // by name
	names   map[string]bool   // that the cell declares
}

func (w *programWriter) write(sp special) {
	body := sp.text
	declarations := sp.text
	if sp.mode == mainMode {
		declarations = sp.text[:sp.body]
	}
	items, _ := split(declarations)
	w.findNames(items)
	w.findImports(sp.text)

	w.b.text("package main\n\nimport (\n")
	for _, p := range w.Session.dots {
		if w.dotFits(p) {
			w.b.text("\t. ", strconv.Quote(p), "\n")
		}
	}
	units := w.liveUnits()
	vars := w.liveVars()
	for _, name := range slices.Sorted(maps.Keys(w.imports)) {
		w.b.text("\t")
		if name != path.Base(w.imports[name]) {
			w.b.text(name, " ")
		}
		w.b.text(strconv.Quote(w.imports[name]), "\n")
	}
	w.b.text(")\n\n")
	for _, it := range items {
		if it.kind == importItem {
			w.b.code(w.src, it.from, it.to)
			w.b.text("\n\n")
		}
	}
	for _, u := range units {
		w.b.text(u.before, u.src.text[u.from:u.to], "\n\n")
	}
	for _, v := range vars {
		w.b.text("var ", v.name, " ", renderType(v.typ, w.nameOf), "\n")
	}
	blanked := []byte(body)
	for _, it := range items {
		switch it.kind {
		case funcItem, typeItem, constItem:
			w.b.text("\n")
			w.b.code(w.src, it.from, it.to)
			w.b.text("\n")
			blank(blanked, it.from, it.to)
		case importItem, packageItem:
			blank(blanked, it.from, it.to)
		}
	}
	w.b.text("\nfunc ", w.bodyName(items), "() {\n")
	// What is declared stands elsewhere and is blank here.
	if len(blanked) > 0 {
		w.b.segments = append(w.b.segments, segment{w.b.out.Len(), w.src, 0, len(blanked)})
		w.b.out.Write(blanked)
	}
	w.b.text("\n}\n")
}

// bodyName is that of the function around the cell's statements.
func (w *programWriter) bodyName(items []item) string {
	for _, it := range items {
		if it.kind == funcItem && strings.HasPrefix(strings.TrimSpace(strings.TrimPrefix(w.src.text[it.from:it.to], "func")), "main(") {
			return bodyName
		}
	}
	return "main"
}

// findNames notes what the cell declares, so that it is not declared twice.
func (w *programWriter) findNames(items []item) {
	w.names = map[string]bool{}
	for _, it := range items {
		text := w.src.text[it.from:it.to]
		switch it.kind {
		case funcItem:
			for _, word := range words(text) {
				if word.depth == 0 {
					w.names[word.text] = true
					break
				}
			}
		case typeItem, constItem:
			lines := strings.Split(text, "\n")
			group := strings.HasSuffix(strings.TrimSpace(lines[0]), "(")
			for i, line := range lines {
				if list := words(line); len(list) > 0 && (i == 0) != group {
					w.names[list[0].text] = true
				}
			}
		}
	}
}

// word is a name in a text.
type word struct {
	text  string
	depth int    // of brackets around it
	sel   string // what is selected from it
	after bool   // it is selected itself
}

// words lists the names in a text, finished or not.
func words(text string) []word {
	var s scanner.Scanner
	s.Init(token.NewFileSet().AddFile("", -1, len(text)), []byte(text), func(token.Position, string) {}, 0)
	var list []word
	depth, dot := 0, false
	for {
		_, tok, lit := s.Scan()
		switch tok {
		case token.EOF:
			return list
		case token.LPAREN, token.LBRACK, token.LBRACE:
			depth++
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth--
		case token.PERIOD:
			if n := len(list); n > 0 && !dot {
				list[n-1].sel += "."
			}
			dot = true
			continue
		case token.IDENT:
			list = append(list, word{text: lit, depth: depth, after: dot})
			if n := len(list); dot && n > 1 {
				list[n-2].sel = lit
			}
		}
		dot = false
	}
}

// findImports finds the packages whose names the cell mentions.
func (w *programWriter) findImports(text string) {
	maps.Copy(w.imports, w.Session.imports)
	for _, word := range words(text) {
		name := word.text
		if word.sel == "" || word.after || w.names[name] || w.units[name] != nil || w.vars[name] != nil || w.imports[name] != "" {
			continue
		}
		var selected []string
		if word.sel != "." {
			selected = []string{word.sel}
		}
		if p := w.directory.find(name, selected); p != "" {
			w.imports[name] = p
		}
	}
}

// dotFits reports whether a package's names do not collide with the session's.
func (w *programWriter) dotFits(path string) bool {
	pkg, err := w.library.Import(path)
	if err != nil {
		return false
	}
	for _, name := range pkg.Scope().Names() {
		if pkg.Scope().Lookup(name).Exported() && (w.names[name] || w.units[name] != nil || w.vars[name] != nil) {
			return false
		}
	}
	return true
}

// liveUnits lists the units of earlier cells that the cell does not declare anew,
// and imports what they need.
func (w *programWriter) liveUnits() []*unit {
	seen := map[*unit]bool{}
	var list []*unit
	add := func(u *unit) {
		if seen[u] {
			return
		}
		seen[u] = true
		for _, r := range u.refs {
			if r.path != "" && !r.dot && w.imports[r.name] == "" {
				w.imports[r.name] = r.path
			}
		}
		list = append(list, u)
	}
	for name, u := range w.units {
		if !w.names[name] && !slices.ContainsFunc(u.names, func(n string) bool { return w.names[n] || w.units[n] != u }) {
			add(u)
		}
	}
	for typ, methods := range w.methods {
		if w.units[typ] == nil && !w.names[typ] {
			continue
		}
		for name, u := range methods {
			if !w.names[name] {
				add(u)
			}
		}
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].src.id != list[j].src.id {
			return list[i].src.id < list[j].src.id
		}
		return list[i].from < list[j].from
	})
	return list
}

func (w *programWriter) liveVars() []*variable {
	var list []*variable
	for name, v := range w.vars {
		if w.names[name] || v.local {
			continue
		}
		for _, p := range typePaths(v.typ) {
			w.nameOf(p)
		}
		list = append(list, v)
	}
	sort.Slice(list, func(i, j int) bool { return list[i].name < list[j].name })
	return list
}

// nameOf returns the name of a package in the file, and imports it if it is not
// yet.
func (w *programWriter) nameOf(p string) string {
	for name, have := range w.imports {
		if have == p {
			return name
		}
	}
	name := path.Base(p)
	if pkg, err := w.library.Import(p); err == nil {
		name = pkg.Name()
	}
	for w.imports[name] != "" || types.Universe.Lookup(name) != nil {
		name += "_"
	}
	w.imports[name] = p
	return name
}

// Status tells whether a cell is ready to be run.
type Status string

// The states of a cell.
const (
	Complete   Status = "complete"
	Incomplete Status = "incomplete" // it may become right by going on
	Invalid    Status = "invalid"    // it will never be right
)

// Completeness tells whether a text may be run as a cell, and how the next line is
// to be indented if it goes on.
func Completeness(code string) (status Status, indent string) {
	sp := readSpecial(code)
	if sp.whole || strings.TrimSpace(sp.text) == "" {
		return Complete, ""
	}
	_, bad := parse(&source{code: code, text: sp.text}, sp)
	if bad == nil {
		return Complete, ""
	}
	open := bad.incomplete || strings.HasPrefix(bad.message, "raw string literal not terminated") || strings.HasPrefix(bad.message, "comment not terminated")
	if !open && bad.at < len(strings.TrimRight(sp.text, " \t\r\n")) {
		return Invalid, ""
	}
	lines := strings.Split(strings.TrimRight(code, "\n"), "\n")
	last := lines[len(lines)-1]
	indent = last[:len(last)-len(strings.TrimLeft(last, " \t"))]
	if strings.ContainsAny(lastByte(last), "({[") {
		indent += "\t"
	}
	return Incomplete, indent
}

func lastByte(line string) string {
	line = strings.TrimRight(line, " \t\r")
	if line == "" {
		return " "
	}
	return line[len(line)-1:]
}
