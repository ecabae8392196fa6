package cell

import (
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"example.com/railbook/kernel/cell/keep"
)

// Commit tells that the cell has been run. If ok is false the session stays as
// it was before; otherwise what the cell has declared and changed is there for
// later cells. The number is that by which people know the cell, 0 for none. The
// remark, if there is one, is for the user.
func (p *Prepared) Commit(ok bool, number int) (remark string) {
	if p.plan == nil {
		return ""
	}
	s := p.s
	s.mu.Lock()
	defer s.mu.Unlock()
	mark := strconv.Itoa(p.plan.src.id)
	defer s.cleanUp(mark)
	if !ok || p.test || p.fail != nil {
		return ""
	}
	if p.plan.sp.reset {
		s.forget()
	}
	p.plan.src.number = number
	report := &keep.Report{}
	if p.b != nil && p.plan.sp.mode != testMode && p.plan.sp.mode != wasmMode && (len(p.plan.kept()) > 0 || len(p.plan.older) > 0) {
		var err error
		if report, err = keep.ReadReport(s.o.Folder, mark); err != nil {
			return "the cell ended early, so that nothing of it is kept"
		}
	}
	p.plan.commit(report)
	return ""
}

// commit takes over what the cell has left.
func (pl *plan) commit(report *keep.Report) {
	s := pl.Session
	for name := range pl.gone {
		delete(s.vars, name)
	}
	for _, name := range pl.sp.removed {
		s.remove(name)
		for v, of := range s.vars { // nothing is of a type that is gone
			if slices.Contains(typeNames(of.typ), name) {
				delete(s.vars, v)
			}
		}
	}
	for name, path := range pl.imports {
		s.imports[name] = path
	}
	s.effects = append(s.effects, pl.effects...)
	s.dots = append(s.dots, pl.dots...)
	for _, u := range pl.p.units {
		switch {
		case isTest(u) && pl.sp.mode == testMode:
			s.tests[u.names[0]] = u
		case isInit(u):
			s.inits = slices.DeleteFunc(s.inits, func(o *unit) bool { return o.names[0] == u.names[0] })
			s.inits = append(s.inits, u)
		case u.isFor != "":
			if s.methods[u.isFor] == nil {
				s.methods[u.isFor] = map[string]*unit{}
			}
			s.methods[u.isFor][u.names[0]] = u
		default:
			for _, name := range u.names {
				if name != "_" {
					s.remove(name)
					s.units[name] = u
				}
			}
		}
	}
	if pl.sp.mode == testMode || pl.sp.mode == wasmMode {
		return // what they make stays with them
	}
	pl.commitVars(report)
}

// remove forgets what a name means.
func (s *Session) remove(name string) {
	if typ, method, ok := cutMethod(name); ok {
		delete(s.methods[typ], method)
		return
	}
	delete(s.units, name)
	delete(s.vars, name)
	delete(s.imports, name)
}

// commitVars takes over the variables of the cell.
func (pl *plan) commitVars(report *keep.Report) {
	s := pl.Session
	reported := map[string]keep.VarReport{}
	for _, v := range report.Vars {
		reported[v.Name] = v
	}
	for _, f := range report.Files {
		s.larges[f.Name] = f.Larges
	}
	order := pl.src.id * 10_000
	for name, c := range pl.checks {
		old := s.vars[name]
		s.remove(name)
		v := &variable{name: name, typ: c.typ, local: c.local, order: order}
		if old != nil && pl.vars[name] != nil {
			v.maker = old.maker
		}
		s.vars[name] = v
	}
	moved := map[string]bool{}
	for _, u := range pl.units {
		for _, name := range u.moves {
			moved[name] = true
		}
	}
	if pl.p.main != nil {
		for _, name := range pl.p.main.moves {
			moved[name] = true
		}
	}
	for _, u := range pl.vars {
		if u.again && pl.runs() {
			s.vars[u.name].moved = false // it was made a moment ago
		}
	}
	for i, st := range pl.p.statements {
		for _, name := range st.moves {
			if v := s.vars[name]; v != nil {
				v.moved, v.when = true, order+i
			}
		}
		for _, d := range st.defines {
			if v := s.vars[d.name]; v != nil && pl.checks[d.name] != nil {
				v.made(st, order+i)
			}
		}
		if v := s.vars[st.assigns]; v != nil {
			v.made(st, order+i)
		}
	}
	for name, r := range reported {
		v := s.vars[name]
		if v == nil {
			continue
		}
		v.file, v.lost = r.File, r.Lost
		if r.Moved {
			v.vars, v.types = union(v.vars, r.Vars), union(v.types, r.Types)
		} else {
			v.vars, v.types = r.Vars, r.Types
		}
		if t := s.within(v.types); t != "" {
			v.lost, v.file = "a value of a type "+t+", which is declared within a function, in an interface", ""
		}
	}
	for name := range moved { // by functions, whenever they are called
		if v := s.vars[name]; v != nil && pl.runs() {
			v.moved, v.when = true, order+len(pl.p.statements)
		}
	}
	for name, v := range s.vars {
		if v.maker != nil && v.maker.mentions("flag") {
			v.lost, v.moved = "a flag of the program", false
		}
		if v.local && v.lost == "" {
			v.lost = "a type that only its own package can name"
		}
		if _, ok := reported[name]; !ok && pl.checks[name] != nil && !v.local {
			v.file = ""
		}
	}
}

// within returns the first of some types that is none of the session's, though it
// looks like one: a program can only have it where it is declared.
func (s *Session) within(texts []string) string {
	for _, text := range texts {
		for _, name := range typeNames(text) {
			if u := s.units[name]; (u == nil || u.kind != typeItem) && types.Universe.Lookup(name) == nil && !token.IsKeyword(name) && !fieldNames(text) {
				return name
			}
		}
	}
	return ""
}

// fieldNames reports whether the text of a type has names of fields in it.
func fieldNames(text string) bool { return strings.Contains(text, "struct {") }

// made notes the statement that has made the variable.
func (v *variable) made(st *statement, order int) {
	v.maker, v.order, v.when, v.moved = st, order, order, false
	for _, r := range st.refs {
		if r.name == v.name && r.at >= st.rhs && r.path == "" && !r.key && !r.later {
			v.maker = nil // it was made of what it was before
		}
	}
}

// mentions reports whether a statement uses a package.
func (s *statement) mentions(path string) bool {
	return slices.ContainsFunc(s.refs, func(r ref) bool { return r.path == path })
}

func union(a, b []string) []string {
	all := append(slices.Clone(a), b...)
	slices.Sort(all)
	return slices.Compact(all)
}

// cleanUp removes the files that no variable needs any more, and those of a cell
// that has been done with.
func (s *Session) cleanUp(mark string) {
	used := map[string]bool{}
	for _, v := range s.vars {
		if v.file != "" {
			used[v.file] = true
			for _, l := range s.larges[v.file] {
				used[l] = true
			}
		}
	}
	for name := range s.larges {
		if !used[name] {
			delete(s.larges, name)
		}
	}
	entries, err := os.ReadDir(s.o.Folder)
	if err != nil {
		return
	}
	for _, e := range entries {
		if name := e.Name(); valueFile(name) && !used[name] {
			os.Remove(filepath.Join(s.o.Folder, name))
		}
	}
}
