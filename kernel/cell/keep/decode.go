package keep

import (
	"fmt"
	"reflect"
	"strings"
	"unsafe"
)

// decoder brings back blocks of files into memory.
type decoder struct {
	types  layouts
	known  *knowns
	space  space // of all blocks that have been brought back
	maps   map[unsafe.Pointer]*block
	byText map[string]reflect.Type // types of values in interfaces
	folder string
	home   func(*record) (at unsafe.Pointer, name string, ok bool) // the storage of a variable of the program
	queue  []*record
	// dry has nothing brought back: records are only given their types.
	dry bool
}

// errType says that the type of a record is not known.
type errType struct{ text string }

func (e *errType) Error() string { return "this cell does not know its type " + plain(e.text) }

// bring loads a record and all that it leads to. elem is the type by which it
// is asked for.
func (d *decoder) bring(rec *record, elem *layout) error {
	if _, err := d.place(rec, elem); err != nil {
		return err
	}
	return d.drain()
}

func (d *decoder) drain() error {
	for len(d.queue) > 0 {
		rec := d.queue[len(d.queue)-1]
		d.queue = d.queue[:len(d.queue)-1]
		do := d.fill
		if d.dry {
			do = d.try
		}
		if err := do(rec); err != nil {
			return err
		}
	}
	return nil
}

// place gives a record its block, not filled yet. elem is the type by which it
// is referred to, nil for a map, whose type table is.
func (d *decoder) place(rec *record, elem *layout) (*block, error) {
	if rec.block != nil {
		return rec.block, nil
	}
	b := &block{home: rec}
	if rec.isMap {
		if elem.typ.Kind() != reflect.Map || rec.typ != d.types.mapType(elem.typ) {
			return nil, errDamaged
		}
		rec.block = b
		b.table = reflect.MakeMapWithSize(elem.typ, rec.count)
		d.maps[b.table.UnsafePointer()] = b
		d.queue = append(d.queue, rec)
		return b, nil
	}
	if rec.typ != elem.record() {
		if rec.elem != nil {
			elem = rec.elem
		} else if l, err := d.typeOf(rec.typ); err == nil {
			elem = l
		} else {
			return nil, err
		}
	}
	rec.block = b
	b.elem, b.count, b.size = elem, rec.count, elem.size*uintptr(rec.count)
	if b.size == 0 {
		return nil, errDamaged
	}
	if at, name, ok := d.home(rec); ok {
		b.base, b.name = at, name
	} else if rec.large != "" && elem.plain {
		data, err := mapLarge(d.folder, rec.large, int(b.size))
		if err != nil {
			return nil, err
		}
		b.base = unsafe.Pointer(unsafe.SliceData(data))
		rec = nil // it is there
	} else {
		b.base = reflect.MakeSlice(reflect.SliceOf(elem.typ), rec.count, rec.count).UnsafePointer()
	}
	d.space.insert(b)
	if rec != nil {
		d.queue = append(d.queue, rec)
	}
	return b, nil
}

// typeOf finds the type of a value by its text, and checks that it is what it
// was.
func (d *decoder) typeOf(t recordType) (*layout, error) {
	typ := d.byText[t.text]
	if typ == nil && len(d.known.list) > 0 {
		d.known.meet()
		typ = d.known.held[t.text]
	}
	if typ == nil {
		return nil, &errType{t.text}
	}
	l := d.types.of(typ)
	if l.print != t.print {
		return nil, fmt.Errorf("type %s is another than it was when the value was made", plain(t.text))
	}
	return l, nil
}

// plain turns the text of a type into one for people.
func plain(text string) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(text, "«")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		path, after, _ := strings.Cut(rest, "»")
		b.WriteString(path[strings.LastIndexByte(path, '/')+1:])
		text = after
	}
}

// learn finds the types of records that are referred to by the type of their
// elements somewhere, and elsewhere by that of a part of them only.
func (d *decoder) learn(rec *record, elem *layout) error {
	d.dry = true
	defer func() { d.dry = false }()
	rec.elem = elem
	d.queue = append(d.queue, rec)
	return d.drain()
}

// meet notes, when dry, by what type a record is referred to.
func (d *decoder) meet(rec *record, elem *layout) {
	typ := elem.record()
	if rec.isMap {
		typ = d.types.mapType(elem.typ)
	}
	if rec.elem == nil && rec.typ == typ {
		rec.elem = elem
		d.queue = append(d.queue, rec)
	}
}

// try decodes the bytes of a record into memory that nobody uses.
func (d *decoder) try(rec *record) error {
	if rec.large != "" || !rec.isMap && rec.elem.plain {
		return nil
	}
	r := &valueReader{reader: reader{data: rec.data}, d: d, rec: rec}
	parts := []*layout{rec.elem}
	if rec.isMap {
		parts = []*layout{d.types.of(rec.elem.typ.Key()), d.types.of(rec.elem.typ.Elem())}
	}
	for range rec.count {
		for _, l := range parts {
			r.value(reflect.New(l.typ).UnsafePointer(), l)
		}
		if r.bad {
			break
		}
	}
	if r.bad && r.err == nil {
		return errDamaged
	}
	return r.err
}

// fill decodes the bytes of a record into its block.
func (d *decoder) fill(rec *record) error {
	b := rec.block
	r := &valueReader{reader: reader{data: rec.data}, d: d, rec: rec}
	switch {
	case b.isMap():
		t := b.table.Type()
		key, value := d.types.of(t.Key()), d.types.of(t.Elem())
		for range rec.count {
			k, v := reflect.New(t.Key()), reflect.New(t.Elem())
			r.value(k.UnsafePointer(), key)
			r.value(v.UnsafePointer(), value)
			if r.err != nil || r.bad {
				break
			}
			b.table.SetMapIndex(k.Elem(), v.Elem())
		}
	case rec.large != "":
		data, err := mapLarge(d.folder, rec.large, int(b.size)) // into a variable
		if err != nil {
			return err
		}
		copy(unsafe.Slice((*byte)(b.base), b.size), data)
	case b.elem.plain:
		if uintptr(len(rec.data)) > b.size {
			return errDamaged
		}
		memory := unsafe.Slice((*byte)(b.base), b.size)
		clear(memory[copy(memory, rec.data):])
		return nil
	default:
		for i := range b.count {
			r.value(unsafe.Add(b.base, uintptr(i)*b.elem.size), b.elem)
			if r.err != nil || r.bad {
				break
			}
		}
	}
	if r.err == nil && (r.bad || len(r.data) > 0 && rec.large == "") {
		return errDamaged
	}
	return r.err
}
