package keep

import (
	"reflect"
	"strconv"
	"strings"
)

// TypeText writes a type as Go source in which the name of another package's
// type has that package's import path in front, in angle quotes:
//
//	map[string]*«time».Location
//
// Types of package main stand for themselves. ok tells whether a program of
// another module can write the type so; if not, the text is good for comparing
// and for people only.
func TypeText(t reflect.Type) (text string, ok bool) {
	w := typeWriter{ok: true}
	w.write(t)
	return w.b.String(), w.ok
}

type typeWriter struct {
	b  strings.Builder
	ok bool
}

func (w *typeWriter) write(t reflect.Type) {
	if t.Name() != "" {
		w.name(t.PkgPath(), t.Name())
		return
	}
	switch t.Kind() {
	case reflect.Pointer:
		w.b.WriteByte('*')
		w.write(t.Elem())
	case reflect.Slice:
		w.b.WriteString("[]")
		w.write(t.Elem())
	case reflect.Array:
		w.b.WriteString("[" + strconv.Itoa(t.Len()) + "]")
		w.write(t.Elem())
	case reflect.Map:
		w.b.WriteString("map[")
		w.write(t.Key())
		w.b.WriteByte(']')
		w.write(t.Elem())
	case reflect.Struct:
		w.b.WriteString("struct {")
		for i := range t.NumField() {
			if i > 0 {
				w.b.WriteByte(';')
			}
			f := t.Field(i)
			if f.PkgPath != "" && f.PkgPath != mainPackage {
				w.ok = false
			}
			if !f.Anonymous {
				w.b.WriteString(" " + f.Name)
			}
			w.b.WriteByte(' ')
			w.write(f.Type)
			if f.Tag != "" {
				w.b.WriteString(" " + strconv.Quote(string(f.Tag)))
			}
		}
		w.b.WriteString(" }")
	case reflect.Interface:
		if t.NumMethod() > 0 { // listing them would keep every method of the program
			w.ok = false
		}
		w.b.WriteString(t.String())
	default: // functions and channels, which are not carried
		w.ok = false
		w.b.WriteString(t.String())
	}
}

// mainPackage is the import path of a cell's own package.
const mainPackage = "main"

func (w *typeWriter) name(path, name string) {
	if strings.Contains(name, "[") { // its type arguments are not in this form
		w.ok = false
	}
	switch path {
	case "":
		w.b.WriteString(name)
		return
	case mainPackage:
	default:
		if !Importable(path) || !exported(name) {
			w.ok = false
		}
		w.b.WriteString("«" + path + "».")
	}
	w.b.WriteString(name)
}

// Importable reports whether a cell may import the package.
func Importable(path string) bool {
	for elem := range strings.SplitSeq(path, "/") {
		if elem == "internal" || elem == "vendor" {
			return false
		}
	}
	return path != "" && path != mainPackage && path != "unsafe"
}

// exported reports whether a name is exported, so far as it is ASCII; others
// are rare and only cost their variable its being carried in an interface.
func exported(name string) bool { return 'A' <= name[0] && name[0] <= 'Z' }

// Samples lists types that have no name for other packages but are common in
// interfaces, by their text, each with an expression whose dynamic type it is.
var Samples = map[string]string{
	"*«errors».errorString": `«errors».New("")`,
	"*«errors».joinError":   `«errors».Join(«errors».New(""))`,
	"*«fmt».wrapError":      `«fmt».Errorf("%w", error(nil))`,
	"*«fmt».wrapErrors":     `«fmt».Errorf("%w%w", error(nil), error(nil))`,
}
