package keep

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"unsafe"
)

// session is what the program of one cell knows of the notebook's variables.
type session struct {
	cell    Cell
	types   layouts
	known   *knowns
	files   []*file
	decoder decoder
	live    map[string]map[string]bool // by file, the variables whose values are in it
	storage map[string]variable        // of the program
	was     map[string]variable        // of variables that the program makes anew
	written int                        // how many files have been
}

// variable is the storage of a variable of the program.
type variable struct {
	at   unsafe.Pointer
	elem *layout
	file string
}

// newSession checks what the program says of itself.
func newSession(c Cell) *session {
	types := layouts{}
	known := &knowns{list: c.Known, types: types}
	s := &session{
		cell: c, types: types, known: known,
		live: map[string]map[string]bool{}, storage: map[string]variable{}, was: map[string]variable{},
	}
	for file, names := range c.Live {
		s.live[file] = map[string]bool{}
		for _, name := range names {
			s.live[file][name] = true
		}
	}
	for _, v := range c.Vars {
		at := reflect.ValueOf(v.At)
		into := s.storage
		if v.Was {
			into = s.was
		}
		into[v.Name] = variable{at.UnsafePointer(), types.later(at.Type().Elem()), v.File}
	}
	s.decoder = decoder{
		types: types, known: known, maps: map[unsafe.Pointer]*block{}, folder: c.Folder,
		byText: map[string]reflect.Type{}, home: s.home,
	}
	for _, t := range basics {
		s.decoder.know(t)
	}
	for _, t := range c.Types {
		s.decoder.know(reflect.TypeOf(t).Elem())
	}
	for _, v := range c.Samples {
		s.decoder.know(reflect.TypeOf(v))
	}
	return s
}

func (d *decoder) know(t reflect.Type) {
	text, _ := TypeText(t)
	d.byText[text] = t
}

// basics are types that interfaces often hold and every program has.
var basics = []reflect.Type{
	reflect.TypeFor[bool](), reflect.TypeFor[int](), reflect.TypeFor[int8](), reflect.TypeFor[int16](),
	reflect.TypeFor[int32](), reflect.TypeFor[int64](), reflect.TypeFor[uint](), reflect.TypeFor[uint8](),
	reflect.TypeFor[uint16](), reflect.TypeFor[uint32](), reflect.TypeFor[uint64](), reflect.TypeFor[uintptr](),
	reflect.TypeFor[float32](), reflect.TypeFor[float64](), reflect.TypeFor[complex64](), reflect.TypeFor[complex128](),
	reflect.TypeFor[string](), reflect.TypeFor[[]any](), reflect.TypeFor[map[string]any](), reflect.TypeFor[any](),
}

// isBasic reports whether every program knows a type by its text.
func isBasic(text string) bool {
	return slices.ContainsFunc(basics, func(t reflect.Type) bool { b, _ := TypeText(t); return b == text })
}

// isLive reports whether a record is the present value of a variable.
func (s *session) isLive(rec *record) bool {
	return rec.name != "" && s.live[rec.file.name][rec.name]
}

// home returns the storage of the variable of the program whose value a record
// is, and its name if that is still its.
func (s *session) home(rec *record) (at unsafe.Pointer, name string, ok bool) {
	if rec.name == "" || !s.isLive(rec) {
		return nil, "", false
	}
	if v, ok := s.storage[rec.name]; ok && v.file == rec.file.name {
		return v.at, rec.name, true
	}
	if v, ok := s.was[rec.name]; ok && v.file == rec.file.name {
		return v.at, "", true
	}
	return nil, "", false
}

// load brings the variables that have a value into the program.
func (s *session) load() error {
	records, err := s.records()
	if err != nil {
		return err
	}
	err = s.bring(records)
	if unknown := (*errType)(nil); !errors.As(err, &unknown) {
		return err
	}
	// A record may have been met by the type of a part of it before it was by its
	// own: learn all types first.
	for _, rec := range records {
		if err := s.decoder.learn(rec, s.elem(rec)); err != nil {
			return fmt.Errorf("%s cannot be brought back: %w", rec.name, err)
		}
	}
	for _, f := range s.files {
		for _, rec := range f.records {
			rec.block = nil
		}
	}
	s.decoder.space, s.decoder.queue = space{}, nil
	s.decoder.maps = map[unsafe.Pointer]*block{}
	return s.bring(records)
}

// records reads the files in which the values of the program's variables are and
// returns their records.
func (s *session) records() ([]*record, error) {
	read := map[string]*file{}
	var records []*record
	for _, v := range s.cell.Vars {
		if v.File == "" {
			continue
		}
		f := read[v.File]
		if f == nil {
			var err error
			if f, err = readFile(s.cell.Folder, v.File); err != nil {
				return nil, err
			}
			read[v.File] = f
			s.files = append(s.files, f)
		}
		rec := f.names[v.Name]
		if rec == nil {
			return nil, fmt.Errorf("file %s does not hold %s", v.File, v.Name)
		}
		_, n := s.types.flat(s.types.later(reflect.TypeOf(v.At).Elem()))
		if rec.isMap || rec.typ != s.elem(rec).record() || rec.count != n {
			return nil, fmt.Errorf("%s was made as a %s of another form: run the cell that makes it once more", v.Name, plain(rec.typ.text))
		}
		records = append(records, rec)
	}
	return records, nil
}

