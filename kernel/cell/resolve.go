package cell

import (
	"fmt"
	"go/types"
	"slices"
)

// resolve finds where the names in the cell lead that are not the session's.
func (pl *plan) resolve() *problem {
	selected := map[string][]string{}
	each := func(f func(r *ref, stmt bool) *problem) *problem {
		for _, st := range pl.p.statements {
			for i := range st.refs {
				if bad := f(&st.refs[i], true); bad != nil {
					return bad
				}
			}
		}
		all := pl.p.units
		if pl.p.main != nil {
			all = append(all[:len(all):len(all)], pl.p.main)
		}
		for _, u := range all {
			for i := range u.refs {
				if bad := f(&u.refs[i], false); bad != nil {
					return bad
				}
			}
		}
		return nil
	}
	each(func(r *ref, _ bool) *problem {
		if r.sel != "" {
			selected[r.name] = append(selected[r.name], r.sel)
		}
		return nil
	})
	return each(func(r *ref, stmt bool) *problem {
		if pl.made[r.name] && !(stmt && r.old) {
			r.old = false
			return nil
		}
		if pl.own[r.name] != nil {
			r.old = false
			return nil
		}
		if r.old && !r.key {
			if old := pl.Session.units[r.name]; old != nil && old.isFor == "" {
				return &problem{at: r.at, message: fmt.Sprintf("%s is a %s of %s; give the variable another name", r.name, old.kind, old.src)}
			}
			if pl.variable(r.name) == nil {
				if !pl.outside(r, selected[r.name]) {
					r.lost = true
				}
				r.old = false
			}
			return nil
		}
		if pl.unit(r.name) != nil || pl.variable(r.name) != nil {
			return nil
		}
		if pl.gone[r.name] != "" && !r.key {
			return &problem{at: r.at, message: fmt.Sprintf("%s is gone, as it was of a type %s that this cell declares anew; make it again", r.name, pl.gone[r.name])}
		}
		if !r.key {
			pl.outside(r, selected[r.name])
		}
		return nil
	})
}

// outside finds the package that a name means, or whose name it is.
func (pl *plan) outside(r *ref, selected []string) bool {
	if r.sel != "" {
		if path := pl.imports[r.name]; path != "" {
			r.path = path
			return true
		}
		if path := pl.Session.imports[r.name]; path != "" {
			r.path = path
			return true
		}
	}
	for _, list := range [][]string{pl.dots, pl.Session.dots} {
		for _, path := range slices.Backward(list) {
			pkg, err := pl.library.Import(path)
			if err != nil {
				continue
			}
			if o := pkg.Scope().Lookup(r.name); o != nil && o.Exported() {
				r.path, r.dot = path, true
				return true
			}
		}
	}
	if r.sel != "" && types.Universe.Lookup(r.name) == nil {
		if path := pl.directory.find(r.name, selected); path != "" {
			r.path = path
			return true
		}
	}
	return false
}
