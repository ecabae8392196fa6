package keep

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"time"
	"unsafe"
)

// valueReader decodes the values of one record.
type valueReader struct {
	reader
	d   *decoder
	rec *record
	err error
}

func (r *valueReader) fail(err error) {
	if r.err == nil {
		r.err = err
	}
	r.bad, r.data = true, nil
}

// value decodes a value to p.
func (r *valueReader) value(p unsafe.Pointer, l *layout) {
	if l.plain {
		copy(unsafe.Slice((*byte)(p), l.size), r.bytes(int(l.size)))
		return
	}
	for i := range l.steps {
		if r.bad {
			return
		}
		st := &l.steps[i]
		at := unsafe.Add(p, st.offset)
		switch st.kind {
		case rawStep:
			copy(unsafe.Slice((*byte)(at), st.size), r.bytes(int(st.size)))
		case textStep:
			*(*string)(at) = r.string()
		case pointerStep:
			elem, _ := r.d.types.flat(st.elem)
			*(*unsafe.Pointer)(at) = r.pointer(elem)
		case sliceStep:
			elem, _ := r.d.types.flat(st.elem)
			*(*sliceHeader)(at) = r.slice(elem)
		case mapStep:
			*(*unsafe.Pointer)(at) = r.mapped(st.typ)
		case anyStep:
			r.any(reflect.NewAt(st.typ, at).Elem())
		case funcStep:
			*(*unsafe.Pointer)(at) = r.function()
		case timeStep:
			sec, nsec := r.signed(), r.number()
			*(*time.Time)(at) = time.Unix(sec, int64(nsec)).In(r.zone())
		case zoneStep:
			*(**time.Location)(at) = r.zone()
		case arrayStep:
			elem := r.d.types.complete(st.elem)
			for k := range st.size / elem.size {
				r.value(unsafe.Add(at, k*elem.size), elem)
			}
		}
	}
}

func (r *valueReader) string() string {
	if r.byte() == isHere {
		// The bytes of the file stay as they are, so that they can be shared.
		b := r.bytes(r.length())
		return unsafe.String(unsafe.SliceData(b), len(b))
	}
	p := r.memory(r.d.types.of(byteType))
	n := r.number()
	if p == nil { // it failed
		return ""
	}
	return unsafe.String((*byte)(p), n)
}

// nowhere is where what has no memory lies.
var nowhere struct{ _ [0]byte }

func (r *valueReader) pointer(elem *layout) unsafe.Pointer {
	switch r.byte() {
	case isNil:
		return nil
	case isEmpty:
		return unsafe.Pointer(&nowhere)
	default:
		return r.memory(elem)
	}
}

func (r *valueReader) slice(elem *layout) sliceHeader {
	var h sliceHeader
	switch r.byte() {
	case isNil:
		return h
	case isEmpty:
		h.data = unsafe.Pointer(&nowhere)
	default:
		h.data = r.memory(elem)
	}
	h.len, h.cap = r.number(), r.number()
	if h.len > h.cap {
		r.fail(errDamaged)
		return sliceHeader{}
	}
	return h
}

// memory decodes a reference and an offset.
func (r *valueReader) memory(elem *layout) unsafe.Pointer {
	b := r.refer(elem)
	offset := uintptr(r.number())
	if r.d.dry {
		return nil
	}
	if b == nil || b.isMap() || offset >= b.size {
		r.fail(errDamaged)
		return nil
	}
	return unsafe.Add(b.base, offset)
}

// refer decodes a reference.
func (r *valueReader) refer(elem *layout) *block {
	i := r.number()
	if i >= len(r.rec.refs) {
		r.fail(errDamaged)
		return nil
	}
	to := r.rec.refs[i]
	if r.d.dry {
		if to.record != nil {
			r.d.meet(to.record, elem)
		}
		return nil
	}
	if to.record == nil {
		r.d.known.meet()
		b := r.d.known.blocks[to.place]
		if b == nil {
			r.fail(fmt.Errorf("what it shares with %s is not there any more", to.place.name))
		}
		return b
	}
	b, err := r.d.place(to.record, elem)
	if err != nil {
		r.fail(err)
	}
	return b
}

// mapped decodes a map, which is a pointer.
func (r *valueReader) mapped(t reflect.Type) unsafe.Pointer {
	if r.byte() == isNil {
		return nil
	}
	b := r.refer(r.d.types.of(t))
	if b == nil || r.d.dry {
		return nil
	}
	if !b.isMap() {
		r.fail(errDamaged)
		return nil
	}
	return b.table.UnsafePointer()
}

func (r *valueReader) function() unsafe.Pointer {
	if r.byte() == isNil {
		return nil
	}
	i := r.number()
	if i >= len(r.rec.refs) {
		r.fail(errDamaged)
		return nil
	}
	if r.d.dry {
		return nil
	}
	r.d.known.meet()
	f := r.d.known.calls[r.rec.refs[i].place]
	if f == nil {
		r.fail(errors.New("a function that it holds is not there any more"))
	}
	return f
}

func (r *valueReader) any(into reflect.Value) {
	if r.byte() == isNil {
		return
	}
	i := r.number()
	if i >= len(r.rec.types) {
		r.fail(errDamaged)
		return
	}
	l, err := r.d.typeOf(r.rec.types[i])
	if err != nil {
		r.fail(err)
		return
	}
	v := reflect.New(l.typ)
	r.value(v.UnsafePointer(), l)
	if r.bad || r.d.dry {
		return
	}
	if !l.typ.AssignableTo(into.Type()) {
		r.fail(fmt.Errorf("type %v has lost a method", l.typ))
		return
	}
	into.Set(v.Elem())
}

func (r *valueReader) zone() *time.Location {
	switch r.byte() {
	case isNil:
		return nil
	case isUTC:
		return time.UTC
	case isLocal:
		return time.Local
	}
	name, offset := r.text(), r.signed()
	if strings.Contains(name, "/") { // a place of the time zone database
		if z, err := time.LoadLocation(name); err == nil {
			return z
		}
	}
	return time.FixedZone(name, int(offset))
}
