package cell

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"

	"example.com/railbook/kernel/cell/keep"
)

func (g *generator) keepName() string { return g.alias(g.path(keepPath)) }

// entry writes the function that the cell kernel's main calls.
func (g *generator) entry(pr *Prepared) {
	name := entry
	if g.sp.mode == testMode {
		name = "init"
	}
	g.b.text("func ", name, "() {\n")
	switch {
	case g.sp.mode == wasmMode || !g.keeping():
		for _, line := range pr.say {
			g.b.text("\tprintln(", strconv.Quote(line), ")\n")
		}
		g.b.text("\t", bodyName, "()\n}\n")
		return
	}
	keepName := g.keepName()
	g.b.text("\t", keepName, ".Run(", keepName, ".Cell{\n")
	g.b.text("\t\tFolder: ", strconv.Quote(g.o.Folder), ", Mark: ", strconv.Quote(g.mark()), ",\n")
	g.b.text("\t\tVars: []", keepName, ".Var{\n")
	live := map[string]bool{}
	for _, name := range g.kept() {
		file, at := "", name
		if u := g.vars[name]; u != nil && u.load {
			file = u.file
		}
		if file != "" {
			live[file] = true
		}
		g.b.text("\t\t\t{Name: ", strconv.Quote(name), ", At: &", at, ", File: ", strconv.Quote(file), "},\n")
	}
	for _, name := range slices.Sorted(maps.Keys(g.older)) {
		// It keeps no place in the session, but is loaded by its old name.
		if u := g.older[name]; u.load {
			live[u.file] = true
			g.b.text("\t\t\t{Name: ", strconv.Quote(name), ", At: &", u.anew, ", File: ", strconv.Quote(u.file), ", Was: true},\n")
		}
	}
	g.b.text("\t\t},\n\t\tLive: map[string][]string{\n")
	for _, file := range slices.Sorted(maps.Keys(live)) {
		g.b.text("\t\t\t", strconv.Quote(file), ": {")
		for _, name := range g.living(file) {
			g.b.text(strconv.Quote(name), ", ")
		}
		g.b.text("},\n")
	}
	g.b.text("\t\t},\n")
	g.types()
	g.known()
	if len(pr.say) > 0 {
		g.b.text("\t\tSay: []string{\n")
		for _, line := range pr.say {
			g.b.text("\t\t\t", strconv.Quote(line), ",\n")
		}
		g.b.text("\t\t},\n")
	}
	g.b.text("\t}, ", bodyName, ")\n}\n")
}

// keeping reports whether the program has variables to load or save.
func (g *generator) keeping() bool { return len(g.kept()) > 0 || len(g.older) > 0 }

// kept lists the variables that are saved at the end, sorted.
func (pl *plan) kept() []string {
	var list []string
	for name, u := range pl.vars {
		if !u.local {
			list = append(list, name)
		}
	}
	for name, c := range pl.checks {
		if pl.vars[name] == nil && !c.local {
			list = append(list, name)
		}
	}
	sort.Strings(list)
	return list
}

// living lists the variables whose present values are in a file.
func (pl *plan) living(file string) []string {
	var list []string
	for name, v := range pl.Session.vars {
		// What the cell makes anew without a look at its value lives no more.
		if v.file == file && pl.gone[name] == "" && pl.own[name] == nil && (!pl.made[name] || pl.vars[name] != nil || pl.older[name] != nil) {
			list = append(list, name)
		}
	}
	sort.Strings(list)
	return list
}

// types writes the types that interfaces among the values hold.
func (g *generator) types() {
	texts := map[string]bool{}
	for _, u := range g.usesInOrder() {
		if u.load {
			for _, t := range u.types {
				texts[t] = true
			}
		}
	}
	var types, samples []string
	for _, text := range slices.Sorted(maps.Keys(texts)) {
		if sample := keep.Samples[text]; sample != "" {
			samples = append(samples, renderType(sample, g.alias))
		} else {
			types = append(types, fmt.Sprintf("(*%s)(nil)", g.typeText(text)))
		}
	}
	if len(types) > 0 {
		g.b.text("\t\tTypes: []any{", strings.Join(types, ", "), "},\n")
	}
	if len(samples) > 0 {
		g.b.text("\t\tSamples: []any{", strings.Join(samples, ", "), "},\n")
	}
}
