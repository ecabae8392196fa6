package keep

import (
	"encoding/binary"
	"reflect"
	"slices"
	"time"
	"unsafe"
)

// encoded is a block as it stands in a file: its bytes, and what they refer to
// by number, so that a block can be passed on without being understood.
type encoded struct {
	data  []byte
	refs  []ref
	types []*layout // of values in interfaces
	large bool      // the bytes are the block's memory, in a file of its own
}

// A ref is a thing that a block refers to.
type ref struct {
	block *block // or else
	place place  // in a known variable
	// whole tells that the type by which the block is referred to is that of its
	// elements, so that who follows the reference knows it.
	whole bool
}

// The first byte of what can be nil.
const (
	isNil     = iota
	isRef     // a reference follows
	isEmpty   // not nil, but of no memory
	isHere    // the value follows
	isUTC     // of a zone
	isLocal   // of a zone
	isOffset  // of a zone: name and offset follow
	isInPlace // a reference to a known function follows
)

// largeBlock is the size from which a block without pointers has a file of its
// own. Below, reading costs less than opening.
const largeBlock = 256 << 10

// encoder encodes blocks that a survey has found good.
type encoder struct {
	*survey
	b     *block
	index map[any]int // of the refs of b, by *block or place, once they are many
}

// manyRefs is how many references are searched one by one.
const manyRefs = 8

// encode fills in b.encoded.
func (s *survey) encode(b *block) {
	b.encoded = encoded{}
	e := &encoder{survey: s, b: b}
	switch {
	case b.isMap():
		t := b.table.Type()
		key, value := s.types.of(t.Key()), s.types.of(t.Elem())
		eachEntry(b.table, func(k, v unsafe.Pointer) {
			e.value(k, key)
			e.value(v, value)
		})
	case b.elem.plain && b.size >= largeBlock:
		b.large = true
	case b.elem.plain:
		b.data = trimZeros(unsafe.Slice((*byte)(b.base), b.size))
	default:
		for i := range b.count {
			e.value(unsafe.Add(b.base, uintptr(i)*b.elem.size), b.elem)
		}
	}
}

// trimZeros returns a copy of data without the zeros at its end.
func trimZeros(data []byte) []byte {
	n := len(data)
	for n > 0 && data[n-1] == 0 {
		n--
	}
	return append([]byte(nil), data[:n]...)
}

func (e *encoder) byte(v byte)      { e.b.data = append(e.b.data, v) }
func (e *encoder) number(n uintptr) { e.b.data = binary.AppendUvarint(e.b.data, uint64(n)) }
func (e *encoder) text(s string)    { e.number(uintptr(len(s))); e.b.data = append(e.b.data, s...) }
func (e *encoder) memory(p unsafe.Pointer, size uintptr) {
	e.b.data = append(e.b.data, unsafe.Slice((*byte)(p), size)...)
}

// value encodes what stands at p.
func (e *encoder) value(p unsafe.Pointer, l *layout) {
	if l.plain {
		e.memory(p, l.size)
		return
	}
	for i := range l.steps {
		st := &l.steps[i]
		at := unsafe.Add(p, st.offset)
		switch st.kind {
		case rawStep:
			e.memory(at, st.size)
		case textStep:
			e.textStep(*(*string)(at))
		case pointerStep:
			e.pointer(*(*unsafe.Pointer)(at), st.elem)
		case sliceStep:
			e.slice((*sliceHeader)(at), st.elem)
		case mapStep:
			e.mapped(reflect.NewAt(st.typ, at).Elem())
		case anyStep:
			e.any(reflect.NewAt(st.typ, at).Elem())
		case funcStep:
			if f := *(*unsafe.Pointer)(at); f == nil {
				e.byte(isNil)
			} else {
				place, _ := e.known.funcPlace(f)
				e.byte(isInPlace)
				e.number(e.refer(ref{place: place, whole: true}))
			}
		case timeStep:
			t := *(*time.Time)(at)
			e.b.data = binary.AppendVarint(e.b.data, t.Unix())
			e.number(uintptr(t.Nanosecond()))
			_, offset := t.Zone()
			e.zone(t.Location(), offset)
		case zoneStep:
			if z := *(**time.Location)(at); z == nil {
				e.byte(isNil)
			} else {
				_, offset := time.Now().In(z).Zone()
				e.zone(z, offset)
			}
		case arrayStep:
			elem := e.types.complete(st.elem)
			for k := range st.size / elem.size {
				e.value(unsafe.Add(at, k*elem.size), elem)
			}
		}
	}
}

