package keep

import (
	"hash/fnv"
	"reflect"
	"strings"
	"time"
	"unsafe"
)

// A layout says what the memory of a type consists of.
type layout struct {
	typ   reflect.Type
	size  uintptr
	plain bool   // it holds no pointers: its bytes are its value
	steps []step // what it consists of in order, nil where it is plain
	print uint64 // a sum over the parts that lie in it, by which a change is seen
	text  string // as TypeText writes it
	named bool   // and whether that is for everyone
}

// A step is one part of a layout.
type step struct {
	kind   stepKind
	offset uintptr
	size   uintptr
	elem   *layout      // of a pointer's target, a slice's or array's elements; completed at use
	typ    reflect.Type // of a map or an interface
	what   string       // for people, of what is not carried: "a channel"
}

type stepKind uint8

const (
	rawStep     stepKind = iota // bytes without pointers
	textStep                    // a string
	pointerStep                 // a pointer
	sliceStep                   // a slice
	mapStep                     // a map
	anyStep                     // an interface
	funcStep                    // a function
	idleStep                    // bytes that have to be zero, as what they stand for is not carried
	timeStep                    // a time.Time
	zoneStep                    // a *time.Location
	arrayStep                   // an array whose elements are not plain
)

// layouts holds the layouts of a program's types.
type layouts map[reflect.Type]*layout

// of returns the layout of a type, complete.
func (ls layouts) of(t reflect.Type) *layout { return ls.complete(ls.later(t)) }

// later returns a layout of which only the type is known yet, so that the
// layout of a recursive type comes to an end.
func (ls layouts) later(t reflect.Type) *layout {
	if l := ls[t]; l != nil {
		return l
	}
	l := &layout{typ: t}
	ls[t] = l
	return l
}

func (ls layouts) complete(l *layout) *layout {
	if l.text != "" {
		return l
	}
	l.text, l.named = TypeText(l.typ)
	l.size = l.typ.Size()
	c := composer{ls: ls}
	c.add(l.typ, 0, "")
	if len(c.steps) > 1 || len(c.steps) == 1 && c.steps[0].kind != rawStep {
		l.steps = c.steps
	}
	l.plain = l.steps == nil
	sum := fnv.New64a()
	sum.Write([]byte(l.text))
	sum.Write([]byte(c.shape.String()))
	l.print = sum.Sum64()
	return l
}

// record returns the type as a file knows it.
func (l *layout) record() recordType { return recordType{l.text, l.print} }

// mapType returns a map's type as a file knows it: by its keys and values, as
// maps of types with different names can be one map.
func (ls layouts) mapType(t reflect.Type) recordType {
	key, value := ls.of(t.Key()), ls.of(t.Elem())
	return recordType{"map[" + key.text + "]" + value.text, key.print ^ value.print*31}
}

// flat returns the innermost element of nested arrays and how many there are.
// Memory is counted in these, so that an array and a slice of it agree.
func (ls layouts) flat(l *layout) (*layout, int) {
	n := 1
	for l.typ.Kind() == reflect.Array {
		n *= l.typ.Len()
		l = ls.later(l.typ.Elem())
	}
	return ls.complete(l), n
}

// composer collects the steps of a type.
type composer struct {
	ls    layouts
	steps []step
	shape strings.Builder
}

var (
	timeType     = reflect.TypeFor[time.Time]()
	locationType = reflect.TypeFor[time.Location]()
)

const wordSize = unsafe.Sizeof(uintptr(0))

// add adds the steps of a value of type t at an offset; field names it.
func (c *composer) add(t reflect.Type, offset uintptr, field string) {
	c.shape.WriteString(field + " ")
	put := func(s step) {
		s.offset, s.size = offset, t.Size()
		c.steps = append(c.steps, s)
		text, _ := TypeText(t)
		c.shape.WriteString(text + ";")
	}
	if t == timeType {
		put(step{kind: timeStep})
		return
	}
	if what := notCarried(t); what != "" {
		put(step{kind: idleStep, what: what})
		return
	}
	switch t.Kind() {
	case reflect.String:
		put(step{kind: textStep})
	case reflect.Pointer:
		if t.Elem() == locationType {
			put(step{kind: zoneStep})
			return
		}
		put(step{kind: pointerStep, elem: c.ls.later(t.Elem())})
	case reflect.Slice:
		put(step{kind: sliceStep, elem: c.ls.later(t.Elem())})
	case reflect.Map:
		put(step{kind: mapStep, typ: t})
	case reflect.Interface:
		put(step{kind: anyStep, typ: t})
	case reflect.Func:
		put(step{kind: funcStep, what: "a function"})
	case reflect.Chan:
		put(step{kind: idleStep, what: "a channel"})
	case reflect.UnsafePointer:
		put(step{kind: idleStep, what: "an unsafe pointer"})
	case reflect.Struct:
		c.addStruct(t, offset)
	case reflect.Array:
		elem := c.ls.of(t.Elem())
		if elem.plain {
			c.raw(offset, t.Size(), elem.text)
		} else {
			put(step{kind: arrayStep, elem: elem})
		}
	default:
		c.raw(offset, t.Size(), t.String())
	}
}

func (c *composer) addStruct(t reflect.Type, offset uintptr) {
	if elem := atomicPointer(t); elem != nil {
		at := offset + t.Size() - wordSize // it stands last, behind what has no size
		c.steps = append(c.steps, step{kind: pointerStep, offset: at, size: wordSize, elem: c.ls.later(elem)})
		c.shape.WriteString("atomic " + elem.String() + ";")
		return
	}
	c.shape.WriteByte('{')
	for i := range t.NumField() {
		f := t.Field(i)
		c.add(f.Type, offset+f.Offset, f.Name)
	}
	c.shape.WriteByte('}')
}

// raw adds plain bytes, to those before them if they touch. Gaps between fields
// hold nothing and are left out.
func (c *composer) raw(offset, size uintptr, text string) {
	c.shape.WriteString(text + ";")
	if size == 0 {
		return
	}
	if n := len(c.steps); n > 0 {
		if last := &c.steps[n-1]; last.kind == rawStep {
			last.size = offset + size - last.offset
			return
		}
	}
	c.steps = append(c.steps, step{kind: rawStep, offset: offset, size: size})
}

// notCarried tells in what struct types lies a state that is outside of memory or
// means nothing elsewhere; "" if t is none of them.
func notCarried(t reflect.Type) string {
	if t.Kind() != reflect.Struct {
		return ""
	}
	switch t.PkgPath() {
	case "internal/poll":
		return "an open file or connection"
	case "sync":
		switch t.Name() {
		case "Mutex", "RWMutex", "WaitGroup", "Cond":
			return "a lock in use (sync." + t.Name() + ")"
		case "Pool", "Map":
			return "a sync." + t.Name()
		}
	case "reflect", "internal/abi", "runtime", "unique", "weak", "hash/maphash":
		return "a value of package " + t.PkgPath()
	}
	return ""
}

// atomicPointer returns what an atomic.Pointer points to, nil for other types.
func atomicPointer(t reflect.Type) reflect.Type {
	if t.PkgPath() != "sync/atomic" || !strings.HasPrefix(t.Name(), "Pointer[") {
		return nil
	}
	for i := range t.NumField() {
		// Its first field is an array of no pointers, for the compiler.
		if f := t.Field(i).Type; f.Kind() == reflect.Array && f.Elem().Kind() == reflect.Pointer {
			return f.Elem().Elem()
		}
	}
	return nil
}
