package cell

import (
	"fmt"
	"strings"
)

// plan is what one cell needs of the session and what it brings.
type plan struct {
	*Session
	src *source
	sp  special
	p   *parsed

	imports map[string]string // the cell's own, by name
	effects []string
	dots    []string

	own     map[string]*unit            // units that the cell declares, by name
	methods map[string]map[string]*unit // and methods
	made    map[string]bool             // variables that it makes
	gone    map[string]string           // variables that it drops, with the type that it declares anew

	units  []*unit              // needed, in order of finding
	placed map[*unit]bool       // those of units
	vars   map[string]*use      // variables needed
	older  map[string]*use      // of those that it makes anew, as they were
	keys   map[string]*variable // variables that may be meant by keys of composite literals
	checks map[string]*result   // what was found of the variables that it makes

	holds    map[string]bool // packages of whose types its variables may hold something
	anything bool            // they may hold anything
}

// use is a variable in the program of a cell.
type use struct {
	*variable
	load  bool // its value is loaded
	again bool // or else it is made by its statement again
	// anew is its name in the program, where the cell makes another of its name.
	anew string
	// soft tells that only functions mention it, which see the new one where the
	// cell makes it anew.
	soft bool
}

// result is what the check finds of a variable that a cell makes.
type result struct {
	typ   string
	local bool
}

// newPlan finds what every name in the cell means.
func (s *Session) newPlan(src *source, sp special, p *parsed) (*plan, *problem) {
	pl := &plan{
		Session: s, src: src, sp: sp, p: p,
		imports: map[string]string{}, own: map[string]*unit{}, methods: map[string]map[string]*unit{},
		made: map[string]bool{}, gone: map[string]string{}, placed: map[*unit]bool{},
		vars: map[string]*use{}, older: map[string]*use{}, keys: map[string]*variable{}, checks: map[string]*result{},
	}
	if bad := pl.takeImports(); bad != nil {
		return nil, bad
	}
	for _, u := range p.units {
		switch {
		case u.isFor != "":
			if pl.methods[u.isFor] == nil {
				pl.methods[u.isFor] = map[string]*unit{}
			}
			pl.methods[u.isFor][u.names[0]] = u
		default:
			for _, name := range u.names {
				pl.own[name] = u
			}
		}
	}
	for _, name := range names(p.statements) {
		if u := pl.own[name]; u != nil {
			return nil, &problem{at: u.from, message: name + " is declared twice in this cell"}
		}
		pl.made[name] = true
	}
	if bad := pl.reserved(); bad != nil {
		return nil, bad
	}
	pl.drop()
	if bad := pl.resolve(); bad != nil {
		return nil, bad
	}
	if bad := pl.gather(); bad != nil {
		return nil, bad
	}
	return pl, nil
}

// reserved looks for a name that the program has for itself.
func (pl *plan) reserved() *problem {
	taken := func(name string, at int) *problem {
		if !strings.HasPrefix(name, prefix) {
			return nil
		}
		return &problem{at: at, message: "names that begin with " + prefix + " are the notebook's own; choose another"}
	}
	for _, u := range pl.p.units {
		for i, name := range u.names {
			if bad := taken(name, u.spots[i]); bad != nil {
				return bad
			}
		}
	}
	for _, st := range pl.p.statements {
		for _, d := range st.defines {
			if bad := taken(d.name, d.at); bad != nil {
				return bad
			}
		}
	}
	return nil
}

// takeImports takes up the cell's import lines.
func (pl *plan) takeImports() *problem {
	for _, i := range pl.p.imports {
		if i.path == "C" {
			return &problem{at: i.at, message: "cells cannot use cgo"}
		}
		if err := pl.library.need(i.path); err != nil {
			return &problem{at: i.at, message: err.Error()}
		}
		switch i.name {
		case "_":
			pl.effects = append(pl.effects, i.path)
		case ".":
			pl.dots = append(pl.dots, i.path)
		case "":
			pkg, err := pl.library.Import(i.path)
			if err != nil {
				return &problem{at: i.at, message: err.Error()}
			}
			pl.imports[pkg.Name()] = i.path
		default:
			pl.imports[i.name] = i.path
		}
	}
	return nil
}

// drop finds the variables whose types the cell declares anew, and in another
// way: nothing of the kind exists any more.
func (pl *plan) drop() {
	changed := map[string]bool{}
	for name, old := range pl.Session.units {
		if u := pl.own[name]; old.kind != funcItem && (u != nil && old.shape != u.shape || pl.made[name]) {
			changed[name] = true
		}
	}
	if len(changed) == 0 {
		return
	}
	// What is declared by what has changed has changed too.
	for again := true; again; {
		again = false
		for name, u := range pl.Session.units {
			if changed[name] || u.kind == funcItem || pl.own[name] != nil || pl.made[name] {
				continue
			}
			for _, r := range u.refs {
				if r.path == "" && changed[r.name] {
					changed[name], again = true, true
				}
			}
		}
	}
	for name, v := range pl.Session.vars {
		for _, text := range append(v.types[:len(v.types):len(v.types)], v.typ) {
			for _, t := range typeNames(text) {
				if changed[t] {
					pl.gone[name] = t
				}
			}
		}
	}
}

// unit returns the unit of the session that a name means, with the cell's own
// before those of earlier cells.
func (pl *plan) unit(name string) *unit {
	if u := pl.own[name]; u != nil {
		return u
	}
	if pl.made[name] {
		return nil
	}
	return pl.Session.units[name]
}

// variable returns the session's variable of a name as earlier cells left it.
func (pl *plan) variable(name string) *variable {
	if pl.gone[name] != "" || pl.own[name] != nil {
		return nil
	}
	return pl.Session.vars[name]
}

func (k itemKind) String() string {
	switch k {
	case funcItem:
		return "function"
	case typeItem:
		return "type"
	case constItem:
		return "constant"
	}
	return "name"
}

func (s *source) String() string {
	if s.number > 0 {
		return fmt.Sprintf("cell %d", s.number)
	}
	return "an earlier cell"
}
