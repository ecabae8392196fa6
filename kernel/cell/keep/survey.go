package keep

import (
	"fmt"
	"reflect"
	"unsafe"
)

// A survey finds the blocks that can be reached from variables.
type survey struct {
	types layouts
	space space
	maps  map[unsafe.Pointer]*block
	known *knowns
	queue []job
	mend  []mend // what was found bad, to be assigned when blocks grow no more
}

// A job is memory to be looked through.
type job struct {
	at    unsafe.Pointer
	elem  *layout
	count int
	table *block // in place of memory, a map
}

type mend struct {
	at  unsafe.Pointer
	why string
}

// run looks through everything that is queued, and what that leads to.
func (s *survey) run() {
	for len(s.queue) > 0 {
		j := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		if j.table != nil {
			s.scanMap(j.table)
			continue
		}
		if j.elem.plain {
			continue
		}
		for i := range j.count {
			p := unsafe.Add(j.at, uintptr(i)*j.elem.size)
			s.scan(p, j.elem, func(why string) { s.mend = append(s.mend, mend{p, why}) })
		}
	}
	for _, m := range s.mend {
		if b := s.space.find(m.at); b.bad == "" {
			b.bad = m.why
		}
	}
	s.mend = nil
}

// reach notes that count elements at an address are used.
func (s *survey) reach(at unsafe.Pointer, elem *layout, count int) {
	elem, n := s.types.flat(elem)
	count *= n
	size := elem.size * uintptr(count)
	if size == 0 || s.known.block(at) != nil {
		return
	}
	if b := s.space.find(at); b != nil && uintptr(at)+size <= b.end() {
		if !b.reached {
			b.reached = true
			s.queue = append(s.queue, job{at: b.base, elem: b.elem, count: b.count})
		}
		return
	}
	b := &block{base: at, size: size, elem: elem, count: count, reached: true}
	queue := []job{{at: at, elem: elem, count: count}}
	for _, old := range s.space.cut(b.start(), b.end()) {
		if old.start() < b.start() || old.end() > b.end() {
			// Slices of one array, each beyond the other; their elements are the
			// same then.
			queue = append(queue, b.grow(old)...)
		}
		if old.home != nil || old.name != "" {
			b.home, b.name = old.home, old.name
		}
	}
	s.space.insert(b)
	s.queue = append(s.queue, queue...)
}

// grow makes b cover old too.
func (b *block) grow(old *block) (unscanned []job) {
	base, start, end := b.base, b.start(), b.end()
	if old.start() < start {
		base, start = old.base, old.start()
	}
	end = max(end, old.end())
	b.base, b.size, b.elem = base, end-start, old.elem
	b.count = int(b.size / b.elem.size)
	if !old.reached {
		return []job{{at: old.base, elem: old.elem, count: old.count}}
	}
	return nil
}

// reachMap notes that a map is used.
func (s *survey) reachMap(m reflect.Value) {
	p := m.UnsafePointer()
	if s.known.block(p) != nil {
		return
	}
	b := s.maps[p]
	if b == nil {
		b = &block{table: reflect.ValueOf(m.Interface())} // m may lie in a copy that is used again
		s.maps[p] = b
	}
	if !b.reached {
		b.reached = true
		s.queue = append(s.queue, job{table: b})
	}
}

func (s *survey) scanMap(b *block) {
	t := b.table.Type()
	key, value := s.types.of(t.Key()), s.types.of(t.Elem())
	if key.plain && value.plain {
		return
	}
	bad := func(why string) {
		if b.bad == "" {
			b.bad = why
		}
	}
	eachEntry(b.table, func(k, v unsafe.Pointer) {
		s.scan(k, key, bad)
		s.scan(v, value, bad)
	})
}

// eachEntry calls f with the addresses of copies of a map's keys and values.
func eachEntry(m reflect.Value, f func(key, value unsafe.Pointer)) {
	t := m.Type()
	k, v := reflect.New(t.Key()).Elem(), reflect.New(t.Elem()).Elem()
	for it := m.MapRange(); it.Next(); {
		k.SetIterKey(it)
		v.SetIterValue(it)
		f(k.Addr().UnsafePointer(), v.Addr().UnsafePointer())
	}
}

// scan looks through one value.
func (s *survey) scan(p unsafe.Pointer, l *layout, bad func(string)) {
	for i := range l.steps {
		st := &l.steps[i]
		at := unsafe.Add(p, st.offset)
		switch st.kind {
		case textStep:
			if t := *(*string)(at); len(t) >= longText {
				s.reach(unsafe.Pointer(unsafe.StringData(t)), s.types.of(byteType), len(t))
			}
		case pointerStep:
			if q := *(*unsafe.Pointer)(at); q != nil {
				s.reach(q, st.elem, 1)
			}
		case sliceStep:
			if h := (*sliceHeader)(at); h.cap > 0 {
				s.reach(h.data, st.elem, h.cap)
			}
		case mapStep:
			if m := reflect.NewAt(st.typ, at).Elem(); !m.IsNil() {
				s.reachMap(m)
			}
		case anyStep:
			s.scanAny(reflect.NewAt(st.typ, at).Elem(), bad)
		case funcStep:
			if f := *(*unsafe.Pointer)(at); f != nil && !s.known.hasFunc(f) {
				bad(st.what + inType(l))
			}
		case idleStep:
			if !isZero(at, st.size) {
				bad(st.what + inType(l))
			}
		case arrayStep:
			elem := s.types.complete(st.elem)
			for k := range st.size / elem.size {
				s.scan(unsafe.Add(at, k*elem.size), elem, bad)
			}
		}
	}
}

// inType tells in what type something lies, if that has a name to tell.
func inType(l *layout) string {
	if l.typ.Name() == "" || l.typ.Kind() != reflect.Struct {
		return ""
	}
	return " in a " + l.typ.String()
}

// scanAny looks through what an interface holds.
func (s *survey) scanAny(v reflect.Value, bad func(string)) {
	if v.IsNil() {
		return
	}
	v = v.Elem()
	if why := s.unnamed(v.Type()); why != "" {
		// A thing that a package holds is found again by its holder's name.
		if v.Kind() != reflect.Pointer || s.known.block(v.UnsafePointer()) == nil {
			bad(why)
			return
		}
	}
	copied := reflect.New(v.Type())
	copied.Elem().Set(v)
	s.scan(copied.UnsafePointer(), s.types.of(v.Type()), bad)
}

// unnamed says why the next program cannot make a value of type t that an
// interface holds; "" if it can.
func (s *survey) unnamed(t reflect.Type) string {
	l := s.types.of(t)
	if l.named || Samples[l.text] != "" {
		return ""
	}
	return fmt.Sprintf("a %v, whose type only its package can name, in an interface", t)
}

// sliceHeader is how a slice lies in memory.
type sliceHeader struct {
	data     unsafe.Pointer
	len, cap int
}

var byteType = reflect.TypeFor[byte]()

// longText is the length from which a string is a block: its bytes may be
// shared, and they are not copied then.
const longText = 64 << 10

func isZero(p unsafe.Pointer, size uintptr) bool {
	for _, b := range unsafe.Slice((*byte)(p), size) {
		if b != 0 {
			return false
		}
	}
	return true
}
