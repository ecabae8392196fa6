package cell

import (
	"fmt"
	"sort"
)

// remarks are what the program says before it begins.
func (pl *plan) remarks() []string {
	var list []string
	var names []string
	for name := range pl.gone {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		list = append(list, fmt.Sprintf("%s is gone: it was of a type %s that this cell declares anew", name, pl.gone[name]))
	}
	for _, u := range pl.usesInOrder() {
		switch {
		case u.lost == "" || u.load:
		case u.maker == nil:
			list = append(list, fmt.Sprintf("%s has no value here: it held %s, which is not carried from cell to cell, and no single line made it", u.name, u.lost))
		case u.moved:
			list = append(list, pl.anew(u)+"; what has been changed since is lost")
		default:
			if other := pl.changedSince(u); other != "" {
				list = append(list, pl.anew(u)+", out of "+other+" as it is now")
			}
		}
	}
	return list
}

func (pl *plan) anew(u *use) string {
	return fmt.Sprintf("%s is made anew by %s, line %s, as it holds %s", u.name, u.maker.src, lineOf(u.maker.src.code, u.maker.from), u.lost)
}

// changedSince names a variable that may have changed since another was made of
// it. Function literals see it as it is in any case.
func (pl *plan) changedSince(u *use) string {
	for _, r := range u.maker.refs {
		if v := pl.Session.vars[r.name]; v != nil && r.path == "" && !r.key && !r.later && v.when > u.order {
			return r.name
		}
	}
	return ""
}
