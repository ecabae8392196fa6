package cell

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"
)

// gather collects the units and variables that the cell needs, and those that
// they need in turn.
func (pl *plan) gather() *problem {
	for _, u := range pl.p.units {
		pl.addUnit(u)
	}
	for _, u := range pl.inits {
		pl.addUnit(u)
	}
	if pl.sp.mode == testMode && !pl.hasTests() {
		for _, name := range slices.Sorted(maps.Keys(pl.tests)) {
			pl.addUnit(pl.tests[name])
		}
	}
	if pl.p.main != nil {
		pl.addRefs(pl.p.main.refs, false)
	}
	for _, st := range pl.p.statements {
		pl.addRefs(st.refs, false)
	}
	if name := pl.sp.call; name != "" {
		if u := pl.unit(name); u == nil || u.kind != funcItem {
			return &problem{message: fmt.Sprintf("%%exec %s: there is no function of that name", name)}
		} else {
			pl.addUnit(u)
		}
	}
	return nil
}

func (pl *plan) hasTests() bool {
	return slices.ContainsFunc(pl.p.units, isTest)
}

// isTest reports whether a unit is for go test alone.
func isTest(u *unit) bool {
	if u.kind != funcItem || u.isFor != "" || len(u.names) == 0 {
		return false
	}
	for _, prefix := range []string{"Test", "Benchmark", "Example", "Fuzz"} {
		if strings.HasPrefix(u.names[0], prefix) {
			return true
		}
	}
	return false
}

func (pl *plan) addUnit(u *unit) {
	if pl.placed[u] {
		return
	}
	pl.placed[u] = true
	pl.units = append(pl.units, u)
	pl.addRefs(u.refs, true)
	if u.isFor != "" {
		if t := pl.unit(u.isFor); t != nil {
			pl.addUnit(t)
		}
	}
	if u.kind == typeItem {
		name := u.names[0]
		for _, m := range slices.Sorted(maps.Keys(pl.Session.methods[name])) {
			if pl.methods[name][m] == nil {
				pl.addUnit(pl.Session.methods[name][m])
			}
		}
		for _, m := range slices.Sorted(maps.Keys(pl.methods[name])) {
			pl.addUnit(pl.methods[name][m])
		}
	}
}

// addRefs adds what names mean, in a function or else in a statement.
func (pl *plan) addRefs(refs []ref, function bool) {
	for _, r := range refs {
		switch {
		case r.path != "" || r.lost:
		case r.key:
			if v := pl.variable(r.name); v != nil && !pl.made[r.name] && pl.vars[r.name] == nil {
				pl.keys[r.name] = v
				pl.addType(v.typ)
			}
		default:
			pl.addName(r.name, r.old, function)
		}
	}
}

// addName adds what a name of the session means; old is set where that is a
// variable before the cell makes it anew.
func (pl *plan) addName(name string, old, function bool) {
	if u := pl.unit(name); u != nil {
		pl.addUnit(u)
		return
	}
	v := pl.variable(name)
	if v == nil || pl.made[name] && !old && !function {
		return
	}
	into := pl.vars
	if pl.made[name] {
		into = pl.older
	}
	soft := pl.made[name] && !old
	if u := into[name]; u != nil {
		u.soft = u.soft && soft
		return
	}
	into[name] = &use{variable: v, soft: soft}
	pl.addType(v.typ)
	for _, t := range v.types {
		pl.addType(t)
	}
	if v.lost != "" || v.local || pl.sp.mode == wasmMode {
		if v.maker != nil {
			into[name].again = true
			pl.addRefs(v.maker.refs, false)
		}
	} else if v.file != "" {
		into[name].load = true
		for _, n := range v.vars {
			pl.addName(n, true, false)
		}
	}
}

// addType adds the types of the session that a type's text names.
func (pl *plan) addType(text string) {
	for _, name := range typeNames(text) {
		if u := pl.unit(name); u != nil && u.kind != funcItem {
			pl.addUnit(u)
		}
	}
}

// settle decides for variables that the cell makes anew, once their types are
// known: of the same type they stay the same variable, or else what the cell has
// of the old one gets another name.
func (pl *plan) settle() {
	for _, name := range slices.Sorted(maps.Keys(pl.older)) {
		u := pl.older[name]
		if u.soft && u.again {
			delete(pl.older, name) // what is to be made is not made twice
			continue
		}
		if now := pl.checks[name]; now != nil && now.typ == u.typ && now.local == u.local {
			u.anew = ""
			pl.vars[name] = u
			delete(pl.older, name)
			continue
		}
		if u.soft {
			delete(pl.older, name) // functions fit the new one or do not
			continue
		}
		u.anew = wasPrefix + name
	}
}

// usesInOrder lists the variables of earlier cells that the program has, by the
// order in which they were made, but those of which another is made before it.
func (pl *plan) usesInOrder() []*use {
	var list []*use
	for _, uses := range []map[string]*use{pl.vars, pl.older} {
		for _, u := range uses {
			list = append(list, u)
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].order < list[j].order })
	var sorted []*use
	seen := map[*use]bool{}
	var visit func(*use)
	visit = func(u *use) {
		if seen[u] {
			return
		}
		seen[u] = true
		if u.again {
			for _, r := range u.maker.refs {
				if d := pl.useNamed(r.name); d != nil && r.path == "" {
					visit(d)
				}
			}
		}
		sorted = append(sorted, u)
	}
	for _, u := range list {
		visit(u)
	}
	return sorted
}

func (pl *plan) useNamed(name string) *use {
	if u := pl.vars[name]; u != nil {
		return u
	}
	return pl.older[name]
}
