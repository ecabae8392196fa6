package keep

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// magic begins every file of blocks, and is changed with its form.
const magic = "railbook cell 1\n"

// A record is a block as a file holds it.
type record struct {
	file  *file
	isMap bool
	name  string // of the variable whose storage it is
	typ   recordType
	count int
	refs  []recordRef
	types []recordType // of values in interfaces
	large string       // the file that holds the bytes
	data  []byte       // or else the bytes

	elem  *layout // once known
	block *block  // once loaded
}

// recordType is a type as a file knows it.
type recordType struct {
	text  string
	print uint64
}

// recordRef is a reference to a block of the same file or, where that is nil,
// to a thing in a known variable.
type recordRef struct {
	record *record
	place  place
}

// file is a file of blocks that has been read.
type file struct {
	name    string
	raw     []byte
	records []*record
	names   map[string]*record // of variables
}

var errDamaged = errors.New("it is damaged")

// readFile reads a file of blocks.
func readFile(folder, name string) (*file, error) {
	raw, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		return nil, err
	}
	f := &file{name: name, raw: raw, names: map[string]*record{}}
	if err := f.parse(); err != nil {
		return nil, fmt.Errorf("file %s of the notebook's variables: %w", name, err)
	}
	return f, nil
}

// reader reads what appendX wrote. After its end or a senseless number it is
// bad and returns zeros.
type reader struct {
	data []byte
	bad  bool
}

func (r *reader) number() int {
	v, n := binary.Uvarint(r.data)
	if n <= 0 || v > 1<<62 {
		r.bad, r.data = true, nil
		return 0
	}
	r.data = r.data[n:]
	return int(v)
}

func (r *reader) signed() int64 {
	v, n := binary.Varint(r.data)
	if n <= 0 {
		r.bad, r.data = true, nil
		return 0
	}
	r.data = r.data[n:]
	return v
}

func (r *reader) byte() byte { return r.bytes(1)[0] }

func (r *reader) bytes(n int) []byte {
	if n > len(r.data) {
		r.bad, r.data = true, nil
		return make([]byte, min(n, 1<<10))
	}
	b := r.data[:n:n]
	r.data = r.data[n:]
	return b
}

func (r *reader) text() string { return string(r.bytes(r.length())) }

// length reads a number of things that take a byte or more each.
func (r *reader) length() int {
	n := r.number()
	if n > len(r.data) {
		r.bad, r.data = true, nil
		return 0
	}
	return n
}

func (f *file) parse() error {
	r := &reader{data: f.raw}
	if string(r.bytes(min(len(magic), len(f.raw)))) != magic {
		return errDamaged
	}
	types := make([]recordType, r.length())
	for i := range types {
		types[i] = recordType{r.text(), binary.LittleEndian.Uint64(r.bytes(8))}
	}
	typ := func() recordType {
		if i := r.number(); i < len(types) {
			return types[i]
		}
		r.bad = true
		return recordType{}
	}
	f.records = make([]*record, r.length())
	for i := range f.records {
		f.records[i] = &record{file: f}
	}
	for _, rec := range f.records {
		rec.isMap = r.byte() != 0
		rec.name = r.text()
		rec.typ = typ()
		rec.count = r.number()
		rec.refs = make([]recordRef, r.length())
		for i := range rec.refs {
			if n := r.number(); n == 0 {
				rec.refs[i].place = place{r.text(), r.number()}
			} else if n <= len(f.records) {
				rec.refs[i].record = f.records[n-1]
			} else {
				r.bad = true
			}
		}
		rec.types = make([]recordType, r.length())
		for i := range rec.types {
			rec.types[i] = typ()
		}
		rec.large = r.text()
		rec.data = r.bytes(r.length())
		if rec.name != "" {
			f.names[rec.name] = rec
		}
	}
	if r.bad || len(r.data) > 0 {
		return errDamaged
	}
	return nil
}

// writer makes a file of blocks.
type writer struct {
	types []recordType
	index map[recordType]int
	body  []byte
}

func (w *writer) number(n int)   { w.body = binary.AppendUvarint(w.body, uint64(n)) }
func (w *writer) text(s string)  { w.number(len(s)); w.body = append(w.body, s...) }
func (w *writer) bytes(b []byte) { w.number(len(b)); w.body = append(w.body, b...) }

func (w *writer) typ(t recordType) {
	i, ok := w.index[t]
	if !ok {
		i = len(w.types)
		w.index[t] = i
		w.types = append(w.types, t)
	}
	w.number(i)
}

// add writes a block; number gives a block's place in the file, from 1.
func (w *writer) add(rec *record, number func(*record) int) {
	isMap := byte(0)
	if rec.isMap {
		isMap = 1
	}
	w.body = append(w.body, isMap)
	w.text(rec.name)
	w.typ(rec.typ)
	w.number(rec.count)
	w.number(len(rec.refs))
	for _, r := range rec.refs {
		if r.record == nil {
			w.number(0)
			w.text(r.place.name)
			w.number(r.place.number)
		} else {
			w.number(number(r.record))
		}
	}
	w.number(len(rec.types))
	for _, t := range rec.types {
		w.typ(t)
	}
	w.text(rec.large)
	w.bytes(rec.data)
}

// assemble returns the bytes of a file of these records.
func assemble(records []*record) []byte {
	numbers := make(map[*record]int, len(records))
	for i, rec := range records {
		numbers[rec] = i + 1
	}
	w := &writer{index: map[recordType]int{}}
	for _, rec := range records {
		w.add(rec, func(r *record) int { return numbers[r] })
	}
	out := []byte(magic)
	out = binary.AppendUvarint(out, uint64(len(w.types)))
	for _, t := range w.types {
		out = binary.AppendUvarint(out, uint64(len(t.text)))
		out = append(out, t.text...)
		out = binary.LittleEndian.AppendUint64(out, t.print)
	}
	out = binary.AppendUvarint(out, uint64(len(records)))
	return append(out, w.body...)
}