// elem returns the layout of the variable of the program whose value a record
// is.
func (s *session) elem(rec *record) *layout {
	v, ok := s.storage[rec.name]
	if !ok || v.file != rec.file.name {
		v = s.was[rec.name]
	}
	elem, _ := s.types.flat(v.elem)
	return elem
}

func (s *session) bring(records []*record) error {
	for _, rec := range records {
		if err := s.decoder.bring(rec, s.elem(rec)); err != nil {
			return fmt.Errorf("%s cannot be brought back: %w", rec.name, err)
		}
	}
	return nil
}

// save writes what the variables hold, and the report of it.
func (s *session) save() error {
	g := s.survey()
	report := g.judge()
	for _, part := range g.parts() {
		if err := s.write(part, report); err != nil {
			return err
		}
	}
	return s.writeNew(ReportFile(s.cell.Mark), []byte(report.String()))
}

// survey looks through the variables of the program.
func (s *session) survey() *graph {
	sv := &survey{types: s.types, space: s.decoder.space, maps: s.decoder.maps, known: s.known}
	names := make([]string, 0, len(s.storage))
	for name := range s.storage {
		names = append(names, name)
	}
	sort.Strings(names)
	g := &graph{session: s, roots: map[string]*node{}}
	for _, name := range names {
		v := s.storage[name]
		elem, n := s.types.flat(v.elem)
		size := elem.size * uintptr(n)
		if b := sv.space.find(v.at); b == nil && size > 0 {
			sv.space.insert(&block{base: v.at, size: size, elem: elem, count: n, name: name})
		}
	}
	for _, name := range names {
		sv.reach(s.storage[name].at, s.storage[name].elem, 1)
	}
	sv.run()
	// What was loaded may still be in use by variables that were not, though the
	// program has let go of it.
	sv.space.each(func(b *block) {
		if !b.reached {
			b.reached = true
			sv.queue = append(sv.queue, job{at: b.base, elem: b.elem, count: b.count})
		}
	})
	for _, b := range sv.maps {
		if !b.reached {
			b.reached = true
			sv.queue = append(sv.queue, job{table: b})
		}
	}
	sv.run()
	g.collect(sv, names)
	return g
}

// write writes one part of the graph, unless it is as a file has it.
func (s *session) write(part []*node, report *Report) error {
	records := make([]*record, len(part))
	var larges []string
	same := part[0].home
	for i, n := range part {
		rec, err := s.record(n)
		if err != nil {
			return err
		}
		records[i] = rec
		if rec.large != "" {
			larges = append(larges, rec.large)
		}
	}
	data := assemble(records)
	name := ""
	if same != nil && string(same.file.raw) == string(data) {
		name = same.file.name
	} else {
		name = s.newName("heap")
		if err := s.writeNew(name, data); err != nil {
			return err
		}
	}
	report.Files = append(report.Files, FileReport{Name: name, Larges: larges})
	for _, n := range part {
		if n.name != "" {
			report.put(n.name, name)
		}
	}
	return nil
}

// record returns a node as a file holds it. Its references are those of other
// nodes of the same part.
func (s *session) record(n *node) (*record, error) {
	rec := n.out
	rec.name = n.name
	for _, e := range n.edges {
		r := recordRef{place: e.place}
		if e.to != nil {
			r.record = e.to.out
		}
		rec.refs = append(rec.refs, r)
	}
	b := n.block
	if b == nil { // passed on as it is
		from := n.home
		rec.isMap, rec.typ, rec.count = from.isMap, from.typ, from.count
		rec.types, rec.large, rec.data = from.types, from.large, from.data
		return rec, nil
	}
	for _, l := range b.types {
		rec.types = append(rec.types, l.record())
	}
	if b.isMap() {
		rec.isMap, rec.typ, rec.count = true, s.types.mapType(b.table.Type()), b.table.Len()
	} else {
		rec.typ, rec.count = b.elem.record(), b.count
	}
	rec.data = b.data
	if !b.large {
		return rec, nil
	}
	memory := unsafe.Slice((*byte)(b.base), b.size)
	if b.home != nil && b.home.large != "" {
		if old, err := mapLarge(s.cell.Folder, b.home.large, len(memory)); err == nil && string(old) == string(memory) {
			rec.large = b.home.large
			return rec, nil
		}
	}
	rec.large = s.newName("large")
	return rec, s.writeLarge(rec.large, memory)
}

// newName returns a name for a file that no other cell uses.
func (s *session) newName(kind string) string {
	s.written++
	return s.cell.Mark + "-" + kind + "-" + strconv.Itoa(s.written)
}

// writeNew writes a file so that it is there as a whole or not at all.
func (s *session) writeNew(name string, data []byte) error {
	path := filepath.Join(s.cell.Folder, name)
	if err := os.WriteFile(path+".part", data, 0o600); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}

// writeLarge writes the memory of a large block; zeros at its end take no room.
func (s *session) writeLarge(name string, memory []byte) error {
	used := len(memory)
	for used > 0 && memory[used-1] == 0 {
		used--
	}
	path := filepath.Join(s.cell.Folder, name)
	if err := os.WriteFile(path, memory[:used], 0o600); err != nil {
		return err
	}
	return os.Truncate(path, int64(len(memory)))
}
