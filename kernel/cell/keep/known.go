package keep

import (
	"reflect"
	"unsafe"
)

// Known is a variable that a package holds and every program with the package
// has: pointers to it and to what it holds, and the functions in it, mean the
// same in each. A session's variables may share such things, and comparing them
// has to give the same tomorrow as today.
type Known struct {
	// Name tells it from others, such as "example.com/fuel.Table".
	Name string
	// At returns a pointer to it. It is not called before it is needed.
	At func() any
}

// mostKnown bounds how much of what a known variable holds is looked at, so
// that a package that keeps a large store does not slow down every cell.
const mostKnown = 1 << 16

// knowns finds what lies in known variables. Blocks and functions are numbered
// in the order in which they are met from the variable on, which is the same in
// every program. Maps are numbered but not entered, as they have no order.
type knowns struct {
	list  []Known
	types layouts

	met    bool
	space  space
	places map[*block]place
	maps   map[unsafe.Pointer]*block
	funcs  map[unsafe.Pointer]place
	blocks map[place]*block
	calls  map[place]unsafe.Pointer
	held   map[string]reflect.Type // of pointers in interfaces, by their text
}

// A place is a thing in a known variable by its number.
type place struct {
	name   string
	number int
}

// meet walks the known variables, once.
func (k *knowns) meet() {
	if k.met {
		return
	}
	k.met = true
	k.places, k.maps = map[*block]place{}, map[unsafe.Pointer]*block{}
	k.held = map[string]reflect.Type{}
	k.funcs, k.blocks, k.calls = map[unsafe.Pointer]place{}, map[place]*block{}, map[place]unsafe.Pointer{}
	for _, known := range k.list {
		v := reflect.ValueOf(known.At())
		w := knownWalk{knowns: k, name: known.Name}
		w.enter(v.UnsafePointer(), k.types.later(v.Type().Elem()), 1)
		for len(w.queue) > 0 && w.number < mostKnown {
			j := w.queue[0]
			w.queue = w.queue[1:]
			for i := range j.count {
				w.scan(unsafe.Add(j.at, uintptr(i)*j.elem.size), j.elem)
			}
		}
	}
}

// block returns the known block in which p lies, or the known map that p is.
func (k *knowns) block(p unsafe.Pointer) *block {
	if len(k.list) == 0 {
		return nil
	}
	k.meet()
	if b := k.space.find(p); b != nil {
		return b
	}
	return k.maps[p]
}

func (k *knowns) hasFunc(f unsafe.Pointer) bool {
	_, ok := k.funcPlace(f)
	return ok
}

func (k *knowns) funcPlace(f unsafe.Pointer) (place, bool) {
	if len(k.list) == 0 {
		return place{}, false
	}
	k.meet()
	p, ok := k.funcs[f]
	return p, ok
}

// knownWalk walks one known variable.
type knownWalk struct {
	*knowns
	name   string
	number int
	queue  []job
}

// next gives out the next number.
func (w *knownWalk) next() place {
	w.number++
	return place{w.name, w.number}
}

func (w *knownWalk) note(b *block) {
	p := w.next()
	w.places[b], w.blocks[p] = p, b
}

// enter notes a block. One that overlaps what is known already keeps its number
// to itself: what is met first has the name.
func (w *knownWalk) enter(at unsafe.Pointer, elem *layout, count int) {
	elem, n := w.types.flat(elem)
	count *= n
	size := elem.size * uintptr(count)
	if size == 0 || w.space.find(at) != nil || w.space.find(unsafe.Add(at, size-1)) != nil {
		return
	}
	b := &block{base: at, size: size, elem: elem, count: count}
	if old := w.space.cut(b.start(), b.end()); len(old) > 0 { // smaller ones within
		for _, o := range old {
			delete(w.places, o)
		}
	}
	w.space.insert(b)
	w.note(b)
	if !elem.plain {
		w.queue = append(w.queue, job{at: at, elem: elem, count: count})
	}
}

func (w *knownWalk) scan(p unsafe.Pointer, l *layout) {
	for i := range l.steps {
		st := &l.steps[i]
		at := unsafe.Add(p, st.offset)
		switch st.kind {
		case pointerStep:
			if q := *(*unsafe.Pointer)(at); q != nil {
				w.enter(q, st.elem, 1)
			}
		case sliceStep:
			if h := (*sliceHeader)(at); h.cap > 0 {
				w.enter(h.data, st.elem, h.cap)
			}
		case mapStep:
			m := reflect.NewAt(st.typ, at).Elem()
			if q := m.UnsafePointer(); q != nil && w.maps[q] == nil {
				b := &block{table: reflect.ValueOf(m.Interface())}
				w.maps[q] = b
				w.note(b)
			}
		case funcStep:
			if f := *(*unsafe.Pointer)(at); f != nil {
				if _, met := w.funcs[f]; !met {
					at := w.next()
					w.funcs[f], w.calls[at] = at, f
				}
			}
		case anyStep:
			if v := reflect.NewAt(st.typ, at).Elem(); !v.IsNil() && v.Elem().Kind() == reflect.Pointer {
				if q := v.Elem().UnsafePointer(); q != nil {
					text, _ := TypeText(v.Elem().Type())
					w.held[text] = v.Elem().Type()
					w.enter(q, w.types.later(v.Elem().Type().Elem()), 1)
				}
			}
		case arrayStep:
			elem := w.types.complete(st.elem)
			for k := range st.size / elem.size {
				w.scan(unsafe.Add(at, k*elem.size), elem)
			}
		}
	}
}
