package keep

import (
	"slices"
	"sort"
	"strconv"
)

// A graph is what the program's variables reach, together with what else stands
// in the files that were read and has not been loaded: other variables share
// parts with them.
type graph struct {
	*session
	nodes []*node
	roots map[string]*node // the storage of variables, of the program and others
	own   []string         // variables of the program, sorted
}

// A node is a block that has been surveyed, or a record that was not loaded.
type node struct {
	block *block  // nil for a record that was not loaded
	home  *record // where it came from; nil for a new block
	name  string  // of the live variable whose storage it is
	edges []edge
	bad   string

	kept bool
	part *node // another node of the same part, or itself: a union of sets
	out  *record
}

type edge struct {
	to    *node // nil for a place
	place place
	whole bool
}

// collect makes the nodes of a survey that has been run.
func (g *graph) collect(sv *survey, names []string) {
	g.own = names
	byBlock, byRecord := map[*block]*node{}, map[*record]*node{}
	add := func(b *block) {
		n := &node{block: b, home: b.home, bad: b.bad}
		if b.home != nil {
			byRecord[b.home] = n
		}
		byBlock[b] = n
		g.nodes = append(g.nodes, n)
	}
	sv.space.each(add)
	for _, b := range sv.maps {
		add(b)
	}
	for _, f := range g.files {
		for _, rec := range f.records {
			if byRecord[rec] == nil {
				n := &node{home: rec}
				byRecord[rec] = n
				g.nodes = append(g.nodes, n)
			}
		}
	}
	g.sort()
	for _, n := range g.nodes {
		switch {
		case n.block == nil:
			for _, r := range n.home.refs {
				e := edge{place: r.place, whole: true}
				if r.record != nil {
					e.to = byRecord[r.record]
				}
				n.edges = append(n.edges, e)
			}
			if g.isLive(n.home) {
				g.root(n, n.home.name)
			}
		default:
			if n.bad == "" {
				sv.encode(n.block)
			}
			for _, r := range n.block.refs {
				n.edges = append(n.edges, edge{to: byBlock[r.block], place: r.place, whole: r.whole})
			}
			if n.block.name != "" {
				g.root(n, n.block.name)
			}
		}
	}
}

func (g *graph) root(n *node, name string) {
	n.name = name
	g.roots[name] = n
}

// sort puts what was loaded first, in the order of its files, so that a file
// whose content has not changed comes out the same.
func (g *graph) sort() {
	place := map[*record]int{}
	for _, f := range g.files {
		for _, rec := range f.records {
			place[rec] = len(place) + 1
		}
	}
	key := func(n *node) int {
		if n.home == nil {
			return len(place) + 1
		}
		return place[n.home]
	}
	sort.SliceStable(g.nodes, func(i, j int) bool { return key(g.nodes[i]) < key(g.nodes[j]) })
}

// judge decides which variables are carried, and marks what they reach.
func (g *graph) judge() *Report {
	report := &Report{}
	names := make([]string, 0, len(g.roots))
	for name := range g.roots {
		names = append(names, name)
	}
	for _, name := range g.own { // variables without memory
		if g.roots[name] == nil {
			names = append(names, name)
		}
	}
	sort.Strings(names)
	for _, name := range names {
		root := g.roots[name]
		_, own := g.storage[name]
		v := VarReport{Name: name, Moved: !own}
		if root != nil {
			reached := g.reach(root)
			v.Lost = g.needs(root, reached, &v)
			if v.Lost == "" {
				for _, n := range reached {
					n.kept = true
				}
			}
		}
		report.Vars = append(report.Vars, v)
	}
	return report
}

// reach returns all nodes that can be reached from one, itself included.
func (g *graph) reach(root *node) []*node {
	seen := map[*node]bool{root: true}
	list := []*node{root}
	for i := 0; i < len(list); i++ {
		for _, e := range list[i].edges {
			if e.to != nil && !seen[e.to] {
				seen[e.to] = true
				list = append(list, e.to)
			}
		}
	}
	return list
}

