package keep

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
)

// Node has a bit of everything that can point somewhere.
type Node struct {
	N    int
	Next *Node
	Kids []*Node
	Map  map[string]*Node
	P    *int
	L    []int
	Any  any
	Sub  struct{ Text string }
}

// world is the variables of a session.
type world struct {
	A, B *Node
	C    []*Node
	D    map[string]*Node
	E    Node
	F    *int
	G    []int
	H    any
	I    **Node
}

func (w *world) vars() map[string]any {
	return map[string]any{"A": &w.A, "B": &w.B, "C": &w.C, "D": &w.D, "E": &w.E, "F": &w.F, "G": &w.G, "H": &w.H, "I": &w.I}
}

var nodeTypes = []any{(*Node)(nil), (**Node)(nil), (*[]int)(nil), (*map[string]*Node)(nil)}

// play changes what can be reached from some of the variables at random: with
// the same seed in the same way for every world of the same shape.
type play struct {
	w     *world
	names []string
	rng   *rand.Rand
	nodes []*Node
	seen  map[*Node]bool
}

func (p *play) uses(name string) bool { return slices.Contains(p.names, name) }

// find lists the nodes in reach, in an order that depends on the shape only.
func (p *play) find() {
	p.nodes, p.seen = nil, map[*Node]bool{}
	w := p.w
	for _, name := range p.names {
		switch name {
		case "A":
			p.add(w.A)
		case "B":
			p.add(w.B)
		case "C":
			p.addAll(w.C)
		case "D":
			p.addMap(w.D)
		case "E":
			p.add(&w.E)
		case "H":
			p.addAny(w.H)
		case "I":
			if w.I != nil {
				p.add(*w.I)
			}
		}
	}
}

func (p *play) add(n *Node) {
	if n == nil || p.seen[n] {
		return
	}
	p.seen[n] = true
	p.nodes = append(p.nodes, n)
	p.add(n.Next)
	p.addAll(n.Kids)
	p.addMap(n.Map)
	p.addAny(n.Any)
}

func (p *play) addAll(list []*Node) {
	for _, n := range list {
		p.add(n)
	}
}

func (p *play) addMap(m map[string]*Node) {
	for _, k := range slices.Sorted(maps.Keys(m)) {
		p.add(m[k])
	}
}

func (p *play) addAny(v any) {
	switch v := v.(type) {
	case *Node:
		p.add(v)
	case map[string]*Node:
		p.addMap(v)
	}
}

// node returns one of the nodes in reach, or a new one.
func (p *play) node() *Node {
	if len(p.nodes) == 0 || p.rng.IntN(8) == 0 {
		n := &Node{N: p.rng.IntN(1000)}
		n.Sub.Text = fmt.Sprint("node ", n.N)
		n.L = make([]int, p.rng.IntN(5), 8)
		return n
	}
	return p.nodes[p.rng.IntN(len(p.nodes))]
}

func (p *play) number(n *Node) *int {
	if len(n.L) > 0 && p.rng.IntN(2) == 0 {
		return &n.L[p.rng.IntN(len(n.L))]
	}
	return &n.N
}

func (p *play) list(n *Node) []int {
	if len(n.L) == 0 {
		return n.L
	}
	i := p.rng.IntN(len(n.L))
	l := n.L[i:]
	if p.rng.IntN(3) == 0 {
		l = slices.Clip(l)
	}
	return l
}

// step makes one change.
func (p *play) step() {
	p.find()
	n, m := p.node(), p.node()
	p.change(n, m)
	switch name := p.names[p.rng.IntN(len(p.names))]; name {
	case "A":
		p.w.A = n
	case "B":
		p.w.B = m
	case "C":
		p.w.C = append(p.w.C[:p.rng.IntN(len(p.w.C)+1)], n)
	case "D":
		if p.w.D == nil || p.rng.IntN(5) == 0 {
			p.w.D = n.Map
		} else {
			p.w.D[fmt.Sprint(p.rng.IntN(5))] = m
		}
	case "E":
		if p.rng.IntN(3) == 0 {
			p.w.E = *n
		} else {
			p.change(&p.w.E, n)
		}
	case "F":
		p.w.F = p.number(n)
	case "G":
		p.w.G = p.list(n)
	case "H":
		p.w.H = p.value(n)
	case "I":
		p.w.I = &n.Next
		if p.uses("A") && p.rng.IntN(2) == 0 {
			p.w.I = &p.w.A
		}
	}
}

func (p *play) value(n *Node) any {
	switch p.rng.IntN(6) {
	case 0:
		return n
	case 1:
		return n.Map
	case 2:
		return n.L
	case 3:
		return n.N
	case 4:
		return n.Sub.Text
	default:
		return nil
	}
}

func (p *play) change(n, m *Node) {
	switch p.rng.IntN(10) {
	case 0:
		n.Next = m
	case 1: // what others have of the same array changes too
		n.Kids = append(n.Kids[:p.rng.IntN(len(n.Kids)+1)], m)
	case 2:
		n.L = p.list(m)
	case 3:
		n.P = p.number(m)
	case 4:
		if n.P != nil {
			*n.P = p.rng.IntN(1000)
		}
	case 5:
		n.Map = m.Map
	case 6:
		if n.Map == nil {
			n.Map = map[string]*Node{}
		}
		n.Map[fmt.Sprint(p.rng.IntN(5))] = m
	case 7:
		n.Any = p.value(m)
	case 8:
		n.L = append(n.L, p.rng.IntN(1000))
	case 9:
		n.Kids, n.Next = m.Kids, nil
	}
}

// A session whose variables are carried from cell to cell, each cell using some
// of them, is the same as one whose variables stay where they are.
func TestRandomSessions(t *testing.T) {
	for seed := range uint64(60) {
		if t.Failed() {
			return
		}
		b := newBook(t)
		var stays world
		all := slices.Sorted(maps.Keys(stays.vars()))
		choice := rand.New(rand.NewPCG(seed, 1))
		for cell := range uint64(12) {
			names := slices.Clone(all)
			choice.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
			names = names[:1+choice.IntN(4)]
			// What a variable points to of other variables comes with it.
			for i := 0; i < len(names); i++ {
				for _, need := range b.needs[names[i]].Vars {
					if !slices.Contains(names, need) {
						names = append(names, need)
					}
				}
			}
			slices.Sort(names)
			run := func(w *world) {
				p := &play{w: w, names: names, rng: rand.New(rand.NewPCG(seed, 100+cell))}
				for range 1 + p.rng.IntN(12) {
					p.step()
				}
			}
			var fresh world
			vars := map[string]any{}
			for _, name := range names {
				vars[name] = fresh.vars()[name]
			}
			b.cell(vars, func() { run(&fresh) }, nodeTypes...)
			run(&stays)
			if len(b.lost) > 0 {
				t.Fatalf("seed %d, cell %d: lost %v", seed, cell, b.lost)
			}
		}
		var carried world
		b.cell(carried.vars(), func() {
			if d := alike(&stays, &carried); d != "" {
				t.Errorf("seed %d: %s", seed, d)
			}
		}, nodeTypes...)
	}
}
