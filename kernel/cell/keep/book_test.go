package keep

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unsafe"
)

// book plays the keeper of a session: it knows where the values of variables are
// and runs cells, each with storage of its own.
type book struct {
	t     *testing.T
	dir   string
	cells int
	file  map[string]string
	lost  map[string]string
	needs map[string]VarReport
	known []Known
	all   *Report // the last report
}

func newBook(t *testing.T) *book {
	return &book{t: t, dir: t.TempDir(), file: map[string]string{}, lost: map[string]string{}, needs: map[string]VarReport{}}
}

// cell runs a cell that uses variables, by name with pointers to their storage,
// and has types for interfaces.
func (b *book) cell(vars map[string]any, body func(), types ...any) {
	b.t.Helper()
	if err := b.try(vars, body, types...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *book) try(vars map[string]any, body func(), types ...any) error {
	b.t.Helper()
	b.cells++
	c := Cell{Folder: b.dir, Mark: strconv.Itoa(b.cells), Types: types, Known: b.known, Live: map[string][]string{}}
	for name, at := range vars {
		c.Vars = append(c.Vars, Var{Name: name, At: at, File: b.file[name]})
	}
	for name, file := range b.file {
		c.Live[file] = append(c.Live[file], name)
	}
	s := newSession(c)
	if err := s.load(); err != nil {
		return err
	}
	body()
	if err := s.save(); err != nil {
		return err
	}
	report, err := ReadReport(b.dir, c.Mark)
	if err != nil {
		return err
	}
	b.all = report
	for _, v := range report.Vars {
		delete(b.file, v.Name)
		delete(b.lost, v.Name)
		if v.Lost != "" {
			b.lost[v.Name] = v.Lost
		} else if v.File != "" {
			b.file[v.Name] = v.File
		}
		b.needs[v.Name] = v
	}
	b.sweep(report)
	return nil
}

// sweep removes the files that no variable needs any more.
func (b *book) sweep(r *Report) {
	used := map[string]bool{}
	for _, f := range b.file {
		used[f] = true
	}
	for _, f := range r.Files {
		for _, l := range f.Larges {
			used[l] = used[l] || used[f.Name]
		}
	}
	entries, err := os.ReadDir(b.dir)
	if err != nil {
		b.t.Fatal(err)
	}
	for _, e := range entries {
		if strings.Contains(e.Name(), "-heap-") && !used[e.Name()] {
			os.Remove(filepath.Join(b.dir, e.Name()))
		}
	}
}

// files lists the files of values.
func (b *book) files() []string {
	entries, err := os.ReadDir(b.dir)
	if err != nil {
		b.t.Fatal(err)
	}
	var list []string
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), "-report") {
			list = append(list, e.Name())
		}
	}
	slices.Sort(list)
	return list
}

// likeness finds whether two graphs are the same but for their addresses: every
// place of one stands for one place of the other, so that what is shared in one
// is shared in the other, and what is apart is apart.
type likeness struct {
	there, back map[place2]place2
}

// place2 is a piece of memory: a struct and its first field lie at one address.
type place2 struct {
	at  unsafe.Pointer
	typ reflect.Type
}

func alike(a, b any) string {
	l := likeness{map[place2]place2{}, map[place2]place2{}}
	return l.value("it", reflect.ValueOf(a).Elem(), reflect.ValueOf(b).Elem())
}

func (l *likeness) value(path string, a, b reflect.Value) string {
	if a.CanAddr() && b.CanAddr() && a.Type().Size() > 0 {
		pa, pb := place2{a.Addr().UnsafePointer(), a.Type()}, place2{b.Addr().UnsafePointer(), b.Type()}
		if q, met := l.there[pa]; met {
			if q != pb {
				return path + " is shared otherwise"
			}
			return ""
		}
		if _, met := l.back[pb]; met {
			return path + " is shared where it was not"
		}
		l.there[pa], l.back[pb] = pb, pa
	}
	switch a.Kind() {
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			return differ(path, a.IsNil(), b.IsNil())
		}
		return l.value("*"+path, a.Elem(), b.Elem())
	case reflect.Interface:
		if a.IsNil() || b.IsNil() {
			return differ(path, a.IsNil(), b.IsNil())
		}
		if a.Elem().Type() != b.Elem().Type() {
			return differ(path, a.Elem().Type(), b.Elem().Type())
		}
		return l.value(path+".(any)", a.Elem(), b.Elem())
	case reflect.Struct:
		for i := range a.NumField() {
			if d := l.value(path+"."+a.Type().Field(i).Name, a.Field(i), b.Field(i)); d != "" {
				return d
			}
		}
	case reflect.Slice:
		if a.IsNil() != b.IsNil() || a.Len() != b.Len() || a.Cap() != b.Cap() {
			return path + " differs in length, capacity or being nil"
		}
		a, b = a.Slice(0, a.Cap()), b.Slice(0, b.Cap())
		fallthrough
	case reflect.Array:
		for i := range a.Len() {
			if d := l.value(path+"["+strconv.Itoa(i)+"]", a.Index(i), b.Index(i)); d != "" {
				return d
			}
		}
	case reflect.Map:
		if a.IsNil() || b.IsNil() || a.Len() != b.Len() {
			return differ(path, a.Len(), b.Len())
		}
		pa, pb := place2{a.UnsafePointer(), nil}, place2{b.UnsafePointer(), nil}
		if q, met := l.there[pa]; met {
			if q != pb {
				return path + " is shared otherwise"
			}
			return ""
		}
		l.there[pa] = pb
		for _, k := range a.MapKeys() { // keys without pointers
			v := b.MapIndex(k)
			if !v.IsValid() {
				return path + " lacks a key"
			}
			if d := l.value(path+"[key]", a.MapIndex(k), v); d != "" {
				return d
			}
		}
	case reflect.String:
		return differ(path, a.String(), b.String())
	case reflect.Bool:
		return differ(path, a.Bool(), b.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return differ(path, a.Int(), b.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		return differ(path, a.Uint(), b.Uint())
	case reflect.Float32, reflect.Float64:
		if a.Float() != a.Float() && b.Float() != b.Float() {
			return ""
		}
		return differ(path, a.Float(), b.Float())
	case reflect.Complex64, reflect.Complex128:
		return differ(path, a.Complex(), b.Complex())
	default:
		return path + ": no likeness of " + a.Kind().String()
	}
	return ""
}

func differ[T comparable](path string, a, b T) string {
	if a == b {
		return ""
	}
	return path + " differs"
}