// needs tells what the next program that uses the variable has to have, or why
// the variable cannot be carried.
func (g *graph) needs(root *node, reached []*node, v *VarReport) (lost string) {
	whole := map[*node]bool{root: true}
	for _, n := range reached {
		if n.bad != "" {
			return n.bad
		}
		for _, e := range n.edges {
			if e.whole && e.to != nil {
				whole[e.to] = true
			}
		}
	}
	need := func(list *[]string, text string) {
		if !slices.Contains(*list, text) {
			*list = append(*list, text)
		}
	}
	for _, n := range reached {
		if n != root && n.name != "" {
			need(&v.Vars, n.name)
		}
		if n.block == nil {
			continue // it needs no more than it did
		}
		for _, l := range n.block.types {
			if !isBasic(l.text) {
				need(&v.Types, l.text)
			}
		}
		if !whole[n] && n.name == "" {
			if l := n.block.elem; !l.named {
				return "a pointer into a " + l.typ.String() + ", whose type only its package can name"
			} else if !isBasic(l.text) {
				need(&v.Types, l.text)
			}
		}
	}
	return ""
}

// parts divides the nodes that are kept into those connected with each other.
func (g *graph) parts() [][]*node {
	find := func(n *node) *node {
		for n.part != n {
			n.part = n.part.part
			n = n.part
		}
		return n
	}
	for _, n := range g.nodes {
		n.part, n.out = n, &record{}
	}
	for _, n := range g.nodes {
		if !n.kept {
			continue
		}
		for _, e := range n.edges {
			if e.to != nil {
				find(n).part = find(e.to)
			}
		}
	}
	index := map[*node]int{}
	var parts [][]*node
	for _, n := range g.nodes {
		if !n.kept {
			continue
		}
		top := find(n)
		i, ok := index[top]
		if !ok {
			i = len(parts)
			index[top] = i
			parts = append(parts, nil)
		}
		parts[i] = append(parts[i], n)
	}
	return parts
}

// Report says what has become of the variables of a cell.
type Report struct {
	Vars  []VarReport
	Files []FileReport
}

// VarReport is what has become of a variable.
type VarReport struct {
	Name string
	File string // where its value is; "" if it has none to keep
	// Lost says what it holds that cannot be carried, as in "a channel"; "" if it
	// is carried.
	Lost string
	// Moved tells that it is no variable of this cell: it shares a part with one,
	// and its value is now in File. What it needs comes on top of what it did.
	Moved bool
	// Vars and Types are what a program that loads it has to have beside: other
	// variables, to which it points, and types, as TypeText writes them.
	Vars, Types []string
}

// FileReport lists the files of large blocks that a file of blocks refers to.
type FileReport struct {
	Name   string
	Larges []string
}

func (r *Report) put(name, file string) {
	for i := range r.Vars {
		if r.Vars[i].Name == name && r.Vars[i].Lost == "" {
			r.Vars[i].File = file
		}
	}
}

// String returns the report as [ReadReport] reads it: a line for each variable
// and file, of quoted texts.
func (r *Report) String() string {
	var b []byte
	list := func(word string, texts ...string) {
		b = append(b, ' ')
		b = append(b, word...)
		for _, t := range texts {
			b = append(b, ' ')
			b = strconv.AppendQuote(b, t)
		}
	}
	for _, v := range r.Vars {
		word := "var"
		if v.Moved {
			word = "moved"
		}
		list(word, v.Name)
		list("file", v.File)
		list("lost", v.Lost)
		list("vars", v.Vars...)
		list("types", v.Types...)
		b = append(b, '\n')
	}
	for _, f := range r.Files {
		list("file", f.Name)
		list("larges", f.Larges...)
		b = append(b, '\n')
	}
	return string(b)
}
