package keep

import (
	"reflect"
	"unsafe"
)

// A block is a piece of memory, or a map, that has an identity: what pointers
// point to, as a whole or into its midst. It counts in elements of one type.
type block struct {
	base  unsafe.Pointer // keeps the memory alive, too
	size  uintptr
	elem  *layout
	count int

	table reflect.Value // of a map, which has no base

	name string // of the variable whose storage it is
	home *record
	bad  string // why it is not carried, "" if it is

	reached bool // by a variable of the program
	encoded

	priority    uint32
	left, right *block
}

func (b *block) isMap() bool { return b.table.IsValid() }

func (b *block) start() uintptr { return uintptr(b.base) }
func (b *block) end() uintptr   { return uintptr(b.base) + b.size }

// offset is where p lies in b.
func (b *block) offset(p unsafe.Pointer) uintptr { return uintptr(p) - uintptr(b.base) }

// space is a set of blocks of memory that do not overlap, ordered by address: a
// treap.
type space struct {
	root *block
	seed uint32
}

// find returns the block in which an address lies, or nil.
func (s *space) find(p unsafe.Pointer) *block {
	at := uintptr(p)
	for b := s.root; b != nil; {
		switch {
		case at < b.start():
			b = b.left
		case at >= b.end():
			b = b.right
		default:
			return b
		}
	}
	return nil
}

// insert adds a block that overlaps no other.
func (s *space) insert(b *block) {
	s.seed = s.seed*1664525 + 1013904223
	b.priority = s.seed
	left, right := split(s.root, b.start())
	b.left, b.right = nil, nil
	s.root = join(join(left, b), right)
}

// cut takes out the blocks that overlap from base to end, in order.
func (s *space) cut(base, end uintptr) []*block {
	left, rest := split(s.root, base)
	// The last block before base may reach into the range.
	if last := rightmost(left); last != nil && last.end() > base {
		left, rest = split(join(left, rest), last.start())
	}
	middle, right := split(rest, end)
	s.root = join(left, right)
	var list []*block
	walk(middle, func(b *block) { list = append(list, b) })
	return list
}

// each calls f for every block in order of address.
func (s *space) each(f func(*block)) { walk(s.root, f) }

func walk(b *block, f func(*block)) {
	if b == nil {
		return
	}
	walk(b.left, f)
	f(b)
	walk(b.right, f)
}

func rightmost(b *block) *block {
	for b != nil && b.right != nil {
		b = b.right
	}
	return b
}

// split divides a tree into the blocks that start before at and the others.
func split(b *block, at uintptr) (left, right *block) {
	if b == nil {
		return nil, nil
	}
	if b.start() < at {
		b.right, right = split(b.right, at)
		return b, right
	}
	left, b.left = split(b.left, at)
	return left, b
}

// join joins two trees of which the first lies before the second.
func join(left, right *block) *block {
	switch {
	case left == nil:
		return right
	case right == nil:
		return left
	case left.priority > right.priority:
		left.right = join(left.right, right)
		return left
	default:
		right.left = join(left, right.left)
		return right
	}
}
