package cell

import (
	"fmt"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// specials returns the special lines for the cell kernel. It knows no definition
// of the session, so that lists of them are written for it.
func (s *Session) specials(sp special) []string {
	lines := slices.Clone(sp.lines)
	for _, i := range sp.lists {
		lines[i] = "!cat " + s.listing()
	}
	for _, name := range sp.removed {
		word := "removed " + name
		if !s.knows(name) {
			word = name + " is not defined, so it is not removed"
		}
		lines = append(lines, "!printf '%s\\n' "+quoteShell(". "+word))
	}
	return lines
}

func quoteShell(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// knows reports whether cells have defined a name, which for a method may be
// "Type.Method" or "Type~Method".
func (s *Session) knows(name string) bool {
	if typ, method, ok := cutMethod(name); ok {
		return s.methods[typ][method] != nil
	}
	return s.units[name] != nil || s.vars[name] != nil || s.imports[name] != ""
}

func cutMethod(name string) (typ, method string, ok bool) {
	return strings.Cut(strings.ReplaceAll(name, "~", "."), ".")
}

// listing writes the list of definitions into a file and returns its name, quoted
// for the shell.
func (s *Session) listing() string {
	var b strings.Builder
	list := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		sort.Strings(lines)
		fmt.Fprintf(&b, "%s\n", title)
		for _, l := range lines {
			fmt.Fprintf(&b, "  %s\n", l)
		}
	}
	var vars, imports []string
	kinds := map[itemKind][]string{}
	for _, v := range s.vars {
		line := v.name + " " + renderType(v.typ, func(path string) string { return path[strings.LastIndexByte(path, '/')+1:] })
		if v.lost != "" {
			line += " (made anew in each cell, as it holds " + v.lost + ")"
		}
		vars = append(vars, line)
	}
	for name, u := range s.units {
		kinds[u.kind] = append(kinds[u.kind], name)
	}
	for typ, methods := range s.methods {
		for name := range methods {
			kinds[funcItem] = append(kinds[funcItem], typ+"."+name)
		}
	}
	for name, path := range s.imports {
		imports = append(imports, name+" "+strconv.Quote(path))
	}
	list("variables", vars)
	list("functions", kinds[funcItem])
	list("types", kinds[typeItem])
	list("constants", kinds[constItem])
	list("imports", imports)
	if b.Len() == 0 {
		b.WriteString("nothing is defined\n")
	}
	const name = "railbook_list.txt"
	if err := s.write(name, b.String()); err != nil {
		return quoteShell("/dev/null")
	}
	return quoteShell(filepath.Join(s.o.Folder, name))
}