func (e *encoder) textStep(s string) {
	if len(s) < longText {
		e.byte(isHere)
		e.text(s)
		return
	}
	e.byte(isRef)
	e.toMemory(unsafe.Pointer(unsafe.StringData(s)), e.types.of(byteType))
	e.number(uintptr(len(s)))
}

func (e *encoder) pointer(p unsafe.Pointer, elem *layout) {
	elem, n := e.types.flat(elem)
	switch {
	case p == nil:
		e.byte(isNil)
	case elem.size*uintptr(n) == 0:
		e.byte(isEmpty)
	default:
		e.byte(isRef)
		e.toMemory(p, elem)
	}
}

func (e *encoder) slice(h *sliceHeader, elem *layout) {
	elem, n := e.types.flat(elem)
	switch {
	case h.data == nil:
		e.byte(isNil)
		return
	case h.cap == 0 || elem.size*uintptr(n) == 0:
		e.byte(isEmpty)
	default:
		e.byte(isRef)
		e.toMemory(h.data, elem)
	}
	e.number(uintptr(h.len))
	e.number(uintptr(h.cap))
}

func (e *encoder) mapped(m reflect.Value) {
	if m.IsNil() {
		e.byte(isNil)
		return
	}
	e.byte(isRef)
	p := m.UnsafePointer()
	if b := e.known.block(p); b != nil {
		e.number(e.refer(ref{place: e.known.places[b], whole: true}))
		return
	}
	e.number(e.refer(ref{block: e.maps[p], whole: true}))
}

// toMemory encodes where p points to: a reference and an offset.
func (e *encoder) toMemory(p unsafe.Pointer, elem *layout) {
	if b := e.known.block(p); b != nil {
		e.number(e.refer(ref{place: e.known.places[b], whole: true}))
		e.number(b.offset(p))
		return
	}
	b := e.space.find(p)
	e.number(e.refer(ref{block: b, whole: b.elem == elem}))
	e.number(b.offset(p))
}

// refer returns the number of a reference among those of the block.
func (e *encoder) refer(r ref) uintptr {
	i := e.find(r)
	if i < 0 {
		i = len(e.b.refs)
		e.b.refs = append(e.b.refs, r)
		if e.index != nil {
			e.index[r.key()] = i
		}
	}
	e.b.refs[i].whole = e.b.refs[i].whole || r.whole
	return uintptr(i)
}

func (r ref) key() any {
	if r.block != nil {
		return r.block
	}
	return r.place
}

func (e *encoder) find(r ref) int {
	if len(e.b.refs) < manyRefs {
		return slices.IndexFunc(e.b.refs, func(o ref) bool { return o.block == r.block && o.place == r.place })
	}
	if e.index == nil {
		e.index = map[any]int{}
		for i, o := range e.b.refs {
			e.index[o.key()] = i
		}
	}
	if i, ok := e.index[r.key()]; ok {
		return i
	}
	return -1
}

func (e *encoder) any(v reflect.Value) {
	if v.IsNil() {
		e.byte(isNil)
		return
	}
	v = v.Elem()
	l := e.types.of(v.Type())
	e.byte(isHere)
	i := slices.Index(e.b.types, l)
	if i < 0 {
		i = len(e.b.types)
		e.b.types = append(e.b.types, l)
	}
	e.number(uintptr(i))
	copied := reflect.New(v.Type())
	copied.Elem().Set(v)
	e.value(copied.UnsafePointer(), l)
}

func (e *encoder) zone(z *time.Location, offset int) {
	switch z {
	case time.UTC:
		e.byte(isUTC)
	case time.Local:
		e.byte(isLocal)
	default:
		e.byte(isOffset)
		e.text(z.String())
		e.b.data = binary.AppendVarint(e.b.data, int64(offset))
	}
}
